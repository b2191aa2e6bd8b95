/** The touch model itself: that it does what it says, before anybody is judged by it. */
import { readdirSync, readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { playMeter } from '../../../fixtures/touches/conversions'
import { bandOf, plainDwell, uncertaintyOf } from '../../../fixtures/touches/dwell'
import { drawGrip, fingerPath } from '../../../fixtures/touches/finger'
import { airPatternOf, cells, countOf, fullScaleOf, makeMeter, rangeFor, type Cell, type ModelMeter } from '../../../fixtures/touches/model-meter'
import { seededRandom } from '../../../fixtures/touches/random'
import { charging, leadsApart, steady } from '../../../fixtures/touches/signal'
import { carefulClasses, touchClasses } from '../../../fixtures/touches/touch'
import { makeTouch } from '../../../fixtures/touches/touches'

const meterOf = (change: Partial<ModelMeter> = {}, cell: Cell = { rate: 10, counts: 6000, noise: 0.3 }): ModelMeter =>
  ({ ...makeMeter(seededRandom(1), cell, 'resistance'), fixedRange: 0, conversionSeconds: 1 / cell.rate, ...change })

const sdOf = (values: number[]): number => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1))
}

it('imports nothing of capture: only its own files, and types of the meter', () => {
  const folder = new URL('../../../fixtures/touches/', import.meta.url)
  const files = readdirSync(folder).filter((name) => name.endsWith('.ts'))
  expect(files.length).toBeGreaterThan(10)
  for (const name of files) {
    const text = readFileSync(new URL(name, folder), 'utf8')
    const imports = [...text.matchAll(/^import (type )?[^;]*?from '([^']+)'/gms)]
    expect(imports.length, name).toBe([...text.matchAll(/^import /gm)].length)
    for (const [, type, from] of imports) {
      const allowed = from?.startsWith('./') === true || (type !== undefined && from?.startsWith('../../src-core/meter/') === true)
      expect(allowed, `${name} imports ${from}`).toBe(true)
    }
    expect(/\bimport\(|\brequire\(/.test(text), name).toBe(false)
  }
})

it('the same seed gives the same touch, another seed another, whatever was made before', () => {
  for (const cls of touchClasses) {
    const once = makeTouch(cls, 7, 3)
    makeTouch(cls, 8, 3)
    expect(makeTouch(cls, 7, 3)).toEqual(once)
    expect(makeTouch(cls, 7, 4).readings).not.toEqual(once.readings)
  }
})

it('chance is even and normal: mean, spread, and the share beyond two standard deviations', () => {
  const random = seededRandom(5)
  const even = Array.from({ length: 40_000 }, () => random.even())
  const normal = Array.from({ length: 40_000 }, () => random.normal())
  expect(Math.min(...even)).toBeGreaterThanOrEqual(0)
  expect(Math.max(...even)).toBeLessThan(1)
  expect(sdOf(even)).toBeCloseTo(Math.sqrt(1 / 12), 2)
  expect(sdOf(normal)).toBeCloseTo(1, 1)
  // Share of a normal distribution beyond 2 standard deviations: 0.0455 (JCGM 100:2008, table G.2 rounds it to 95.45 % within k = 2).
  expect(normal.filter((value) => Math.abs(value) > 2).length / normal.length).toBeCloseTo(0.0455, 2)
})

it.each(cells)('noise of $noise count at $rate a second on $counts counts is that, in every range', (cell) => {
  const meter = meterOf({ averaging: null, noiseCounts: cell.noise }, cell)
  for (const fixedRange of [0, 3]) {
    const fullScale = fullScaleOf(meter, fixedRange)
    const played = playMeter({ ...meter, fixedRange }, [{ from: 0, level: steady(0.4 * fullScale) }], 4000 / cell.rate, 0.5, seededRandom(11))
    const sd = sdOf(played.slice(1).map((one) => one.exact / countOf(meter, fullScale)))
    // Standard error of a standard deviation from 4,000 values: 1.1 %.
    expect(Math.abs(sd / cell.noise - 1)).toBeLessThan(0.045)
  }
})

it('makes the conversions it says: rate within 1 %, one frame each, or the stated repeats of the same line', () => {
  for (const cls of ['clean', 'repeats'] as const) {
    for (let index = 0; index < 48; index++) {
      const touch = makeTouch(cls, index, 2)
      const first = touch.readings[0]?.at ?? 0
      const last = touch.readings.at(-1)?.at ?? 0
      const perSecond = (touch.readings.length - 1) / (last - first)
      const frames = perSecond / touch.cell.rate
      const whole = Math.round(frames)
      expect(whole).toBeGreaterThanOrEqual(cls === 'clean' ? 1 : 2)
      expect(whole).toBeLessThanOrEqual(cls === 'clean' ? 1 : 5)
      expect(Math.abs(frames / whole - 1)).toBeLessThan(0.03)
      const conversion = Math.floor(touch.readings.length / whole / 2) * whole
      expect(new Set(touch.readings.slice(conversion, conversion + whole).map((reading) => reading.raw)).size).toBe(1)
    }
  }
})

it('every class is spread evenly over rates, displays and noises', () => {
  for (const cls of touchClasses) {
    const seen = new Map<string, number>()
    for (let index = 0; index < 48; index++) {
      const { cell } = makeTouch(cls, index, 1)
      const key = `${cell.rate} ${cell.counts} ${cell.noise}`
      seen.set(key, (seen.get(key) ?? 0) + 1)
    }
    expect([...seen.values()]).toEqual(Array.from({ length: 24 }, () => 2))
  }
})

it('ohms of clean touches are spread evenly over the decades from 1 Ω to 1 MΩ', () => {
  const decades = new Map<number, number>()
  for (let index = 0; index < 2400; index++) {
    const { step } = makeTouch('clean', index, 1)
    if (step.task.function === 'resistance') {
      const decade = Math.floor(Math.log10(step.trueValue ?? Number.NaN))
      decades.set(decade, (decades.get(decade) ?? 0) + 1)
    }
  }
  const counts = [0, 1, 2, 3, 4, 5].map((decade) => decades.get(decade) ?? 0)
  // About 190 a decade; four standard deviations of a count of 190 are 55.
  for (const count of counts) expect(Math.abs(count - 190)).toBeLessThan(60)
})

it('the charging curve is V·(1 − e^(−t/RC)) averaged over the conversion', () => {
  const rc = 1.7
  const meter = meterOf({ noiseCounts: 0 })
  const played = playMeter(meter, [{ from: 0, level: charging(400, 1, rc, 0) }], 12, 0, null)
  expect(played.length).toBeGreaterThan(100)
  for (const one of played) {
    const steps = 1000
    const mean = Array.from({ length: steps }, (_, i) => one.end - 0.1 + (0.1 * (i + 0.5)) / steps)
      .reduce((sum, t) => sum + 400 * (1 - Math.exp(-t / rc)), 0) / steps
    expect(Math.abs(one.exact - mean)).toBeLessThan(1e-4)
  }
  // After one time constant 63.2 % of the final value: 1 − 1/e, any handbook.
  expect(charging(400, 1, rc, 0)(rc - 1e-6, rc + 1e-6, 600) / 400).toBeCloseTo(0.632, 3)
})

it('the first conversion after contact is part air, in proportion', () => {
  const meter = meterOf({ overScale: 1.5 })
  const air = leadsApart(seededRandom(1), meter)
  const played = playMeter(meter, [{ from: 0, level: air }, { from: 1.07, level: steady(100) }], 2, 0, null)
  expect(played.slice(0, 10).every((one) => one.shown === 'overload')).toBe(true)
  // Contact at 70 % of the eleventh conversion: 0.7 × 900 Ω + 0.3 × 100 Ω is over the scale of 600 Ω.
  expect(played[10]?.shown).toBe('overload')
  const later = playMeter(meter, [{ from: 0, level: air }, { from: 1.03, level: steady(100) }], 2, 0, null)
  expect(later[10]?.exact).toBeCloseTo(0.3 * 900 + 0.7 * 100, 6)
  expect(later[11]?.exact).toBeCloseTo(100, 6)
})

it('an averaged display is the mean of the last conversions, and an exponential closes in by its weight', () => {
  const step = [{ from: 0, level: steady(100) }, { from: 1, level: steady(200) }]
  const four = playMeter(meterOf({ averaging: { kind: 'last', conversions: 4, snaps: false } }), step, 2, 0, null)
  expect(four.slice(9, 15).map((one) => Math.round(one.exact))).toEqual([100, 125, 150, 175, 200, 200])
  const half = playMeter(meterOf({ averaging: { kind: 'exponential', weight: 0.5, snaps: false } }), step, 2, 0, null)
  expect(half.slice(9, 13).map((one) => Math.round(one.exact * 10) / 10)).toEqual([100, 150, 175, 187.5])
})

it('ranging comes down one range at a time, after its delay, to the range that holds the value', () => {
  const meter = meterOf({ fixedRange: null, rangeDelay: 2, blanksAfterChange: false })
  const played = playMeter(meter, [{ from: 0, level: steady(4700) }], 3, 0, null)
  expect(played.slice(0, 8).map((one) => one.fullScale)).toEqual([6e7, 6e7, 6e6, 6e6, 6e5, 6e5, 6e4, 6e4].map((scale) => expect.closeTo(scale, 0)))
  expect(played.at(-1)?.fullScale).toBeCloseTo(6000, 6)
  expect(rangeFor(meter, 4700)).toBe(1)
})

it('B, U and the plain dwell are those of the rules', () => {
  expect(bandOf(1000, 1)).toBe(5)
  expect(bandOf(100, 1)).toBe(3)
  // Worked by hand: (0.015 · 1000 + 5)² / 3 + 1/12 + 0.25 = 133.667; twice its root is 23.123.
  expect(uncertaintyOf(1000, 1, 0.5)).toBeCloseTo(23.123, 3)
  expect(plainDwell(meterOf({ conversionSeconds: 0.1 }))).toBeCloseTo(0.7, 9)
  expect(plainDwell(meterOf({ conversionSeconds: 0.5 }))).toBeCloseTo(2, 9)
})

it('careful touches are held for the dwell and two conversions, and no longer', () => {
  for (const cls of carefulClasses) {
    for (let index = 0; index < 48; index++) {
      const touch = makeTouch(cls, index, 5)
      const more = (touch.liftAt - touch.contactAt - touch.dwell) * touch.cell.rate
      expect(more).toBeGreaterThan(1.97)
      expect(more).toBeLessThan(2.03)
      expect(touch.dwell).toBeGreaterThanOrEqual(0.99 * Math.max(4 / touch.cell.rate, 1 / touch.cell.rate + 0.6))
      if (cls === 'rc-known') expect(touch.dwell).toBeGreaterThanOrEqual(5 * (touch.step.task.rcSeconds ?? Infinity))
    }
  }
})

it('what a careful touch shows before the lift is its true value, within max(U, B)', () => {
  for (const cls of carefulClasses) {
    for (let index = 0; index < 120; index++) {
      const touch = makeTouch(cls, index, 6)
      const lead = touch.step.task.lead
      const last = touch.readings.filter((reading) => reading.at < touch.liftAt).at(-1)
      expect(typeof last?.value, `${cls} ${index}`).toBe('number')
      const shown = Number(last?.value)
      const off = lead !== null && shown < 100 && Math.abs((last?.resolution ?? 0) / lead.resolution - 1) < 1e-6 ? lead.ohms : 0
      expect(Math.abs(shown - off - (touch.step.trueValue ?? Number.NaN)), `${cls} ${index}`).toBeLessThanOrEqual(touch.step.within)
    }
  }
})

it('a ceiling voltage stands as a number within the learned air pattern until contact', () => {
  for (let index = 0; index < 24; index++) {
    const touch = makeTouch('ceiling', index, 1)
    const apart = touch.step.task.air[0]?.apart
    if (apart === undefined || apart === 'overload') throw new Error('no ceiling voltage in the air pattern')
    for (const reading of touch.readings.filter((one) => one.at < 0.6)) {
      expect(Number(reading.value)).toBeGreaterThanOrEqual(apart.from)
      expect(Number(reading.value)).toBeLessThanOrEqual(apart.to)
    }
  }
})

it('held frames never change, digits and flags alike, while the leads move on to a value that differs', () => {
  for (let index = 0; index < 48; index++) {
    const touch = makeTouch('hold', index, 1)
    const onHold = touch.readings.filter((one) => one.at > touch.contactAt && one.at < touch.contactAt + touch.dwell)
    expect(new Set(onHold.map((one) => one.raw)).size).toBe(1)
    expect(Math.abs(Number(onHold[0]?.value) - (touch.step.trueValue ?? Number.NaN))).toBeGreaterThan(touch.step.within)
    expect(touch.readings.every((one) => !one.flags.includes('hold'))).toBe(true)
  }
})

it('a hunting meter goes back and forth between two ranges', () => {
  for (let index = 0; index < 48; index++) {
    const touch = makeTouch('hunting', index, 1)
    const finite = touch.readings.filter((one) => one.at > touch.liftAt - 4 && one.at < touch.liftAt)
    expect(new Set(finite.map((one) => typeof one.value === 'number' ? 'finite' : 'overload')).size).toBe(2)
  }
})

it('a finger is never still: some percent within a second, and within its range of ohms', () => {
  const random = seededRandom(9)
  const changes: number[] = []
  for (let n = 0; n < 200; n++) {
    const grip = drawGrip(random)
    expect(grip.ohms).toBeGreaterThanOrEqual(0.2e6)
    expect(grip.ohms).toBeLessThanOrEqual(5e6)
    const { level } = fingerPath(random, grip, 0, 6)
    changes.push(Math.abs(level(4.9, 5, 1) / level(3.9, 4, 1) - 1))
  }
  changes.sort((a, b) => a - b)
  const median = changes[100] ?? 0
  expect(median).toBeGreaterThan(0.02)
  expect(median).toBeLessThan(0.15)
})

it('open leads in volts stay within the learned pattern, and true volts do not', () => {
  const meter = { ...makeMeter(seededRandom(3), { rate: 5, counts: 6000, noise: 0.5 }, 'dc-voltage') }
  const { apart } = airPatternOf(meter)
  if (apart === 'overload') throw new Error('volts have no overload in air')
  const played = playMeter(meter, [{ from: 0, level: leadsApart(seededRandom(4), meter) }], 60, 0, seededRandom(5))
  for (const one of played) {
    expect(one.exact).toBeGreaterThanOrEqual(apart.from)
    expect(one.exact).toBeLessThanOrEqual(apart.to)
  }
  for (let index = 0; index < 240; index++) {
    const { step } = makeTouch('clean', index, 1)
    const pattern = step.task.air[0]?.apart
    if (step.task.function !== 'dc-voltage' || pattern === undefined || pattern === 'overload') continue
    expect(Math.abs(step.trueValue ?? 0)).toBeGreaterThan(pattern.to)
  }
})
