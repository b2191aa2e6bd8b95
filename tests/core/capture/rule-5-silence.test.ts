/** Rule 5, silence: when the meter says nothing, capture stops and says so. */
import { describe, expect, it } from 'vitest'
import { captureStatus } from '../../../src-core/capture/capture'
import { seconds } from '../../../src-core/quantity/units'
import { atBench, figureIn, frame, ohmsRange, openStep, secondsToCapture, zeroVolts } from './streams'

const silences = (hand: ReturnType<typeof atBench>) => hand.outputs().filter((output) => output.kind === 'silent')

describe('rule 5: silence', () => {
  it('rule 5: a fast meter is not silent before 2 s, is after, and it is said once', () => {
    const hand = atBench({}, { rate: 10 }).apart(2).nothing(1.9)
    expect(silences(hand)).toEqual([])
    hand.nothing(0.3)
    expect(silences(hand)).toHaveLength(1)
    expect(hand.status()).toEqual({ kind: 'silent' })
    hand.nothing(60)
    expect(silences(hand)).toHaveLength(1)
  })

  it('rule 5: a meter that sends a frame every 1.5 s is not silent before three frame times', () => {
    const hand = atBench({}, { rate: 1 / 1.5 }).apart(12).nothing(4.3)
    expect(silences(hand)).toEqual([])
    hand.nothing(0.4)
    expect(silences(hand)).toHaveLength(1)
  })

  it('rule 5: the usual frame time is that of the function: slow capacitance after fast ohms is not silence', () => {
    const task = { function: 'capacitance' as const, limits: { atLeast: 1e-9 }, lowestRange: 6e-9, conversionSeconds: null }
    const hand = atBench(task, { function: 'resistance' })
    hand.hold('overload', 4)
    const look = { ...ohmsRange, function: 'capacitance' as const }
    for (let n = 1; n <= 6; n += 1) hand.give({ reading: frame(look, 'overload', hand.now() + n * 1.5) })
    const last = hand.now() + 9
    hand.give({ tick: seconds(last + 4.3) })
    expect(silences(hand)).toEqual([])
    hand.give({ tick: seconds(last + 4.7) })
    expect(silences(hand)).toHaveLength(1)
    expect(captureStatus(hand.state(), seconds(last + 4.7))).toEqual({ kind: 'silent' })
  })

  it('rule 5: a meter that never sent anything is silent too', () => {
    const hand = atBench().nothing(3)
    expect(silences(hand)).toHaveLength(1)
  })

  it('rule 5: during silence a press takes nothing, whether or not a tick came', () => {
    expect(atBench(openStep).apart(3).nothing(3).press().captured()).toEqual([])
    const unticked = atBench(openStep).apart(3)
    unticked.give({ press: 'confirm', at: seconds(unticked.now() + 3) })
    expect(unticked.captured()).toEqual([])
  })

  it('rule 5: silence breaks the second of air that a press needs', () => {
    const hand = atBench(zeroVolts).apart(3).nothing(3).apart(0.8).press()
    expect(hand.captured()).toEqual([])
  })

  it('rule 5: nothing from before a silence is captured after it', () => {
    const hand = atBench().apart(2).hold(220, 0.6).nothing(3)
    expect(hand.hold(220, 5).captured()).toEqual([])
    hand.apart(1)
    expect(secondsToCapture(hand, 330, 3)).not.toBeNull()
    expect(hand.value().value).toBe(330)
  })

  it('rule 5: a gap of several frames, shorter than silence, breaks the contact as well', () => {
    const hand = atBench({}, { rate: 10 }).apart(2).hold(220, 0.6).nothing(1).hold(220.2, 0.5)
    expect(silences(hand)).toEqual([])
    expect(hand.captured()).toEqual([])
    expect(secondsToCapture(hand, 220.2, 2)).not.toBeNull()
    expect(hand.value().raw.map(figureIn)).not.toContain(220)
    expect(hand.value().seconds).toBeLessThan(2)
  })

  it('rule 5: once frames come again the meter is no longer silent', () => {
    const hand = atBench().apart(2).nothing(5).apart(0.4)
    expect(hand.status().kind).toBe('touch')
  })
})
