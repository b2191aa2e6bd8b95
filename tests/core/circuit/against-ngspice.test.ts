import { describe, expect, it } from 'vitest'
import type { Element } from '../../../src-core/circuit/elements'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { ngspiceIsHere, ngspiceVolts, type Point } from '../../bench-tools/ngspice'
import { sampled } from '../../bench-tools/sampled'
import { bySolver, compared, comparedInWords, drawnCircuit, drawnSeeds, type Solving } from './against-ngspice'

const here = ngspiceIsHere()
if (!here) process.stderr.write('ngspice is not installed: its operating points are not compared with the solver’s.\n')

const resistance = (from: string, to: string, ohms: number): Element => ({ kind: 'resistance', part: `${from}${to}`, from, to, ohms })

describe.skipIf(!here)('against ngspice (Debian’s package), on the same equations: 0.1 mV or 10⁻⁴ of every net’s voltage', () => {
  const seeds = sampled(drawnSeeds, 8)
  it(`${seeds.length} of ${drawnSeeds.length} drawn circuits, at 20 points of each of their components`, { timeout: 300_000 }, () => {
    let points = 0
    for (const seed of seeds) {
      const found = compared(drawnCircuit(seed), seed, 20)
      expect(found.words, `circuit ${seed}`).toEqual([])
      points += found.points
    }
    expect(points).toBeGreaterThan(seeds.length * 10)
  })

  it('is asked again where its sum of conductances has lost the digits, and agrees then: two drawn circuits at all their points', () => {
    for (const seed of [25, 310]) {
      const found = compared(drawnCircuit(seed), seed)
      expect(found).toMatchObject({ words: [], refused: 0 })
      expect(found.again, comparedInWords(found)).toBeGreaterThan(0)
      expect(found.agreed).toBe(found.again)
    }
  })

  // By the voltage divider: 1.2 mA into 2500 Ω beside 10 GΩ, 1 mΩ and 10 GΩ in series is 3 V less 0.4 µV, and half of it in the middle.
  it('gives the half of a divider of 10 GΩ around 1 mΩ with resistances by their current, and is more than 10⁻⁴ off without', () => {
    const divider = [resistance('in', 'a', 1e10), resistance('a', 'b', 1e-3), resistance('b', 'out', 1e10)]
    const nets = ['out', 'in', 'a', 'b']
    const point: Point = { plus: 'in', minus: 'out', amperes: 1.2e-3, ohms: 2500 }
    const whole = 1.2e-3 / (1 / 2500 + 1 / (2e10 + 1e-3))
    const [plain] = ngspiceVolts(divider, nets, [point])
    const [again] = ngspiceVolts(divider, nets, [point], true)
    expect(again?.volts[0]).toBe(0)
    for (const [which, volts] of [[1, whole], [2, whole / 2], [3, whole / 2]] as const) expect(again?.volts[which]).toBeCloseTo(volts, 8)
    expect(Math.abs((plain?.volts[2] ?? 0) - whole / 2)).toBeGreaterThan(1e-4 * whole / 2)
    const ours = bySolver({ elements: divider }, point)
    expect(ours.ok && ours.volts.get('a')).toBeCloseTo(whole / 2, 8)
  })

  it('answers for a single resistance: 4.03 Ω beside 2500 Ω at 1.2 mA', () => {
    const volts = 1.2e-3 / (1 / 4.03 + 1 / 2500)
    for (const thorough of [false, true]) {
      const [answer] = ngspiceVolts([resistance('a', 'b', 4.03)], ['a', 'b'], [{ plus: 'a', minus: 'b', amperes: 1.2e-3, ohms: 2500 }], thorough)
      expect(answer?.volts[0]).toBeCloseTo(volts, 12)
      expect(answer?.settledWith).toBe(0)
    }
  })
})

describe.skipIf(!here)('a wrong solution, which it has to tell', () => {
  const seed = 40
  const points = 20

  it('one net 0.3 mV off, at every point, also after it is asked again', () => {
    const off: Solving = (network, point) => {
      const ours = bySolver(network, point)
      return ours.ok ? { ok: true, volts: new Map([...ours.volts].map(([net, volts]) => [net, net === point.plus && volts !== null ? volts * 1.0002 + 3e-4 : volts])) } : ours
    }
    const found = compared(drawnCircuit(seed), seed, points, off)
    expect(found.words.length).toBe(found.points)
    expect(found).toMatchObject({ again: found.points, agreed: 0, refused: 0 })
    expect(found.worst).toBeGreaterThan(2)
  })

  it('a network with one resistance 1 % off', () => {
    const network = drawnCircuit(seed)
    const random = seededRandom(seed)
    const resistances = network.elements.filter((element) => element.kind === 'resistance' && element.from !== element.to && element.ohms < 1e4)
    const changed = resistances[Math.floor(random() * resistances.length)]
    const wrong: Solving = (own, point) => bySolver({ elements: own.elements.map((element) => (element === changed && element.kind === 'resistance' ? { ...element, ohms: element.ohms * 1.01 } : element)) }, point)
    expect(compared(network, seed, Infinity, wrong).words.length).toBeGreaterThan(0)
  })

  it('a solver that refuses', () => {
    const found = compared(drawnCircuit(seed), seed, 1, () => ({ ok: false, because: 'no operating point' }))
    expect(found.refused).toBe(found.points)
    expect(found.words.every((one) => one.endsWith('no operating point'))).toBe(true)
  })
})
