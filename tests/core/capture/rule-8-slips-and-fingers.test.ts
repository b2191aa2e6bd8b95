/** Rule 8 where something else stands as still as a value: a slip shorter than the dwell, a mixed conversion, fingers on the tips. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { atBench, secondsToCapture, type Hand, type Look } from './streams'

const coarse: Partial<Look> = { resolution: 1000, range: 2e6 }
const kilohms: Partial<Look> = { resolution: 100, range: 6e5 }
const fewMegohms: Partial<Look> = { resolution: 1000, range: 6e6 }

const kilo = (...values: number[]): number[] => values.map((value) => value * 1000)

/** One conversion after another. */
const shows = (hand: Hand, values: number[]): Hand =>
  values.reduce((h, value) => h.hold(value, h.state().task.conversionSeconds ?? 0.2), hand)

describe('rule 8: slips', () => {
  it('rule 8: a worse contact for less than the dwell is never taken, whatever the rate and the phase', () => {
    fc.assert(fc.property(
      fc.constantFrom(2, 3, 5, 10), fc.double({ min: 0.02, max: 2, noNaN: true }), fc.double({ min: 0.05, max: 0.99, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }), fc.integer({ min: 1, max: 3 }),
      (rate, worse, share, phase, good) => {
        const conversion = 1 / rate
        const dwell = conversion + Math.max(3 * conversion, 0.6)
        const begins = good * conversion + phase * conversion
        const ends = begins + share * dwell
        // Each conversion is the mean over its own time, so those at both ends of the slip are part of it only.
        const bad = (end: number): number => Math.max(0, Math.min(end, ends) - Math.max(end - conversion, begins)) / conversion
        const hand = atBench({ limits: { between: [100, 900] } }, { rate }).apart(2)
        hand.hold((since) => 220 * (1 + worse * bad(since)), ends + 2)
        for (const value of hand.captured()) expect(Math.abs(Number(value.value) / 220 - 1)).toBeLessThan(0.011)
      },
    ), { numRuns: 300, seed: 8 })
  })

  it('rule 8: the conversion in which contact was made is not part of the value', () => {
    const hand = atBench({}, { rate: 5 }).apart(2).hold(220.9, 0.2).hold(220, 1.4)
    expect(hand.value().shown).toBe(220)
  })

  it('rule 8: after a jump the conversion it came with is not part of the value', () => {
    const hand = atBench({ limits: { between: [100, 500] } }, { rate: 5 }).apart(2).hold(300, 0.6).hold(221, 0.2).hold(220, 1.4)
    expect(hand.value().shown).toBe(220)
  })
})

describe('rule 8: fingers', () => {
  it('rule 8: a resistor above 200 kΩ that stands within the count is taken as soon as any other', () => {
    const high = secondsToCapture(atBench({ limits: { atLeast: 1e5 } }, { rate: 5, ...fewMegohms }).apart(2), 1_500_000, 5)
    const low = secondsToCapture(atBench({}, { rate: 5 }).apart(2), 220, 5)
    expect(high).toBe(low)
  })

  it('rule 8: good or bad, a value above 200 kΩ is taken after the same time', () => {
    const good = atBench({ limits: { atLeast: 1e5 } }, { rate: 5, ...fewMegohms }).apart(2)
    const bad = atBench({ limits: { atMost: 1e5 } }, { rate: 5, ...fewMegohms }).apart(2)
    expect(secondsToCapture(good, 900_000, 5)).toBe(secondsToCapture(bad, 900_000, 5))
  })

  it('rule 8: a grip that closed from 240 kΩ to 227 kΩ has to stand for 3 s', () => {
    const hand = atBench({ limits: { atLeast: 1e5 } }, { rate: 5, ...kilohms }).apart(2).hold(590_000, 0.2).hold(240_000, 0.4)
    const took = secondsToCapture(hand, 227_000, 6)
    expect(took).toBeGreaterThan(2.9)
    expect(hand.value().shown).toBe(227_000)
  })

  it('rule 8: the same fall below 200 kΩ has to stand no longer than usual', () => {
    const hand = atBench({ limits: { atLeast: 1e3 } }, { rate: 5, ...kilohms }).apart(2).hold(590_000, 0.2).hold(140_000, 0.4)
    expect(secondsToCapture(hand, 127_000, 6)).toBeLessThan(1.5)
  })

  it('rule 8: where one count is a third of a percent, wavering over two counts has to last 3 s', () => {
    const waver = (since: number): number => 300_000 + 2000 * (Math.round(since * 5) % 2)
    const hand = atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 5, ...coarse }).apart(2)
    expect(secondsToCapture(hand, waver, 8)).toBeGreaterThan(2.9)
    const still = atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 5, ...coarse }).apart(2)
    expect(secondsToCapture(still, 300_000, 8)).toBeLessThan(1.5)
  })

  it('rule 8: there all conversions since contact count, not the last few alone', () => {
    const hand = atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 5, ...coarse }).apart(2)
    expect(shows(hand, kilo(250, 242, 245, 244, 244, 243, 243, 244)).captured()).toHaveLength(0)
    expect(secondsToCapture(hand, 244_000, 4)).not.toBeNull()
  })

  it('rule 8: there the conversion that made contact counts as one that agrees only within one count', () => {
    const at3 = (): Hand => atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 3, ...coarse }).apart(2)
    expect(shows(at3(), kilo(231, 229, 229, 230, 229)).captured()).toHaveLength(0)
    expect(shows(at3(), kilo(230, 229, 229, 230, 229)).captured()).toHaveLength(1)
  })

  it('rule 8: where one count is more than half a percent, a value that may be a finger has to stand for 3 s', () => {
    const hand = atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 5, ...coarse }).apart(2)
    expect(secondsToCapture(hand, 190_000, 8)).toBeGreaterThan(2.9)
    const fine = atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 5, resolution: 100, range: 2e5 }).apart(2)
    expect(secondsToCapture(fine, 190_000, 8)).toBeLessThan(1.5)
  })

  it('rule 8: a value above 2 MΩ has to stand for 3 s, good or bad', () => {
    for (const limits of [{ atLeast: 1e5 }, { atMost: 1e5 }]) {
      expect(secondsToCapture(atBench({ limits }, { rate: 5, ...fewMegohms }).apart(2), 2_500_000, 8)).toBeGreaterThan(2.9)
      expect(secondsToCapture(atBench({ limits }, { rate: 5, ...fewMegohms }).apart(2), 1_900_000, 8)).toBeLessThan(1.5)
    }
  })

  it('rule 8: above 200 kΩ five conversions have to agree, where three would do below', () => {
    const steps = [556, 549, 551, 548, 548, 550]
    const limits = { atLeast: 1 }
    expect(shows(atBench({ limits }, { rate: 3, resolution: 1000, range: 6e6 }).apart(2), kilo(...steps)).captured()).toHaveLength(0)
    expect(shows(atBench({ limits }, { rate: 3 }).apart(2), steps.map((step) => step / 10)).captured()).toHaveLength(1)
  })

  it('rule 8: a finger of 200 kΩ that has wavered to below it is judged as one above', () => {
    const hand = atBench({ limits: { atLeast: 1e4 }, counts: 2000 }, { rate: 5, ...coarse }).apart(2)
    expect(shows(hand, kilo(204, 200, 199, 199, 196, 197, 196, 196, 196)).captured()).toHaveLength(0)
  })

  it('rule 8: a value that stood lower and came up by a fit has to stand for 3 s, one that charged from empty only as long as any', () => {
    const wavered = shows(atBench({ limits: { atLeast: 1e4 } }, { rate: 3, ...kilohms }).apart(2), kilo(308.5, 308.2, 308.6))
    expect(secondsToCapture(wavered, 318_000, 6)).toBeGreaterThan(2.9)
    const charged = atBench({ limits: { atLeast: 1e4 } }, { rate: 3, ...kilohms }).apart(2)
    expect(secondsToCapture(charged, (since) => 318_000 * (1 - Math.exp(-since / 0.15)), 6)).toBeLessThan(2.6)
  })

  it('rule 8: while a value above 200 kΩ steadies, the line asks for the fingers to keep off', () => {
    expect(atBench({}, { rate: 5, ...kilohms }).apart(2).hold(500_000, 0.4).status().kind).toBe('fingers-off')
    expect(atBench({}, { rate: 5 }).apart(2).hold(220, 0.4).status().kind).toBe('steadying')
  })
})

describe('rule 1: how fast an undescribed meter converts', () => {
  it('rule 1: a frame sent four times is one conversion, once the stream has shown it', () => {
    const hand = atBench({ conversionSeconds: null, limits: { between: [100, 500] } }, { rate: 2, frames: 4 }).apart(2)
    hand.hold((since) => 220 + 0.1 * Math.round(since * 2), 2).apart(2)
    hand.hold((since) => 220 + 5 * (Math.round(since * 2) % 2), 14)
    expect(hand.state().measuredConversion.resistance).toBeCloseTo(0.5, 2)
  })

  it('rule 1: digits that often stay the same do not make a meter look slow', () => {
    const hand = atBench({ conversionSeconds: null, limits: { between: [100, 500] } }, { rate: 5 }).apart(2)
    const pattern = [0, 0, 0, 5, 5, 0, 0, 0, 0, 5, 0, 5, 5, 5, 0, 0, 5]
    hand.hold((since) => 220 + (pattern[Math.round(since * 5) % pattern.length] ?? 0), 12)
    expect(hand.state().measuredConversion.resistance).toBeCloseTo(0.2, 2)
  })
})
