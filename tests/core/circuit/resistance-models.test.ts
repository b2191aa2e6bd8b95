import { describe, expect, it } from 'vitest'
import { parseMarking } from '../../../src-core/quantity/marking'
import { elementsOf, ohmsOf, partOf } from './one-part'

const two = ['1', '2']

describe('what a meter sees as a resistance', () => {
  it('a resistor has the ohms of its marking: 4k7 by IEC 60062', () => {
    const marked = parseMarking('4k7 5 %', 'resistor')
    expect(ohmsOf(elementsOf(partOf('resistor', two, { value: 'nominal' in marked ? marked.nominal : 0 })))).toEqual([4700])
  })
  it('an NTC follows the B formula: 10 kΩ with B = 3950 K has 3588 Ω at 50 °C (by hand), and B is ln(R25/R85) / (1/298.15 K − 1/358.15 K) (IEC 60539-1, from memory)', () => {
    const ohms = (celsius?: number): number => ohmsOf(elementsOf(partOf('ntc', two, { value: 10_000, parameters: { betaKelvin: 3950 } }), [], celsius === undefined ? {} : { celsius }))[0] ?? 0
    expect(ohms()).toBeCloseTo(10_000, 6)
    expect(ohms(50)).toBeCloseTo(3588, -1)
    expect(Math.log(ohms(25) / ohms(85)) / (1 / 298.15 - 1 / 358.15)).toBeCloseTo(3950, 6)
  })
  // IEC 60751:2022, table of Pt100, from memory: the coefficients and three entries.
  it('a PTC with the coefficients of platinum follows the table of a Pt100', () => {
    const pt100 = partOf('ptc', two, { value: 100, parameters: { perKelvin: 3.9083e-3, perKelvinSquared: -5.775e-7, referenceCelsius: 0 } })
    const ohms = [0, 25, 50, 100].map((celsius) => ohmsOf(elementsOf(pt100, [], { celsius }))[0])
    expect(ohms.map((each) => Number(each?.toFixed(2)))).toEqual([100, 109.73, 119.4, 138.51])
  })
  it('a generic PTC has its value at 25 °C and rises', () => {
    const ohms = (celsius: number): number => ohmsOf(elementsOf(partOf('ptc', two, { value: 1000 }), [], { celsius }))[0] ?? 0
    expect(ohms(25)).toBe(1000)
    expect(ohms(50)).toBeGreaterThan(1150)
  })
  // IEC 60034-1: R75/R20 = (235 + 75)/(235 + 20), from memory.
  it.each(['coil', 'ferrite-bead'] as const)('a %s is of copper: 21.6 %% more at 75 °C than at 20 °C', (kind) => {
    const ohms = (celsius: number): number => ohmsOf(elementsOf(partOf(kind, two, { windingOhms: 100 }), [], { celsius }))[0] ?? 0
    expect(ohms(25)).toBe(100)
    expect(ohms(75) / ohms(20)).toBeCloseTo(310 / 255, 3)
  })
  it('a choke and a transformer have a resistance a winding, each its own where stated, and none between windings', () => {
    const windings = elementsOf(partOf('transformer', ['1', '2', '3', '4'], { windingOhms: 12, parameters: { pinOhms: { 3: 0.4 } } }))
    expect(windings.map((each) => (each.kind === 'resistance' ? [each.from, each.to, each.ohms] : null))).toEqual([['1', '2', 12], ['3', '4', 0.4]])
    expect(ohmsOf(elementsOf(partOf('choke', ['1', '2', '3', '4'], { windingOhms: 6.5 })))).toEqual([6.5, 6.5])
  })
  it('a capacitor carries no direct current, save a leakage that is stated', () => {
    expect(elementsOf(partOf('capacitor', two, { value: 1e-6 }))).toEqual([{ kind: 'capacitance', part: 'X1', from: '1', to: '2', farads: 1e-6 }])
    expect(ohmsOf(elementsOf(partOf('capacitor', two, { value: 1e-4, parameters: { leakageOhms: 1e6 } })))).toEqual([1e6])
  })
  // Common practice, no source: what a bench meter calls a short.
  it.each(['fuse', 'link', 'closed-contact', 'ferrite-bead'] as const)('a %s is under 0.5 Ω', (kind) => expect(ohmsOf(elementsOf(partOf(kind, two)))[0]).toBeLessThan(0.5))
  it('an open contact and a connector are nothing', () => {
    expect(elementsOf(partOf('contact', two))).toEqual([])
    expect(elementsOf(partOf('connector', two))).toEqual([])
  })
  // ITU-T K.12, from memory: insulation of at least 1 GΩ.
  it('a gas tube insulates with 1 GΩ and more, from each line to the common electrode', () => {
    const three = elementsOf(partOf('gas-tube', ['a', 'b', 'common'], { value: 90 }))
    expect(three.map((each) => (each.kind === 'resistance' ? [each.from, each.to, each.ohms >= 1e9] : null))).toEqual([['A', 'COMMON', true], ['B', 'COMMON', true]])
    expect(ohmsOf(elementsOf(partOf('gas-tube', two)))[0]).toBeGreaterThanOrEqual(1e9)
  })
  it('an optocoupler in the dark is open from collector to emitter, and nothing joins its two sides', () => {
    const nets = elementsOf(partOf('optocoupler', ['anode', 'cathode', 'collector', 'emitter'])).flatMap((each) => (each.kind === 'resistance' ? [[each.from, each.to, each.ohms >= 1e9]] : []))
    expect(nets).toEqual([['COLLECTOR', 'EMITTER', true]])
  })
})
