import { describe, expect, it } from 'vitest'
import { computedLimits, withoutLimits } from '../../../src-core/circuit/computed-limits'
import { normalNoise, seededRandom } from '../../../src-core/circuit/seeded-random'
import { boundsOf } from '../../../src-core/metrology/interval'
import { fewestBoards, limitsFromBoards, type GoodValues } from '../../../src-core/shop/limits-from-boards'
import { scoredBoards } from '../circuit/score/boards'

const random = seededRandom(5)
const drawn = (count: number, mean: number, sd: number): number[] => Array.from({ length: count }, () => mean + sd * normalNoise(random))
const ohms = (values: GoodValues['values'], U: number | null = null): GoodValues => ({ function: 'resistance', values, U })

describe('limits from good boards', () => {
  it('hold about the share they promise, at least as often as they promise it', () => {
    const choice = { share: 0.9, confidence: 0.9 }
    const rounds = 300
    const held = Array.from({ length: rounds }, () => limitsFromBoards(ohms(drawn(8, 4700, 40)), null, choice)).filter(({ limits }) => {
      const { low, high } = boundsOf(limits ?? 'open', 'resistance')
      const others = drawn(400, 4700, 40)
      return others.filter((value) => value >= (low ?? 0) && value <= (high ?? 0)).length >= 0.9 * others.length
    }).length
    expect(held / rounds).toBeGreaterThan(0.85)
  })
  it('are never narrower than the meter’s uncertainty, and say so', () => {
    const found = limitsFromBoards(ohms([1000, 1000, 1000, 1001, 1000, 1000, 1000], 16), null)
    expect(found.limits).toEqual({ between: [984, 1020] })
    expect(found.says).toContain('as wide as that')
    expect(limitsFromBoards(ohms([990, 1010, 1000, 1020, 980, 1000, 1000], 16), null).says).not.toContain('as wide as that')
  })
  it('fall back on the tolerances of the parts with few boards, and say so', () => {
    const few = ohms(drawn(fewestBoards - 1, 4700, 10))
    const computed = { limits: { between: [4400, 5000] as [number, number] }, value: 4700, low: 4450, high: 4950, source: null }
    expect(limitsFromBoards(few, computed)).toEqual({
      limits: { between: [4400, 5000] }, from: 'tolerances', says: '5 good boards were measured here; 6 at least are needed to judge their scatter. These limits are from the tolerances of its parts.',
    })
    expect(limitsFromBoards(few, { refused: 'No capacitor lies there.' })).toMatchObject({ limits: null, from: 'nothing', says: expect.stringContaining('No capacitor lies there.') as string })
    expect(limitsFromBoards(ohms([]), null).says).toContain('No good board was measured here')
  })
  it('are open where every board read open, and fall back where some did', () => {
    expect(limitsFromBoards(ohms(Array<'overload'>(6).fill('overload')), null).limits).toBe('open')
    expect(limitsFromBoards(ohms(['overload', ...drawn(6, 1e6, 10)]), null)).toMatchObject({ from: 'nothing', says: expect.stringContaining('1 of 7 good boards read over range') as string })
  })
  it('have no lower limit where it would lie below zero ohms; volts may', () => {
    expect(limitsFromBoards(ohms([0.1, 0.3, 0.2, 0.1, 0.4, 0.2]), null).limits).toHaveProperty('atMost')
    expect(limitsFromBoards({ function: 'dc-voltage', values: [0.1, -0.1, 0.05, 0, 0.1, -0.1], U: null }, null).limits).toHaveProperty('between')
  })
})

it('the tolerances of the parts speak for steps with limits of their own too', () => {
  const [board] = scoredBoards('.').filter(({ sequence }) => sequence.steps.some((step) => step.kind === 'measure' && step.limits !== undefined))
  if (board === undefined) throw new Error('There is no such board.')
  const measures = board.sequence.steps.filter((step) => step.kind === 'measure')
  expect(Object.keys(computedLimits(withoutLimits(board), { draws: 8 }))).toEqual(measures.map(({ id }) => id))
})
