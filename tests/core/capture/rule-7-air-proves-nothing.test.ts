/** Rule 7, air proves nothing: an overload or a zero takes a press after a second of it, and a second point to be proven. */
import { describe, expect, it } from 'vitest'
import { afterTouch } from '../../../src-core/capture/touches'
import { seconds } from '../../../src-core/quantity/units'
import { atBench, openStep, secondsToCapture, zeroVolts, type Hand } from './streams'

/** A key held down as a window without a filter would tell it: thirty presses a second, readings going on. */
const keyHeld = (hand: Hand, forSeconds: number): void => {
  for (let n = 0; n < Math.round(forSeconds * 30); n += 1) hand.apart(1 / 30).press()
}

describe('rule 7: air proves nothing', () => {
  it('rule 7: an overload alone is never recorded', () => {
    expect(atBench(openStep).apart(300).captured()).toEqual([])
    expect(atBench().apart(300).captured()).toEqual([])
  })

  it('rule 7: zero volts alone are never recorded', () => {
    expect(atBench(zeroVolts).apart(300).captured()).toEqual([])
    expect(atBench(zeroVolts).hold((since) => 0.002 * Math.sin(since), 300).captured()).toEqual([])
  })

  it('rule 7: a value inside a learned pattern takes a press like an overload', () => {
    const hand = atBench({ ...zeroVolts, air: [{ function: 'dc-voltage', range: null, apart: { from: -0.03, to: 0.03 }, joined: null }] })
    hand.hold(0.02, 60)
    expect(hand.captured()).toEqual([])
    hand.press()
    expect(hand.value().value).toBeCloseTo(0.02, 9)
    expect(hand.value().evidence).toBe('confirmed')
  })

  it('rule 7: a press before 1 s of unbroken air does nothing, and is not banked', () => {
    const hand = atBench(openStep).apart(0.8).press().apart(20)
    expect(hand.captured()).toEqual([])
    hand.press()
    expect(hand.value().value).toBe('overload')
    expect(hand.value().evidence).toBe('confirmed')
  })

  it('rule 7: a press after 1 s of it is taken at once', () => {
    const hand = atBench(openStep).apart(1.2)
    expect(hand.status()).toEqual({ kind: 'confirm-air', value: 'overload', ready: true, secondPoint: false })
    expect(hand.press().value().at).toBe(hand.now())
  })

  it('rule 7: a touch in between begins the second of air anew', () => {
    const hand = atBench(openStep).apart(0.9).hold(220, 0.2).apart(0.9)
    expect(hand.status()).toMatchObject({ kind: 'confirm-air', ready: false })
    expect(hand.press().captured()).toEqual([])
    expect(hand.apart(0.4).press().captured()).toHaveLength(1)
  })

  it('rule 7: the second of air is one of this step: air seen in the step before does not count', () => {
    const hand = atBench(openStep).apart(10).press().next({ step: 'open-2' }).apart(0.8).press()
    expect(hand.captured()).toHaveLength(1)
    expect(hand.apart(0.4).press().captured()).toHaveLength(2)
  })

  it('rule 7: one press decides an air value, whether it passes or fails', () => {
    expect(afterTouch([{ value: 'overload', band: null, verdict: 'pass', air: true, moving: false }])).toEqual({ kind: 'accept', on: [0] })
    expect(afterTouch([{ value: 'overload', band: null, verdict: 'fail', air: true, moving: false }])).toEqual({ kind: 'accept', on: [0] })
    expect(atBench().apart(2).press().value()).toMatchObject({ value: 'overload', evidence: 'confirmed' })
    const dead = atBench({ ...zeroVolts, limits: { between: [3, 4] }, expectsAir: false }).apart(2).press()
    expect(dead.value()).toMatchObject({ value: 0, evidence: 'confirmed' })
  })

  it('rule 7: a press never takes a finite value that is not steady', () => {
    const hand = atBench().apart(2).hold((since) => 200 + 5 * since, 3).press()
    expect(hand.captured()).toEqual([])
  })

  it('rule 7: proven needs a second point, shown for another second, and a press for each', () => {
    const hand = atBench(openStep).apart(2).press('again').apart(0.8)
    expect(hand.status()).toEqual({ kind: 'confirm-air', value: 'overload', ready: false, secondPoint: true })
    expect(hand.press().captured()).toEqual([])
    hand.apart(0.4).press()
    expect(hand.value().evidence).toBe('proven')
  })

  it('rule 7: without the second point a value is confirmed, however long it stood and however often it was pressed for', () => {
    const hand = atBench(openStep).apart(0.4).press().press().apart(60).press()
    expect(hand.value().evidence).toBe('confirmed')
  })

  it('rule 7: a second point said before the first had its second proves nothing', () => {
    const hand = atBench(openStep).apart(0.4).press('again').apart(1.4).press()
    expect(hand.value().evidence).toBe('confirmed')
  })

  it('rule 7: a finite reading between the two points undoes the first', () => {
    const hand = atBench(openStep).apart(2).press('again').apart(0.6).hold(1000, 0.2, { resolution: 1, range: 6000 }).apart(2).press()
    expect(hand.value().evidence).toBe('confirmed')
  })

  it('rule 7: zero volts are kept as the mean of what was shown, with its frames', () => {
    const hand = atBench(zeroVolts).hold((since) => (Math.round(since * 5) % 2 === 0 ? 0.001 : 0.002), 2).press()
    const value = hand.value()
    expect(value.value).toBeGreaterThan(0.001)
    expect(value.value).toBeLessThan(0.002)
    expect(value.raw).toHaveLength(value.conversions)
  })

  it('rule 7: key repeat is one press: one value, and none in the steps that follow at once', () => {
    const hand = atBench(openStep).apart(2).press()
    keyHeld(hand, 1)
    expect(hand.captured()).toHaveLength(1)
    hand.next({ step: 'open-2' })
    keyHeld(hand, 0.9)
    expect(hand.captured()).toHaveLength(1)
  })

  it('rule 7: after an open is taken, repeated presses do not take the touch that follows', () => {
    const hand = atBench(openStep).apart(2).press().next({ step: 'r1', limits: { nominal: 220, tolerance: 0.05 }, expectsAir: false })
    hand.hold(220, 0.4).press().press().press()
    expect(hand.captured()).toHaveLength(1)
    hand.apart(1)
    expect(secondsToCapture(hand, 220, 3)).toBeGreaterThan(0.6)
  })

  it('rule 7: a press long after the last air frame is not about it', () => {
    const hand = atBench(openStep).apart(2)
    hand.give({ press: 'confirm', at: seconds(hand.now() + 1.5) })
    expect(hand.captured()).toEqual([])
  })
})
