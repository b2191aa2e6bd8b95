import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Element, Network } from '../../../src-core/circuit/elements'
import { drivesOfReadings, drivesOfRegister, genericDrives, typicalFunctions } from '../../../src-core/circuit/meter-drive'
import { networkOf } from '../../../src-core/circuit/network'
import { read, readerOf, readWithGradient } from '../../../src-core/circuit/read'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { solveNetwork } from '../../../src-core/circuit/solve'
import { randomBoard, randomFaults } from '../../bench-tools/random-boards'
import { drawnCount } from '../../bench-tools/sampled'

const drawn = fc.integer({ min: 0, max: 100_000 }).map((seed): { nets: string[]; network: Network } => {
  const random = seededRandom(seed)
  const board = randomBoard(3 + Math.floor(random() * 38), random)
  return { nets: board.nets, network: networkOf(board, randomFaults(board, Math.floor(random() * 6), random)) }
})
const functions = ['resistance', 'continuity', 'diode'] as const
const settings = { numRuns: drawnCount(15, 60) }
const inEnds = (element: Element, name: (net: string) => string): Element => (element.kind === 'junction'
  ? { ...element, anode: name(element.anode), cathode: name(element.cathode) } : { ...element, from: name(element.from), to: name(element.to) })
const scaled = (element: Element, factor: number): Element => {
  switch (element.kind) {
    case 'resistance': return { ...element, ohms: element.ohms * factor }
    case 'junction': return element.forward === null ? element : { ...element, forward: { ...element.forward, amperes: element.forward.amperes * factor } }
    case 'capacitance': return { ...element, farads: element.farads * factor }
  }
}

describe('a reading of any drawn board', () => {
  it('is there at every placement, in every driven function, and puts power in', () => {
    fc.assert(fc.property(drawn, ({ nets, network }) => {
      const reader = readerOf(network)
      for (const red of nets) for (const black of nets) for (const what of functions) {
        const reading = read(reader, red, black, what)
        if (!reading.ok) throw new Error(`${what} ${red} to ${black}: ${reading.because}`)
        if (!(reading.volts * reading.amperes >= -1e-18)) throw new Error(`${what} ${red} to ${black} takes power out of the board`)
      }
    }), { ...settings, seed: 11 })
  })

  it('is the same whatever the nets are called and in whatever order the parts stand', () => {
    fc.assert(fc.property(drawn, ({ nets, network }) => {
      const other = readerOf({ elements: [...network.elements].reverse().map((element) => inEnds(element, (net) => `net ${net.split('').reverse().join('')}`)) })
      const reader = readerOf(network)
      for (const red of nets.slice(0, 4)) for (const black of nets.slice(-4)) for (const what of functions) {
        const [one, two] = [read(reader, red, black, what), read(other, `net ${red.split('').reverse().join('')}`, `net ${black.split('').reverse().join('')}`, what)]
        if (!one.ok || !two.ok) throw new Error('No reading.')
        expect(Math.abs(two.volts - one.volts)).toBeLessThanOrEqual(1e-8 * Math.abs(one.volts))
        if (one.value === 'overload' || two.value === 'overload') expect(two.value).toBe(one.value)
        else expect(Math.abs(two.value - one.value)).toBeLessThanOrEqual(1e-8 * Math.abs(one.value))
      }
    }), { ...settings, seed: 12 })
  })

  it('follows each value as its gradient says: against a difference of ± 0.01 %, to 10⁻⁴ of the reading’s own size', () => {
    fc.assert(fc.property(drawn, fc.nat(1000), ({ nets, network }, which) => {
      const at = which % Math.max(1, network.elements.length)
      const [red, black, what] = [nets[which % nets.length] ?? '', nets[(which * 7 + 1) % nets.length] ?? '', functions[which % 3] ?? 'diode']
      const { reading, gradient } = readWithGradient(readerOf(network), red, black, what)
      if (!reading.ok || reading.value === 'overload' || network.elements.length === 0) return
      const moved = (factor: number): number => {
        const there = read(readerOf({ elements: network.elements.map((element, one) => (one === at ? scaled(element, factor) : element)) }), red, black, what)
        return there.ok && there.value !== 'overload' ? there.value : Number.NaN
      }
      const step = 1e-4
      const difference = (moved(Math.exp(step)) - moved(Math.exp(-step))) / (2 * step)
      if (Number.isNaN(difference)) return
      expect(Math.abs((gradient[at] ?? Number.NaN) - difference)).toBeLessThanOrEqual(1e-4 * Math.abs(reading.value) + 1e-9)
    }), { numRuns: drawnCount(150, 600), seed: 13 })
  })

  it('of resistors alone is reciprocal: a current here gives the volts there that it would give here from there', () => {
    fc.assert(fc.property(drawn, ({ network }) => {
      const elements = network.elements.filter(({ kind }) => kind === 'resistance')
      const [first] = elements
      if (first === undefined || first.kind !== 'resistance') return
      const volts = (plus: string, minus: string, at: string): number | null => {
        const solved = solveNetwork({ elements }, [{ kind: 'current', plus, minus, amperes: 1e-3 }], minus)
        return solved.ok ? solved.volts.get(at) ?? null : null
      }
      const zero = first.from
      for (const one of elements) for (const two of elements.slice(0, 5)) {
        if (one.kind !== 'resistance' || two.kind !== 'resistance') continue
        const [there, here] = [volts(one.to, zero, two.to), volts(two.to, zero, one.to)]
        if (there === null || here === null || one.to === zero || two.to === zero) continue
        expect(Math.abs(there - here)).toBeLessThanOrEqual(1e-9 * Math.abs(there) + 1e-15)
      }
    }), { ...settings, seed: 14 })
  })
})

describe('what a meter drives', () => {
  it('is generic and said to be typical where nothing is known', () => {
    expect(typicalFunctions(drivesOfReadings(undefined))).toEqual(['resistance', 'continuity', 'diode'])
    expect(typicalFunctions(drivesOfReadings({ diode: { volts: 3, ohms: 2000, amperes: 1e-3, plus: 'red' } }))).toEqual(['resistance', 'continuity'])
  })
  it('is that of the lowest range which holds the reading', () => {
    const source = (range: number, ohms: number) => ({ function: 'resistance' as const, range, volts: 0.4, ohms, amperes: null, plus: 'red' as const, basis: 'entered' as const })
    const drives = drivesOfRegister({ sources: [source(600_000, 1e6), source(600, 1000), source(60_000, 1e5)], ranges: [] })
    const taken = (ohms: number) => {
      const reading = read(readerOf({ elements: [{ kind: 'resistance', part: 'R', from: 'a', to: 'b', ohms }] }), 'a', 'b', 'resistance', drives)
      return reading.ok ? [reading.range?.fullScale, reading.value === 'overload' ? 'overload' : Math.round(reading.value)] : reading.because
    }
    expect([taken(120), taken(600.1), taken(47_000), taken(590_000), taken(700_000)])
      .toEqual([[600, 120], [60_000, 600], [60_000, 47_000], [600_000, 590_000], [600_000, 'overload']])
    expect(drives.resistance.typical).toBe(false)
    expect(drives.diode).toEqual(genericDrives.diode)
  })
  it('names the part whose value cannot be', () => {
    const reading = read(readerOf({ elements: [{ kind: 'resistance', part: 'R7', from: 'a', to: 'b', ohms: 0 }] }), 'a', 'b', 'resistance')
    expect(reading).toEqual({ ok: false, because: 'R7 has a resistance of 0 Ω, which cannot be.' })
  })
})
