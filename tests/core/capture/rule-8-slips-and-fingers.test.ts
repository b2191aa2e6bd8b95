/** Rule 8 where something else stands as still as a value: a slip shorter than the dwell, a mixed conversion, fingers on the tips. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { atBench, secondsToCapture, type Look } from './streams'

const megohms: Partial<Look> = { resolution: 1e4, range: 2e7 }
const kilohms: Partial<Look> = { resolution: 100, range: 6e5 }
const fewMegohms: Partial<Look> = { resolution: 1000, range: 6e6 }

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
    const waver = (since: number): number => 3_000_000 + 20_000 * (Math.round(since * 5) % 2)
    const hand = atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 5, ...megohms }).apart(2)
    expect(secondsToCapture(hand, waver, 8)).toBeGreaterThan(2.9)
    const still = atBench({ limits: { atLeast: 1e5 }, counts: 2000 }, { rate: 5, ...megohms }).apart(2)
    expect(secondsToCapture(still, 3_000_000, 8)).toBeLessThan(1.5)
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
