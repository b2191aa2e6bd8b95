/** Rule 4, wrong function: the dial is asked for, and nothing is captured. */
import { describe, expect, it } from 'vitest'
import { atBench, frame, ohmsRange, openStep, secondsToCapture, voltsRange } from './streams'

describe('rule 4: wrong function', () => {
  it('rule 4: a value of another function is never captured, and the dial is asked for once', () => {
    const hand = atBench().apart(2).hold(2.2, 20, voltsRange)
    expect(hand.captured()).toEqual([])
    expect(hand.outputs().filter((output) => output.kind === 'wrong-function'))
      .toEqual([{ kind: 'wrong-function', wanted: 'resistance', shows: 'dc-voltage', at: expect.closeTo(12.2, 9) }])
    expect(hand.status()).toEqual({ kind: 'wrong-function', shows: 'dc-voltage' })
  })

  it('rule 4: an overload of another function is not confirmed by a press', () => {
    const hand = atBench(openStep).apart(0.4).hold('overload', 5, { function: 'diode' }).press()
    expect(hand.captured()).toEqual([])
  })

  it('rule 4: air seen in another function does not count towards the second of air', () => {
    const hand = atBench(openStep).apart(0.4).hold('overload', 5, { function: 'diode' }).apart(0.8).press()
    expect(hand.captured()).toEqual([])
  })

  it('rule 4: with the dial set right the value is captured, from readings of that function alone', () => {
    const hand = atBench().apart(2).hold(2.2, 2, voltsRange)
    const took = secondsToCapture(hand, 220, 3)
    expect(took).toBeGreaterThan(0.6)
    expect(hand.value().function).toBe('resistance')
    expect(hand.value().unit).toBe('Ω')
    expect(hand.value().value).toBe(220)
  })

  it('rule 4: a turn of the dial in between breaks the contact', () => {
    const hand = atBench().apart(2).hold(220, 0.6).hold(2.2, 0.2, voltsRange).hold(220, 0.6)
    expect(hand.captured()).toEqual([])
  })

  it('rule 4: ohms that come with the unit of volts are never captured', () => {
    const hand = atBench().apart(2)
    for (let n = 1; n <= 30; n += 1) hand.give({ reading: { ...frame(ohmsRange, 220, hand.now() + n * 0.2), unit: 'V' } })
    expect(hand.captured()).toEqual([])
  })
})
