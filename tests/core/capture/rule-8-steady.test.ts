/** Rule 8, steady: how long a value has to stand, within what, and what is done with one that does not. */
import { describe, expect, it } from 'vitest'
import { waitsLong } from '../../../src-core/capture/capture'
import type { CapturedValue, CaptureTask } from '../../../src-core/capture/task'
import { seconds } from '../../../src-core/quantity/units'
import { about, atBench, figureIn, r1, secondsToCapture } from './streams'

/** Least-squares change over the window, for conversions one after the other at an even pace. */
const trendOver = (values: readonly number[]): number => {
  const n = values.length
  const middle = (n - 1) / 2
  const mean = values.reduce((sum, v) => sum + v, 0) / n
  const along = values.reduce((sum, _v, i) => sum + (i - middle) ** 2, 0)
  return (values.reduce((sum, v, i) => sum + (i - middle) * (v - mean), 0) / along) * (n - 1)
}
const figures = (value: CapturedValue): number[] => value.raw.map(figureIn)

describe('rule 8: how long a value has to stand', () => {
  it.each([2, 3, 5, 10])('rule 8: at %d conversions a second, held for the dwell plus two conversions is captured', (rate) => {
    const dwell = 1 / rate + Math.max(3 / rate, 0.6)
    for (const conversionSeconds of [seconds(1 / rate), null]) {
      const hand = atBench({ conversionSeconds }, { rate }).apart(3)
      hand.hold(220, Math.ceil((dwell + 2 / rate) * rate - 1e-9) / rate)
      expect(hand.value()).toMatchObject({ value: 220, evidence: 'steady' })
    }
  })

  it.each([5, 10, 20])('rule 8: at %d conversions a second nothing is captured before 0.6 s', (rate) => {
    const hand = atBench({}, { rate }).apart(2).hold(220, 0.6)
    expect(hand.captured()).toEqual([])
    expect(secondsToCapture(hand, 220, 1)).not.toBeNull()
    expect(hand.value().seconds).toBeGreaterThanOrEqual(0.6)
  })

  it('rule 8: at one conversion a second it takes three, besides the one dropped', () => {
    const hand = atBench({}, { rate: 1 }).apart(4).hold(220, 3)
    expect(hand.captured()).toEqual([])
    hand.hold(220, 3)
    expect(hand.value().conversions).toBeGreaterThanOrEqual(3)
  })

  it('rule 8: a value that settles 9 s after contact has to stand for a third of the time since', () => {
    const hand = atBench({ limits: { between: [100, 500] } }, { rate: 10 }).apart(2).hold(about(220, 20, 10), 9)
    expect(hand.captured()).toEqual([])
    expect(secondsToCapture(hand, 220, 7)).toBeGreaterThan(4)
    expect(hand.value().conversions).toBeGreaterThan(40)
    expect(hand.value().seconds).toBeLessThan(15)
  })

  it('rule 8: all conversions are of one range', () => {
    const hand = atBench({ limits: { between: [100, 1000] } }, { rate: 10 }).apart(2)
    hand.hold(520, 0.6, { resolution: 1, range: 6000 }).hold(520, 0.5)
    expect(hand.captured()).toEqual([])
    expect(secondsToCapture(hand, 520, 1)).not.toBeNull()
    expect(hand.value().range).toBe(600)
  })

  it('rule 8: a slip of the tip during the dwell begins it anew', () => {
    const hand = atBench({}, { rate: 10 }).apart(2).hold(220, 0.6).hold(260, 0.2).hold(220, 0.6)
    expect(hand.captured()).toEqual([])
  })
})

describe('rule 8: within what it has to stand', () => {
  it('rule 8: conversions within 0.5 % are one value; spread over more they are not', () => {
    const within = atBench({}, { rate: 10 }).apart(2)
    expect(secondsToCapture(within, about(220, 0.4, 10), 3)).not.toBeNull()
    const beyond = atBench({}, { rate: 10 }).apart(2)
    expect(secondsToCapture(beyond, about(220, 0.8, 10), 15)).toBeNull()
    expect(beyond.status().kind).toBe('steadying')
  })

  it('rule 8: small values may wander over 3 counts, no more', () => {
    const small: Partial<CaptureTask> = { limits: { between: [1, 50] } }
    const within = atBench(small, { rate: 10 }).apart(2)
    expect(secondsToCapture(within, about(5, 0.1, 10), 3)).not.toBeNull()
    expect(within.value().band).toBeCloseTo(0.3, 9)
    const beyond = atBench(small, { rate: 10 }).apart(2)
    expect(secondsToCapture(beyond, about(5, 0.2, 10), 15)).toBeNull()
  })

  it('rule 8: in a long window no more than one conversion in ten lies outside B', () => {
    // Of ten conversions two lie 0.9 Ω above and two 0.9 Ω below; after 9 s W is 3 s, and B is 1.1 Ω.
    const strays = (since: number): number => 220 + ([0.9, 0, -0.9, 0, 0, 0.9, 0, -0.9, 0, 0][Math.round(since * 10) % 10] ?? 0)
    const hand = atBench({ limits: { between: [100, 500] } }, { rate: 10 }).apart(2)
    hand.hold(about(220, 20, 10), 8)
    expect(secondsToCapture(hand, (since) => strays(since + 1), 30)).toBeNull()
  })

  it('rule 8: with a trend it waits, and never guesses where the value will end', () => {
    const hand = atBench({ limits: { between: [100, 500] } }, { rate: 10 }).apart(2)
    const rising = (since: number): number => 200 + 0.9 * Math.min(since, 4)
    expect(secondsToCapture(hand, rising, 4)).toBeNull()
    expect(hand.status()).toMatchObject({ kind: 'steadying', trend: true })
    expect(secondsToCapture(hand, 203.6, 5)).not.toBeNull()
    expect(hand.value().value).toBeLessThanOrEqual(203.6)
    expect(hand.value().value).toBeGreaterThan(203.2)
  })

  it.each([5, 20])('rule 8: near %d Ω no accepted window drifts by more than 1.5 counts, half a count for noise, or a third of B', (ohms) => {
    const over: string[] = []
    for (let tenths = 2; tenths <= 80; tenths += 2) {
      const countsPerSecond = tenths / 10
      const hand = atBench({ limits: { between: [1, 100] } }, { rate: 10 }).apart(2)
      if (secondsToCapture(hand, (since) => ohms + 0.1 * countsPerSecond * since, 2) === null) continue
      const value = hand.value()
      const bound = Math.max(2 * 0.1, (value.band ?? 0) / 3 + 0.5 * 0.1)
      const drift = Math.abs(trendOver(figures(value)))
      if (drift > bound + 0.001) over.push(`${countsPerSecond} counts/s taken with a drift of ${(drift / 0.1).toFixed(2)} counts`)
    }
    expect(over).toEqual([])
  })

  it('rule 8: mean, median, standard deviation, number of conversions and raw frames are kept', () => {
    const hand = atBench({}, { rate: 10 }).apart(2)
    expect(secondsToCapture(hand, (since) => 220 + (Math.round(since * 10) % 3 === 0 ? 0.5 : 0.1), 3)).not.toBeNull()
    const value = hand.value()
    const shown = figures(value)
    const mean = shown.reduce((sum, v) => sum + v, 0) / shown.length
    const sorted = [...shown].sort((a, b) => a - b)
    const middle = ((sorted[Math.floor((sorted.length - 1) / 2)] ?? 0) + (sorted[Math.ceil((sorted.length - 1) / 2)] ?? 0)) / 2
    expect(value.conversions).toBe(shown.length)
    expect(value.value).toBeCloseTo(mean, 9)
    expect(value.median).toBeCloseTo(middle, 9)
    expect(value.sd).toBeCloseTo(Math.sqrt(shown.reduce((sum, v) => sum + (v - mean) ** 2, 0) / (shown.length - 1)), 9)
    expect(value.median).not.toBeCloseTo(mean, 2)
  })
})

describe('rule 8: a capacitor across the placement', () => {
  it('rule 8: where R·C is above 0.1 s, 5 R·C is waited for as well', () => {
    const hand = atBench({ rcSeconds: seconds(0.5) }, { rate: 10 }).apart(2).hold(220, 1)
    expect(hand.status()).toMatchObject({ kind: 'charging' })
    expect(hand.hold(220, 1.3).captured()).toEqual([])
    hand.hold(220, 0.9)
    expect(hand.value().seconds).toBeGreaterThanOrEqual(2.3)
  })

  it('rule 8: where it is not above 0.1 s, nothing more is waited for', () => {
    const hand = atBench({ rcSeconds: seconds(0.1) }, { rate: 10 }).apart(2)
    expect(secondsToCapture(hand, 220, 3)).toBeLessThan(1)
  })

  it('rule 8: a step that has to wait more than 20 s says so beforehand', () => {
    expect(waitsLong({ ...r1, rcSeconds: seconds(4.1) })).toBe(true)
    expect(waitsLong({ ...r1, rcSeconds: seconds(3.9) })).toBe(false)
    expect(waitsLong({ ...r1, rcSeconds: null })).toBe(false)
  })
})

describe('rule 8: a value that goes on moving', () => {
  const meter = { resolution: 1, range: 6000, rate: 5 }
  const rising = (since: number): number => 1500 + 60 * since
  const falling = (since: number): number => 4500 - 60 * since
  const offered = (limits: CaptureTask['limits'], value: (since: number) => number, forSeconds = 21) =>
    atBench({ limits }, meter).apart(2).hold(value, forSeconds)

  it('rule 8: after 20 s of unbroken contact without a steady value its last value is offered, not before', () => {
    const hand = offered({ atLeast: 1000 }, rising, 19.8)
    expect(hand.status().kind).not.toBe('offer-moving')
    hand.hold(2700, 0.4)
    expect(hand.status()).toEqual({ kind: 'offer-moving', value: 2700, resolved: true })
    expect(hand.hold((since) => 2700 + 60 * since, 5).captured()).toEqual([])
  })

  it('rule 8: a press before that takes nothing', () => {
    expect(offered({ atLeast: 1000 }, rising, 19).press().hold((since) => 2640 + 60 * since, 10).captured()).toEqual([])
  })

  it('rule 8: past a one-sided limit for good, a press takes the last value as moving', () => {
    const up = offered({ atLeast: 1000 }, rising).press()
    expect(up.value()).toMatchObject({ evidence: 'moving' })
    expect(up.value().value).toBeGreaterThan(2700)
    const down = offered({ atMost: 5000 }, falling).press()
    expect(down.value()).toMatchObject({ evidence: 'moving' })
    expect(offered({ atMost: 1000 }, rising).press().value().evidence).toBe('moving')
  })

  it('rule 8: one that may still cross the limit is not judged', () => {
    expect(offered({ atLeast: 5000 }, rising).press().captured()).toEqual([])
    expect(offered({ atLeast: 1000 }, falling).press().captured()).toEqual([])
    expect(offered({ atMost: 5000 }, rising).press().captured()).toEqual([])
  })

  it('rule 8: one that goes to and fro is not judged', () => {
    const hand = offered({ atLeast: 1000 }, (since) => 2000 + 300 * Math.sin(since) + 10 * since)
    expect(hand.status()).toMatchObject({ kind: 'offer-moving', resolved: false })
    expect(hand.press().captured()).toEqual([])
  })

  it('rule 8: one is never judged against limits with two sides', () => {
    const hand = offered({ between: [100, 1000] }, rising)
    expect(hand.status()).toMatchObject({ kind: 'offer-moving', resolved: false })
    expect(hand.press().captured()).toEqual([])
  })

  it('rule 8: a lift in between begins the 20 s anew', () => {
    const hand = offered({ atLeast: 1000 }, rising, 15).apart(0.6).hold(rising, 15)
    expect(hand.status().kind).not.toBe('offer-moving')
    expect(hand.press().captured()).toEqual([])
  })
})
