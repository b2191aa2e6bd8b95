/** Rule 12, in part: the resistance of the leads is taken off low readings on the range it was measured on. */
import { describe, expect, it } from 'vitest'
import type { CaptureTask } from '../../../src-core/capture/task'
import { ohms } from '../../../src-core/quantity/units'
import { atBench, secondsToCapture, voltsRange, type Look } from './streams'

const withLead: Partial<CaptureTask> = { limits: { between: [1, 5000] }, lead: { ohms: ohms(0.3), resolution: 0.1 } }
const taken = (value: number, task: Partial<CaptureTask> = withLead, meter: Partial<Look> = {}) => {
  const hand = atBench(task, meter).apart(2)
  expect(secondsToCapture(hand, value, 6)).not.toBeNull()
  return hand.value()
}

describe('rule 12: lead resistance', () => {
  it('rule 12: lead resistance is taken off a reading under 100 Ω, and what the meter showed is kept', () => {
    const value = taken(47.5)
    expect(value.value).toBeCloseTo(47.2, 9)
    expect(value.median).toBeCloseTo(47.2, 9)
    expect(value.shown).toBeCloseTo(47.5, 9)
  })

  it('rule 12: from 100 Ω up it is not', () => {
    expect(taken(99.9).value).toBeCloseTo(99.6, 9)
    expect(taken(100).value).toBeCloseTo(100, 9)
    expect(taken(220).value).toBeCloseTo(220, 9)
  })

  it('rule 12: on another range than it was measured on it is not', () => {
    expect(taken(47, withLead, { resolution: 1, range: 6000 }).value).toBeCloseTo(47, 9)
    expect(taken(47.51, withLead, { resolution: 0.01, range: 60 }).value).toBeCloseTo(47.51, 9)
  })

  it('rule 12: without a lead check, and from volts, nothing is taken off', () => {
    expect(taken(47.5, { ...withLead, lead: null }).value).toBeCloseTo(47.5, 9)
    const coarseVolts: Partial<Look> = { ...voltsRange, resolution: 0.1, range: 600, flags: ['manual-range'] }
    const volts = taken(12.5, { ...withLead, function: 'dc-voltage' }, coarseVolts)
    expect(volts.value).toBeCloseTo(12.5, 9)
  })
})
