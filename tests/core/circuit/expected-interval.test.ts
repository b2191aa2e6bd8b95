import { describe, expect, it } from 'vitest'
import { drawnInterval, linearInterval } from '../../../src-core/circuit/expected-interval'
import { genericDrives } from '../../../src-core/circuit/meter-drive'
import { sampleBoard } from './sample'

const options = { drives: genericDrives }
const width = ({ low, high }: { low: number | 'overload'; high: number | 'overload' }): number => (typeof low === 'number' && typeof high === 'number' ? high - low : NaN)

describe('what a good board reads', () => {
  const board = sampleBoard()
  it.each([['A_IN', 'A', 'resistance'], ['V24', 'GND', 'resistance'], ['GND', 'A', 'diode'], ['V24_F', 'V24', 'diode']] as const)(
    'is the same by drawn boards and by the linear model: %s to %s in %s', (red, black, what) => {
      const drawn = drawnInterval(board, red, black, what, options, 5, 300)
      const linear = linearInterval(board, red, black, what, options)
      if (!drawn.ok || !linear.ok) throw new Error('not computed')
      expect(linear.interval.value).toBe(drawn.interval.value)
      // 300 drawn boards leave the 95 % bounds about a tenth of the width open.
      expect(width(linear.interval) / width(drawn.interval)).toBeGreaterThan(0.8)
      expect(width(linear.interval) / width(drawn.interval)).toBeLessThan(1.25)
    })
  it('comes out the same for the same seed', () => {
    const once = drawnInterval(board, 'A_IN', 'A', 'resistance', options, 9, 40)
    expect(drawnInterval(board, 'A_IN', 'A', 'resistance', options, 9, 40)).toEqual(once)
  })
  it('says overload where a good board is open', () => {
    const open = linearInterval(board, 'V24_IN', 'A_IN', 'diode', options)
    expect(open.ok && open.interval.value).toBe('overload')
  })
})
