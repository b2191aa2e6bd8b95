/** Rule 6, ranging: a range not yet settled, two that alternate, and a meter too coarse for the step. */
import { describe, expect, it } from 'vitest'
import type { CaptureTask } from '../../../src-core/capture/task'
import type { Limits } from '../../../src-core/metrology/limits'
import { atBench, figureIn, openStep, secondsToCapture, zeroVolts, type Look } from './streams'

/** One range above the lowest: 6 kΩ full scale, so 8 % of it is 480 Ω. */
const upper: Partial<Look> = { resolution: 1, range: 6000 }
const wide: Partial<CaptureTask> = { limits: { between: [1, 5000] } }

describe('rule 6: a range that is not yet settled', () => {
  it('rule 6: a value below 8 % of full scale is still ranging, until the range has stood for 3 s', () => {
    const hand = atBench(wide, upper).apart(2).hold(450, 2)
    expect(hand.status()).toEqual({ kind: 'ranging' })
    hand.hold(450, 0.9)
    expect(hand.captured()).toEqual([])
    hand.hold(450, 1.1)
    expect(hand.value().value).toBe(450)
  })

  it('rule 6: above 8 % of full scale it is not', () => {
    const hand = atBench(wide, upper).apart(2)
    expect(secondsToCapture(hand, 510, 5)).toBeLessThan(2)
  })

  it('rule 6: on the lowest range it is not', () => {
    const hand = atBench({ limits: { between: [1, 50] } }).apart(2)
    expect(secondsToCapture(hand, 5, 5)).toBeLessThan(2)
  })

  it('rule 6: a range set by hand is not', () => {
    const hand = atBench(wide, upper).apart(2)
    expect(secondsToCapture(hand, 450, 5, { flags: ['manual-range'] })).toBeLessThan(2)
  })

  it('rule 6: where the range is not sent, the resolution stands for it', () => {
    const unsent = { ...upper, range: null }
    const hand = atBench(wide, unsent).apart(2)
    expect(hand.hold(450, 2.8).captured()).toEqual([])
    expect(hand.hold(450, 1.2).value().value).toBe(450)
    const lowest = atBench({ limits: { between: [1, 50] } }, { range: null }).apart(2)
    expect(secondsToCapture(lowest, 5, 5)).toBeLessThan(2)
  })

  it('rule 6: a value is made of readings of one range', () => {
    const hand = atBench(wide, upper).apart(2).hold(512, 0.8)
    expect(secondsToCapture(hand, 510.4, 5, { resolution: 0.1, range: 600 })).toBeGreaterThanOrEqual(0.6)
    expect(hand.value().range).toBe(600)
    expect(hand.value().resolution).toBe(0.1)
    expect(hand.value().raw.map(figureIn)).not.toContain(512)
  })
})

describe('rule 6: hunting', () => {
  const hunt = (hand: ReturnType<typeof atBench>, forSeconds: number): void => {
    for (let n = 0; n < Math.round(forSeconds / 0.8); n += 1) {
      hand.hold(590, 0.4, { resolution: 0.1, range: 600 }).hold(590, 0.4, upper)
    }
  }
  it('rule 6: two ranges that alternate for 3 s are hunting, and nothing is captured', () => {
    const hand = atBench(wide).apart(2)
    hunt(hand, 2.4)
    expect(hand.status().kind).not.toBe('hunting')
    hunt(hand, 1.6)
    expect(hand.status()).toEqual({ kind: 'hunting' })
    hunt(hand, 24)
    hand.press()
    expect(hand.captured()).toEqual([])
  })

  it('rule 6: a range set by hand ends it', () => {
    const hand = atBench(wide).apart(2)
    hunt(hand, 4)
    expect(hand.status()).toEqual({ kind: 'hunting' })
    expect(secondsToCapture(hand, 590, 2.9, { ...upper, flags: ['manual-range'] })).not.toBeNull()
  })
})

describe('rule 6: too coarse for this step', () => {
  const shownAtOneOhm = (limits: Limits, value: number, change: Partial<CaptureTask> = {}) =>
    atBench({ limits, lowestRange: 6000, ...change }, upper).apart(2).hold(value, 5)

  it('rule 6: for limits with two sides one count must be at most a tenth of their width', () => {
    expect(shownAtOneOhm({ between: [215, 225] }, 220).value().value).toBe(220)
    const coarse = shownAtOneOhm({ between: [216, 225] }, 220)
    expect(coarse.captured()).toEqual([])
    expect(coarse.status()).toEqual({ kind: 'too-coarse' })
    expect(shownAtOneOhm({ nominal: 220, tolerance: 0.02 }, 220).captured()).toEqual([])
    expect(shownAtOneOhm({ nominal: 220, tolerance: 0.025 }, 220).captured()).toHaveLength(1)
  })

  it('rule 6: for a one-sided limit one count must be at most a tenth of the limit', () => {
    expect(shownAtOneOhm({ atMost: 10 }, 5).captured()).toHaveLength(1)
    expect(shownAtOneOhm({ atMost: 9 }, 5).status()).toEqual({ kind: 'too-coarse' })
    expect(shownAtOneOhm({ atLeast: 10 }, 12).captured()).toHaveLength(1)
    expect(shownAtOneOhm({ atLeast: 9 }, 12).status()).toEqual({ kind: 'too-coarse' })
  })

  it('rule 6: a value ten counts or more outside its limits is told from a good one however coarse the count', () => {
    // A drifted part lands on a coarser range than its limits need; refusing it would keep the worst fails out of the record.
    expect(shownAtOneOhm({ between: [216, 225] }, 400).value().value).toBe(400)
    const near = shownAtOneOhm({ between: [216, 225] }, 232)
    expect(near.captured()).toEqual([])
    expect(near.status()).toEqual({ kind: 'too-coarse' })
  })

  it('rule 6: the lead check is exempt', () => {
    expect(shownAtOneOhm({ atMost: 9 }, 5, { anyResolution: true }).value().value).toBe(5)
  })

  it('rule 6: a press does not take a zero on a range too coarse for the limits', () => {
    const limits: Limits = { between: [-0.01, 0.01] }
    const coarse = atBench({ ...zeroVolts, limits }, { resolution: 0.01, range: 60 }).apart(3).press()
    expect(coarse.captured()).toEqual([])
    const fine = atBench({ ...zeroVolts, limits }, { resolution: 0.001, range: 6 }).apart(3).press()
    expect(fine.captured()).toHaveLength(1)
  })

  it('rule 6: an overload has no count that could be too coarse', () => {
    expect(atBench(openStep, upper).apart(3).press().captured()).toHaveLength(1)
  })
})
