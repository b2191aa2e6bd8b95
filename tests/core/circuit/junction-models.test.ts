import { describe, expect, it } from 'vitest'
import type { Part } from '../../../src-core/board/part'
import { saturationAt, schottkyBarrier, siliconBarrier, thermalVolts } from '../../../src-core/circuit/junction-law'
import { spreadsOf } from '../../../src-core/circuit/spread'
import { amperesThrough, boardOf, elementsOf, junctionOf, partOf, voltsAt } from './one-part'

const diodePins = ['anode', 'cathode']
const silicon: Part[] = [
  partOf('diode', diodePins), partOf('rectifier', diodePins), partOf('zener', diodePins, { value: 33 }), partOf('tvs', diodePins, { value: 33 }),
  partOf('npn', ['base', 'collector', 'emitter']), partOf('pnp', ['base', 'collector', 'emitter']),
  partOf('n-mosfet', ['gate', 'drain', 'source']), partOf('p-mosfet', ['gate', 'drain', 'source']),
  partOf('bridge', ['AC1', 'AC2', 'plus', 'minus']), partOf('ic', ['IN', 'GND']),
]

/** The part as far to either side as a sound one lies. */
const extremes = (part: Part): number[] => {
  const key = spreadsOf(boardOf(part)).find(({ law }) => law === 'log-even')
  if (key === undefined) throw new Error(`${part.kind} does not vary`)
  return [1 / key.width, 1, key.width].flatMap((factor) => [1e-4, 5e-4, 1e-3, 1.5e-3].map((amperes) =>
    voltsAt(junctionOf(elementsOf(part, [], { spread: { [key.key]: factor } })), amperes)))
}

describe('a junction on a meter', () => {
  // CODATA constants of the SI (2019); 25.85 mV is the figure of the textbooks for 300 K.
  it('has a thermal voltage of 25.69 mV at 25 °C and 25.85 mV at 300 K', () => {
    expect(thermalVolts(25)).toBeCloseTo(0.0256926, 7)
    expect(thermalVolts(26.85)).toBeCloseTo(0.02585, 5)
  })
  // Common practice, no source.
  it.each(silicon.map((part) => [part.kind, part] as const))('%s, silicon, reads 0.45 V to 0.75 V over 0.1 mA to 1.5 mA, wherever in its spread', (_, part) => {
    for (const volts of extremes(part)) {
      expect(volts).toBeGreaterThan(0.45)
      expect(volts).toBeLessThan(0.75)
    }
  })
  // Common practice, no source.
  it('a Schottky reads 0.15 V to 0.4 V over 0.1 mA to 1.5 mA, wherever in its spread', () => {
    for (const volts of extremes(partOf('schottky', diodePins))) {
      expect(volts).toBeGreaterThan(0.15)
      expect(volts).toBeLessThan(0.4)
    }
  })
  it('follows Shockley’s law: V = n·V_T·ln(I/I_s + 1) + I·R_s (Shockley, 1949), with what the board file states', () => {
    const parameters = { saturationAmperes: 1e-12, ideality: 1.3, seriesOhms: 4, leakageOhms: 1e15 }
    const junction = junctionOf(elementsOf(partOf('diode', diodePins, { parameters })))
    for (const amperes of [1e-5, 1e-3, 1e-2]) {
      expect(voltsAt(junction, amperes)).toBeCloseTo(1.3 * 0.0256926 * Math.log(amperes / 1e-12 + 1) + 4 * amperes, 5)
    }
    // Backwards I_s and the leakage, 5 V / 10^15 Ω.
    expect(amperesThrough(junction, -5)).toBeCloseTo(-1.005e-12, 16)
  })
  it('needs n·V_T·ln 10 more for ten times the current: 60 mV at n = 1 (textbook rule)', () => {
    const junction = junctionOf(elementsOf(partOf('diode', diodePins, { parameters: { ideality: 1, seriesOhms: 0 } })))
    expect(voltsAt(junction, 1e-3) - voltsAt(junction, 1e-4)).toBeCloseTo(0.05916, 4)
  })
  // Common practice, no source: about 2 mV/K.
  it.each(['diode', 'rectifier', 'zener'] as const)('%s reads about 2 mV/K low when warm', (kind) => {
    const at = (celsius: number): number => voltsAt(junctionOf(elementsOf(partOf(kind, diodePins, { value: 33 }), [], { celsius })), 1e-3)
    expect((at(25) - at(45)) / 20).toBeGreaterThan(1.7e-3)
    expect((at(25) - at(45)) / 20).toBeLessThan(2.3e-3)
  })
  it('by the derivative of the law: dV/dT = (V − E_g − p·V_T) / T at a constant current', () => {
    const [amperes, ideality, low, high] = [1e-3, 1.7, 24.9, 25.1]
    for (const barrier of [siliconBarrier, schottkyBarrier]) {
      const volts = (celsius: number): number => ideality * thermalVolts(celsius) * Math.log(amperes / saturationAt(1e-9, ideality, barrier, celsius))
      const closed = (volts(25) - barrier.gapVolts - barrier.power * thermalVolts(25)) / 298.15
      expect((volts(high) - volts(low)) / (high - low)).toBeCloseTo(closed, 6)
    }
  })
})

describe('a breakdown', () => {
  const reverse = (part: Part, amperes: number, options = {}): number => -voltsAt(junctionOf(elementsOf(part, [], options)), -amperes)
  it('of a Zener stands at its value at 5 mA, with 10 Ω of its own and its series resistance', () => {
    const part = partOf('zener', diodePins, { value: 12, parameters: { seriesOhms: 1 } })
    expect(reverse(part, 5e-3)).toBeCloseTo(12 + 5e-3, 4)
    expect((reverse(part, 5.01e-3) - reverse(part, 4.99e-3)) / 2e-5).toBeCloseTo(0.05 / 5e-3 + 1, 1)
  })
  it('of a low-voltage Zener is soft: 10 times less current, 0.69 V less', () => {
    const part = partOf('zener', diodePins, { value: 3.3 })
    expect(reverse(part, 5e-3) - reverse(part, 5e-4)).toBeCloseTo(0.3 * Math.log(10), 1)
  })
  it.each(['two-way-protector', 'varistor', 'thyristor-protector'] as const)('of a %s stands at its value at 1 mA, alike both ways', (kind) => {
    const part = partOf(kind, ['1', '2'], { value: 24 })
    const junction = junctionOf(elementsOf(part))
    expect(voltsAt(junction, 1e-3)).toBeCloseTo(24, 1)
    for (const amperes of [1e-6, 1e-3, 1e-2]) expect(voltsAt(junction, amperes)).toBeCloseTo(-voltsAt(junction, -amperes), 9)
    expect(Math.abs(amperesThrough(junction, 3))).toBeLessThan(1e-8)
  })
  it('of a varistor has the exponent 30 of I = 1 mA · (V/V1mA)^α at 1 mA', () => {
    const junction = junctionOf(elementsOf(partOf('varistor', ['1', '2'], { value: 47 })))
    const slope = (Math.log(amperesThrough(junction, 47.01)) - Math.log(amperesThrough(junction, 46.99))) / (Math.log(47.01) - Math.log(46.99))
    expect(slope).toBeCloseTo(30, 2)
  })
  it('moves with its own spread, and with nothing else of the part', () => {
    const part = partOf('tvs', diodePins, { value: 12 })
    expect(reverse(part, 1e-3, { spread: { 'X1.breakdown': 1.05 } })).toBeCloseTo(12.6, 2)
    expect(reverse(part, 1e-3, { spread: { X1: 2 } })).toBeCloseTo(12, 2)
    expect(reverse(partOf('two-way-protector', ['1', '2'], { value: 12 }), 1e-3, { spread: { X1: 1.1 } })).toBeCloseTo(13.2, 2)
  })
})

describe('parts of several junctions', () => {
  const ways = (part: Part): string[] => elementsOf(part).flatMap((element) => (element.kind === 'junction' ? [`${element.anode}>${element.cathode}`] : []))
  it('point the way their kind says', () => {
    expect(ways(partOf('npn', ['base', 'collector', 'emitter']))).toEqual(['BASE>EMITTER', 'BASE>COLLECTOR'])
    expect(ways(partOf('pnp', ['base', 'collector', 'emitter']))).toEqual(['EMITTER>BASE', 'COLLECTOR>BASE'])
    expect(ways(partOf('n-mosfet', ['gate', 'drain', 'source']))).toEqual(['SOURCE>DRAIN'])
    expect(ways(partOf('p-mosfet', ['gate', 'drain', 'source']))).toEqual(['DRAIN>SOURCE'])
    expect(ways(partOf('bridge', ['AC1', 'AC2', 'plus', 'minus']))).toEqual(['AC1>PLUS', 'AC2>PLUS', 'MINUS>AC1', 'MINUS>AC2'])
    expect(ways(partOf('optocoupler', ['anode', 'cathode', 'collector', 'emitter']))).toEqual(['ANODE>CATHODE'])
  })
  // Common practice, no source: it is how collector and emitter are found with a meter.
  it('a transistor’s collector reads a few millivolts less than its emitter', () => {
    const elements = elementsOf(partOf('npn', ['base', 'collector', 'emitter']))
    const difference = voltsAt(junctionOf(elements, 0), 1e-3) - voltsAt(junctionOf(elements, 1), 1e-3)
    expect(difference).toBeGreaterThan(0.002)
    expect(difference).toBeLessThan(0.03)
  })
  // Common practice, no source: silicon planar transistors break down there at 5 V to 9 V.
  it('a transistor’s emitter breaks down at about 7 V, its collector does not within reach', () => {
    const elements = elementsOf(partOf('npn', ['base', 'collector', 'emitter']))
    expect(-voltsAt(junctionOf(elements, 0), -1e-3)).toBeGreaterThan(5)
    expect(-voltsAt(junctionOf(elements, 0), -1e-3)).toBeLessThan(9)
    expect(junctionOf(elements, 1).reverse).toBeNull()
  })
  // Common practice, no source: a green lamp 1.7 V to 2 V at 1 mA, an infrared one 1 V to 1.15 V.
  it('a lamp has the volts stated at 1 mA, else those of its kind', () => {
    const volts = (part: Part): number => voltsAt(junctionOf(elementsOf(part)), 1e-3)
    expect(volts(partOf('led', diodePins))).toBeCloseTo(1.8, 1)
    expect(volts(partOf('led', diodePins, { value: 2.7 }))).toBeCloseTo(2.7, 1)
    expect(volts(partOf('optocoupler', ['anode', 'cathode', 'collector', 'emitter']))).toBeCloseTo(1.05, 1)
  })
  it('an IC pin has a diode to each supply and a resistance to minus; a line receiver states that it has no diodes', () => {
    const ic = (parameters?: Part['parameters']): string[] => elementsOf(partOf('ic', ['IN', 'VCC', 'GND'], { value: 20_000, parameters: { pinOhms: { VCC: 5000 }, ...parameters } }))
      .map((element) => (element.kind === 'junction' ? `${element.anode}>${element.cathode}` : element.kind === 'resistance' ? `${element.from}-${element.to} ${element.ohms}` : 'C'))
    expect(ic()).toEqual(['IN-GND 20000', 'GND>IN', 'IN>VCC', 'VCC-GND 5000', 'GND>VCC'])
    expect(ic({ clamps: 'negative' })).toEqual(['IN-GND 20000', 'GND>IN', 'VCC-GND 5000', 'GND>VCC'])
    expect(ic({ clamps: 'none' })).toEqual(['IN-GND 20000', 'VCC-GND 5000', 'GND>VCC'])
  })
})
