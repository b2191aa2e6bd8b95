/** Rule 1, conversions, not frames: repeated frames are one measurement, and the first after contact is dropped. */
import { describe, expect, it } from 'vitest'
import { carryOver } from '../../../src-core/capture/capture'
import { seconds } from '../../../src-core/quantity/units'
import { about, atBench, figureIn, frame, ohmsRange, secondsToCapture } from './streams'

describe('rule 1: conversions, not frames', () => {
  it('rule 1: fifty frames of a meter that converts every 2 s are not fifty measurements', () => {
    const hand = atBench({}, { rate: 0.5, frames: 20 }).apart(6)
    hand.hold(220, 5)
    expect(hand.captured()).toEqual([])
    hand.hold(220, 7)
    expect(hand.value().conversions).toBeGreaterThanOrEqual(3)
    expect(hand.value().conversions).toBeLessThanOrEqual(6)
    expect(hand.value().raw).toHaveLength(hand.value().conversions)
  })

  it('rule 1: a repeated frame that comes 0.85 of a conversion time after the last conversion is the next one', () => {
    const hand = atBench({ conversionSeconds: seconds(0.2) }, { rate: 1 / 0.17 }).apart(1.7)
    expect(secondsToCapture(hand, 220, 3)).not.toBeNull()
    const { seconds: took, conversions } = hand.value()
    expect(took / conversions).toBeCloseTo(0.17, 2)
  })

  it('rule 1: a repeated frame that comes 0.75 of a conversion time after it is not', () => {
    const hand = atBench({ conversionSeconds: seconds(0.2) }, { rate: 1 / 0.15 }).apart(1.5)
    expect(secondsToCapture(hand, 220, 3)).not.toBeNull()
    const { seconds: took, conversions } = hand.value()
    expect(took / conversions).toBeCloseTo(0.3, 2)
  })

  it('rule 1: a frame that differs is a conversion, however soon it comes', () => {
    const hand = atBench({ conversionSeconds: seconds(0.4) }, { rate: 10 }).apart(2)
    expect(secondsToCapture(hand, about(220, 0.1, 10), 3)).not.toBeNull()
    const { seconds: took, conversions } = hand.value()
    expect(took / conversions).toBeCloseTo(0.1, 2)
  })

  it('rule 1: the conversion time is taken from the meter description, function by function', () => {
    const slow = atBench(
      { function: 'capacitance', limits: { nominal: 1e-6, tolerance: 0.2 }, conversionSeconds: seconds(1), lowestRange: 6e-9 },
      { function: 'capacitance', resolution: 1e-9, range: 6e-6, rate: 1, frames: 10 },
    ).apart(4)
    expect(slow.hold(1e-6, 2.5).captured()).toEqual([])
    slow.hold(1e-6, 3.5)
    expect(slow.value().value).toBeCloseTo(1e-6, 12)
  })

  it('rule 1: where it is not described, the conversion time is measured from the stream and kept for the next step', () => {
    const hand = atBench({ conversionSeconds: null }, { rate: 2, frames: 5 }).apart(3)
    hand.hold((since) => 300 + 3 * Math.sin(since * 9) + since, 15)
    expect(hand.captured()).toEqual([])
    expect(carryOver(hand.state()).measuredConversion.resistance).toBeCloseTo(0.5, 2)
    hand.next().apart(2)
    expect(hand.hold(220, 1.2).captured()).toEqual([])
    hand.hold(220, 1.8)
    expect(hand.value().value).toBe(220)
    expect(hand.value().conversions).toBeLessThanOrEqual(6)
  })

  it('rule 1: a steady first frame repeated at the frame rate is not a value where the conversion time is known to be longer', () => {
    const hand = atBench({}, { rate: 1, frames: 10 }).apart(4)
    expect(hand.hold(220, 2.9).captured()).toEqual([])
  })

  it('rule 1: the first conversion after contact is dropped, for part of it was air', () => {
    const hand = atBench().apart(2)
    hand.hold(219.2, 0.2)
    expect(secondsToCapture(hand, 220, 3)).not.toBeNull()
    expect(hand.value().value).toBe(220)
    expect(hand.value().raw.map(figureIn)).not.toContain(219.2)
    expect(hand.value().raw).not.toContain(frame(ohmsRange, 219.2, 0).raw)
  })
})
