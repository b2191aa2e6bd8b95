/** The practice board after repairs and under power. */
import { describe, expect, it } from 'vitest'
import { type Fault, parseFaults } from '../../../src-core/circuit/faults'
import { faultsLeft, liveVolts } from '../../../src-core/practice/board-now'
import { provenValve } from '../../bench-tools/proven-valve'

const faultsOf = (...texts: string[]): Fault[] => {
  const parsed = parseFaults(provenValve, texts)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return parsed.faults
}

describe('the practice board', () => {
  it('is sound where a part was replaced, and no sounder for being resoldered, lifted or removed', () => {
    const faults = faultsOf('R1:open', 'D1:short')
    expect(faultsLeft(provenValve, faults, [{ part: 'R1', action: 'replaced' }])).toEqual(faults.slice(1))
    expect(faultsLeft(provenValve, faults, [{ part: 'R1', action: 'resoldered' }, { part: 'D1', action: 'lifted' }, { part: 'D1', action: 'removed' }, { part: 'R2', action: 'replaced' }])).toEqual(faults)
  })
  it('loses a bridge when a part at it is soldered', () => {
    const bridge = faultsOf('IN/GND:bridge=1')
    expect(faultsLeft(provenValve, bridge, [{ part: 'R1', action: 'resoldered' }])).toEqual([])
    expect(faultsLeft(provenValve, bridge, [{ part: 'R1', action: 'lifted' }])).toEqual(bridge)
  })
  it('comes up under power once it is whole: the middle of the limits of a powered step, turned round with the leads', () => {
    const whole = { faults: [], state: [], powered: true }
    expect([liveVolts(provenValve, whole, 'VALVE', 'GND'), liveVolts(provenValve, whole, 'GND', 'VALVE'), liveVolts(provenValve, whole, 'IN', 'GND')]).toEqual([5, -5, 0])
    expect(liveVolts(provenValve, { ...whole, powered: false }, 'VALVE', 'GND')).toBeNull()
    expect(liveVolts(provenValve, { ...whole, faults: faultsOf('R1:open') }, 'VALVE', 'GND')).toBe(0)
    expect(liveVolts(provenValve, { ...whole, state: [{ ref: 'R2', pin: '1', is: 'lifted' }] }, 'VALVE', 'GND')).toBe(0)
  })
})
