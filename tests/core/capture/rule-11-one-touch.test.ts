/** Rule 11, one touch, one value: the leads must be seen to leave before the next. */
import { describe, expect, it } from 'vitest'
import type { CaptureTask } from '../../../src-core/capture/task'
import { about, atBench, ohmsRange, openStep, secondsToCapture, voltsRange, zeroVolts, type Hand, type Look } from './streams'

const r2: Partial<CaptureTask> = { step: 'r2', limits: { nominal: 330, tolerance: 0.05 }, expectsAir: false }
const lifts = (hand: Hand): number => hand.outputs().filter((output) => output.kind === 'lifted').length

describe('rule 11: one touch, one value', () => {
  it('rule 11: leads that stay give one value, however long they stay', () => {
    const hand = atBench().apart(2).hold(about(220, 0.1, 5), 60)
    expect(hand.captured()).toHaveLength(1)
    hand.next(r2).hold(about(220, 0.1, 5), 60)
    expect(hand.captured()).toHaveLength(1)
    expect(hand.status()).toEqual({ kind: 'lift', held: false })
  })

  it('rule 11: one step gives one value, even when it is touched again', () => {
    const hand = atBench().apart(2).hold(220, 2).apart(2).hold(220, 5).press()
    expect(hand.captured()).toHaveLength(1)
  })

  it('rule 11: at the start of a session leads that lie on something already are not a touch', () => {
    const hand = atBench().hold(about(220, 0.1, 5), 30)
    expect(hand.captured()).toEqual([])
    hand.apart(0.4)
    expect(secondsToCapture(hand, 220, 3)).not.toBeNull()
  })

  it('rule 11: below 5 conversions a second one conversion of air is a lift, with its tone', () => {
    const hand = atBench({}, { rate: 4 }).apart(2).hold(220, 3).next(r2).apart(0.25)
    expect(lifts(hand)).toBe(1)
    hand.hold(330, 3)
    expect(hand.captured()).toHaveLength(2)
  })

  it('rule 11: above 5 conversions a second it takes two', () => {
    const one = atBench({}, { rate: 10 }).apart(2).hold(220, 2).next(r2).apart(0.1).hold(330, 5)
    expect(lifts(one)).toBe(0)
    expect(one.captured()).toHaveLength(1)
    const two = atBench({}, { rate: 10 }).apart(2).hold(220, 2).next(r2).apart(0.2).hold(330, 2)
    expect(lifts(two)).toBe(1)
    expect(two.captured()).toHaveLength(2)
  })

  it('rule 11: conversions are counted, not frames: one conversion of air sent three times is no lift at 10 a second', () => {
    const hand = atBench({}, { rate: 10, frames: 3 }).apart(2).hold(220, 2).next(r2).apart(0.1).hold(330, 5)
    expect(hand.captured()).toHaveLength(1)
  })

  it('rule 11: a lift seen before the next step begins counts', () => {
    const hand = atBench().apart(2).hold(220, 2).apart(1).next(r2)
    expect(lifts(hand)).toBe(1)
    expect(hand.status().kind).not.toBe('lift')
  })

  it('rule 11: from one open to the next no lift is asked', () => {
    const hand = atBench(openStep).apart(2).press().next({ step: 'open-2' })
    expect(hand.status().kind).not.toBe('lift')
    hand.apart(1.4).press()
    expect(hand.captured()).toHaveLength(2)
  })

  it('rule 11: from zero volts to zero volts none is asked either', () => {
    const hand = atBench(zeroVolts).apart(2).press().next({ step: 'zero-2' }).hold(0.001, 1.4).press()
    expect(hand.captured()).toHaveLength(2)
  })

  it('rule 11: from an open to a finite value the leads are seen apart first', () => {
    const hand = atBench(openStep).apart(2).press().next(r2).hold(330, 10)
    expect(hand.captured()).toHaveLength(1)
    hand.apart(0.6).hold(330, 2)
    expect(hand.captured()).toHaveLength(2)
  })

  it('rule 11: an open confirmed, the dial turned and the leads left on: what shows then is no touch of the next step', () => {
    // A clamp the wrong way round is open in diode test, and some kilohms in resistance.
    const diode: Partial<Look> = { function: 'diode', resolution: 0.001, range: 6 }
    const hand = atBench({ ...openStep, function: 'diode', lowestRange: 6 }).hold('overload', 2, diode).press()
    expect(hand.captured()).toHaveLength(1)
    hand.next({ ...r2, function: 'resistance', lowestRange: 600 }).hold('overload', 2, diode).hold(330, 10, { ...ohmsRange })
    expect(hand.captured()).toHaveLength(1)
    expect(hand.status().kind).toBe('lift')
    hand.apart(0.6)
    expect(secondsToCapture(hand, 330, 3)).not.toBeNull()
  })

  it('rule 11: from a finite value to an open the leads are seen apart, then the press counts', () => {
    const hand = atBench().apart(2).hold(220, 2).next(openStep).hold(220, 2).press()
    expect(hand.captured()).toHaveLength(1)
    hand.apart(1.4).press()
    expect(hand.captured()).toHaveLength(2)
  })

  it('rule 11: a different steady value with no lift seen is held back, and the line says so', () => {
    const hand = atBench().apart(2).hold(220, 2).next(r2).hold(330, 10)
    expect(hand.captured()).toHaveLength(1)
    expect(hand.status()).toEqual({ kind: 'lift', held: true })
    hand.press()
    expect(hand.captured()).toHaveLength(1)
    hand.apart(0.6)
    expect(hand.status().kind).not.toBe('lift')
    expect(secondsToCapture(hand, 330, 3)).not.toBeNull()
  })

  it('rule 11: a step may keep its contact: a change of function with the leads left on needs no lift', () => {
    const hand = atBench().apart(2).hold(220, 2)
    hand.next({ step: 'volts', function: 'dc-voltage', limits: { between: [2, 3] }, lowestRange: 6, keepsContact: true })
    hand.hold(2.5, 2, voltsRange)
    expect(hand.captured()).toHaveLength(2)
    expect(hand.captured()[1]).toMatchObject({ function: 'dc-voltage', value: 2.5 })
  })

  it('rule 11: a step may keep its contact: a value flipped by a switch needs no lift', () => {
    const hand = atBench().apart(2).hold(220, 2).next({ ...r2, keepsContact: true }).hold(330, 2)
    expect(hand.captured().map(({ value }) => value)).toEqual([220, 330])
  })

  it('rule 11: after a step that kept its contact the lift is asked for again', () => {
    const hand = atBench().apart(2).hold(220, 2).next({ ...r2, keepsContact: true }).hold(330, 2)
    hand.next({ step: 'r3', keepsContact: false }).hold(220, 10)
    expect(hand.captured()).toHaveLength(2)
    expect(hand.status()).toEqual({ kind: 'lift', held: true })
  })
})
