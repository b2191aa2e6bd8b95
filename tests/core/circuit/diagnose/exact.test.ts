/** The search with its linear evidence against the sum over all fault sets, figures and tolerances drawn. */
import { describe, expect, it } from 'vitest'
import { figuresOf } from '../../../../src-core/circuit/diagnose/cells'
import { onScale } from '../../../../src-core/circuit/diagnose/display-scale'
import { evidenceOf, varianceLeft } from '../../../../src-core/circuit/diagnose/evidence'
import { elementary, perSet, sumOver, usualCounts } from '../../../../src-core/circuit/diagnose/set-prior'
import { seenOf, usualAirWrong } from '../../../../src-core/circuit/diagnose/seen'
import { sitesOf } from '../../../../src-core/circuit/diagnose/sites'
import { diagnose } from '../../../../src-core/circuit/diagnose'
import type { Placement } from '../../../../src-core/circuit/diagnosis'
import { drawnRanges, upwardShare } from '../../../../src-core/circuit/fault-priors'
import type { Fault } from '../../../../src-core/circuit/faults'
import { genericDrives } from '../../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../../src-core/circuit/network'
import { read, readerOf } from '../../../../src-core/circuit/read'
import { type Random, seededRandom } from '../../../../src-core/circuit/seeded-random'
import { drawSpread } from '../../../../src-core/circuit/spread'
import { boardOf, diode, fileOf, readingOf, resistor } from './small-boards'

const between = ([low, high]: readonly [number, number], random: Random): number => low * (high / low) ** random()

const drawn = (ref: string, kind: Fault['kind'], random: Random): Fault => {
  const at = { ref, pin: null }
  switch (kind) {
    case 'open': case 'reversed': return { ...at, kind }
    case 'short': return { ...at, kind, ohms: between(drawnRanges.shortOhms, random) }
    case 'leaky': return { ...at, kind, ohms: between(drawnRanges.leakOhms, random) }
    case 'drifted': return { ...at, kind, factor: between(drawnRanges.driftFactors, random) ** (random() < upwardShare ? 1 : -1) }
    case 'bridge': throw new Error('not drawn')
  }
}

describe('against the sum over all sets', () => {
  it('gives the probability of each part of a board of two', () => {
    const board = boardOf([resistor('R1', 1000, 'IN', 'A', 0.1), diode('D1', 'A', 'GND')], ['A'])
    const placement: Placement = { red: 'TP_IN', black: 'TP_GND', function: 'diode' }
    const reading = readingOf(board, [{ ref: 'R1', pin: null, kind: 'drifted', factor: 0.55 }], placement)
    const value = { ...reading, U: 0.06, k: 2 }
    const seen = seenOf(value, genericDrives, usualAirWrong)
    if (seen === null || seen.kind !== 'figure') throw new Error('no figure')
    const sites = sitesOf(board, [])
    const worth = perSet(usualCounts, sites.map(({ weight }) => weight))
    const random = seededRandom(41)
    const draws = 1500
    const density = (faults: (r: Random) => Fault[]): number => {
      let sum = 0
      for (let at = 0; at < draws; at += 1) {
        const found = read(readerOf(networkOf(board, faults(random), { spread: drawSpread(board, random) })), 'IN', 'GND', 'diode')
        if (!found.ok) throw new Error(found.because)
        const y = found.value === 'overload' ? 99 : onScale('diode', found.value)
        sum += Math.exp(-((y - seen.y) ** 2) / (2 * seen.sigma ** 2))
      }
      return sum / draws
    }
    const options = sites.map(({ ref, weight, states }) => [{ ref: null as string | null, kind: null as Fault['kind'] | null, weight: 1 },
      ...states.map((state) => ({ ref, kind: state.kind, weight: weight * state.weight / states.reduce((sum, one) => sum + one.weight, 0) }))])
    let [total, r1, d1] = [0, 0, 0]
    for (const one of options[0] ?? []) for (const other of options[1] ?? []) {
      const faulty = [one, other].filter(({ kind }) => kind !== null)
      const mass = density((r) => faulty.flatMap(({ ref, kind }) => (kind === null || ref === null ? [] : [drawn(ref, kind, r)])))
        * (worth[faulty.length] ?? 0) * one.weight * other.weight
      total += mass
      if (one.kind !== null) r1 += mass
      if (other.kind !== null) d1 += mass
    }
    const { parts } = diagnose(board, fileOf(board, [value]))
    // 1,500 draws a set leave about 0.03; the rest is what linear evidence may be off where one coarse reading leaves everything open.
    expect(Math.abs((parts[0]?.probability ?? NaN) - r1 / total)).toBeLessThan(0.08)
    expect(Math.abs((parts[1]?.probability ?? NaN) - d1 / total)).toBeLessThan(0.08)
  })
})

describe('the worth of sets', () => {
  it('adds up to 1 over all sets of up to five', () => {
    const weights = [5, 2, 7, 1, 3, 4]
    expect(sumOver(perSet(usualCounts, weights), 0, elementary(weights, 5))).toBeCloseTo(1, 10)
  })
  it('sums products over all choices', () => {
    expect([...elementary([2, 3, 5], 3)]).toEqual([1, 10, 31, 30])
  })
  it('divides a range into cells whose densities add up to an even one', () => {
    const cells = figuresOf('leaky')
    const at = (x: number): number => cells.reduce((sum, { figure, share }) => (figure === null ? sum
      : sum + share * Math.exp(-(((x - figure.mean) / figure.sd) ** 2) / 2) / (figure.sd * Math.sqrt(2 * Math.PI))), 0)
    const even = 1 / Math.log(drawnRanges.leakOhms[1] / drawnRanges.leakOhms[0])
    for (const ohms of [300, 1000, 3000, 9000]) expect(at(Math.log(ohms)) / even).toBeCloseTo(1, 1)
  })
})

describe('what the readings leave open', () => {
  const unknowns = { mean: Float64Array.of(0, 0), sd: Float64Array.of(0.1, 0.2) }
  const linear = { at: Float64Array.of(0, 0), predicted: Float64Array.of(0, 0), slopes: [Float64Array.of(1, 0), Float64Array.of(1, 0)] }
  const left = varianceLeft([{ kind: 'figure', y: 0.1, sigma: 0.05 }, { kind: 'figure', y: 0.12, sigma: 0.05 }], unknowns, linear)
  it('is the variance of a normal mean after two readings (textbook result for a normal prior, from memory), and what nothing was read of stays as it was', () => {
    expect(left(Float64Array.of(1, 0))).toBeCloseTo(1 / (1 / 0.1 ** 2 + 2 / 0.05 ** 2), 12)
    expect(left(Float64Array.of(0, 1))).toBeCloseTo(0.2 ** 2, 12)
    expect(left(Float64Array.of(2, -1))).toBeCloseTo(4 / (1 / 0.1 ** 2 + 2 / 0.05 ** 2) + 0.2 ** 2, 12)
  })
  it('is less than before for an overload near the ceiling, and the same for one that was sure', () => {
    const after = (predicted: number): number => varianceLeft([{ kind: 'above', y: 0, sigma: 0.01, wrong: 0 }], unknowns,
      { ...linear, predicted: Float64Array.of(predicted), slopes: [Float64Array.of(1, 0)] })(Float64Array.of(1, 0))
    // Half a normal law has the variance 1 − 2/π of the whole one.
    expect(after(0) / 0.1 ** 2).toBeCloseTo(1 - 2 / Math.PI, 1)
    expect(after(5)).toBeCloseTo(0.1 ** 2, 12)
  })
})

describe('tolerances common to all readings', () => {
  const slopes = [Float64Array.of(1), Float64Array.of(1)]
  const linear = { at: Float64Array.of(0), predicted: Float64Array.of(0, 0), slopes }
  const unknowns = { mean: Float64Array.of(0), sd: Float64Array.of(0.1) }
  const figure = (y: number) => ({ kind: 'figure' as const, y, sigma: 0.01 })
  it('are counted once: two readings off together are likelier than two off apart', () => {
    const together = evidenceOf([figure(0.1), figure(0.1)], unknowns, linear).log
    const apart = evidenceOf([figure(0.1), figure(-0.1)], unknowns, linear).log
    expect(together - apart).toBeGreaterThan(50)
  })
  it('give the density that integrating over the tolerance gives', () => {
    const readings = [figure(0.12), figure(0.1), { kind: 'above' as const, y: 0.05, sigma: 0.01, wrong: 0.01 }]
    const three = { ...linear, predicted: Float64Array.of(0, 0, 0), slopes: [...slopes, Float64Array.of(1)] }
    const bell = (x: number, sd: number): number => Math.exp(-((x / sd) ** 2) / 2) / (sd * Math.sqrt(2 * Math.PI))
    let sum = 0
    const step = 1e-4
    for (let x = -0.6; x < 0.6; x += step) sum += bell(x, 0.1) * bell(0.12 - x, 0.01) * bell(0.1 - x, 0.01) * (x > 0.05 ? 1 : 0.01) * step
    expect(evidenceOf(readings, unknowns, three).log).toBeCloseTo(Math.log(sum), 2)
  })
})
