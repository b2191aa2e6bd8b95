/** Rule 9, good and bad values dwell alike, and a failing one is touched again before it stands. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { afterTouch, type Touch } from '../../../src-core/capture/touches'
import type { Verdict } from '../../../src-core/metrology/limits'
import { about, atBench } from './streams'

/** B = 1.1 Ω, that of 220 Ω. */
const touch = (value: number, verdict: Verdict): Touch => ({ value, band: 1.1, verdict, air: false, moving: false })

describe('rule 9: good and bad values dwell alike', () => {
  it('rule 9: a value far outside its limits is captured as soon as one inside them', () => {
    const inside = atBench({ limits: { between: [200, 240] } }, { rate: 10 }).apart(2).hold(about(220, 0.1, 10), 3).value()
    const outside = atBench({ limits: { between: [300, 400] } }, { rate: 10 }).apart(2).hold(about(220, 0.1, 10), 3).value()
    expect(outside).toEqual(inside)
  })

  it('rule 9: never is a value waited into its limits: the same readings give the same capture under any limits', () => {
    const stand = fc.record({ value: fc.integer({ min: 2100, max: 2300 }), stands: fc.integer({ min: 1, max: 20 }) })
    const readings = fc.array(stand, { minLength: 1, maxLength: 6 })
    const limit = fc.integer({ min: 100, max: 400 })
    fc.assert(fc.property(readings, limit, fc.integer({ min: 5, max: 100 }), limit, (segments, low, width, other) => {
      const captureUnder = (between: [number, number]) => {
        const hand = atBench({ limits: { between } }).apart(1)
        for (const { value, stands } of segments) hand.hold(value / 10, stands / 5)
        return hand.captured()
      }
      expect(captureUnder([low, low + width])).toEqual(captureUnder([other, other + 200]))
    }), { numRuns: 40 })
  })

  it('rule 9: a value that passes is accepted on its first touch', () => {
    expect(afterTouch([touch(220, 'pass')])).toEqual({ kind: 'accept', on: [0] })
    expect(afterTouch([touch(210, 'conditional-pass')])).toEqual({ kind: 'accept', on: [0] })
  })

  it('rule 9: a value that fails asks for one fresh touch', () => {
    expect(afterTouch([touch(250, 'fail')])).toEqual({ kind: 'again' })
    expect(afterTouch([touch(232, 'conditional-fail')])).toEqual({ kind: 'again' })
  })

  it('rule 9: where the two differ by at most 2·B the fail stands', () => {
    expect(afterTouch([touch(250, 'fail'), touch(252.1, 'fail')])).toEqual({ kind: 'accept', on: [0, 1] })
  })

  it('rule 9: where the two agree but the second just passes, the fail stands', () => {
    const touches = [touch(231.5, 'fail'), touch(230.5, 'pass')]
    const decision = afterTouch(touches)
    expect(decision.kind).toBe('accept')
    if (decision.kind !== 'accept') return
    expect([...decision.on].sort()).toEqual([0, 1])
    expect(touches[decision.on.at(-1) ?? -1]?.verdict).toBe('fail')
  })

  it('rule 9: where they differ by more, whatever the second shows, a third touch is asked for', () => {
    expect(afterTouch([touch(250, 'fail'), touch(252.3, 'fail')])).toEqual({ kind: 'again' })
    expect(afterTouch([touch(250, 'fail'), touch(220, 'pass')])).toEqual({ kind: 'again' })
  })

  it('rule 9: three that all differ are doubtful, and all are kept', () => {
    expect(afterTouch([touch(250, 'fail'), touch(220, 'pass'), touch(235, 'fail')])).toEqual({ kind: 'doubtful', on: [0, 1, 2] })
  })

  it('rule 9: an open against a finite value is no agreement', () => {
    const open: Touch = { value: 'overload', band: null, verdict: 'fail', air: true, moving: false }
    expect(afterTouch([touch(250, 'fail'), open])).toEqual({ kind: 'again' })
  })

  it('rule 9: a fresh touch is one after the leads were lifted', () => {
    const hand = atBench().apart(2).hold(250, 2).next().hold(250.1, 10)
    expect(hand.captured()).toHaveLength(1)
    hand.apart(1).hold(250.1, 2)
    expect(hand.captured()).toHaveLength(2)
  })
})
