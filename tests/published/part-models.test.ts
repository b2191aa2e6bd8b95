/**
 * Every kind of part on a meter, from the board file to the reading, against a closed form or a published worked example; what has neither says so.
 * Sources beside each, quoted from memory. A kind that is added without one does not compile.
 */
import { describe, expect, it } from 'vitest'
import type { Part, PartKind } from '../../src-core/board/part'
import { readsAcross } from '../../src-core/circuit/expected-reading'
import { genericDrives, type MeterDrives } from '../../src-core/circuit/meter-drive'
import { networkOf, type NetworkOptions } from '../../src-core/circuit/network'
import type { MeterFunction } from '../../src-core/meter/reading'
import { type ClosedJunction, tipsOf } from '../bench-tools/lambert'
import { boardOf, partOf } from '../core/circuit/one-part'

/** k·T/q at 25 °C from the constants of the SI (2019). */
const thermal = (1.380649e-23 * 298.15) / 1.602176634e-19

/** `expected` to `off`, relative. Pins are nets of the same name in capitals. */
type Check = {
  says: string; parts: Part[]; red: string; black: string; in: MeterFunction; drives?: MeterDrives; options?: NetworkOptions
  expected: number | 'overload'; off?: number
}
type Example = { source: string; checks: Check[] }

const usualOff = 1e-9
/** A source of its own in diode test: no limit of current, no ceiling. */
const drivenBy = (volts: number, ohms: number): MeterDrives =>
  ({ ...genericDrives, diode: { ...genericDrives.diode, ranges: [{ fullScale: 1e12, volts, ohms, amperes: Infinity }], ceiling: 1e12 } })
/** Ohms above any display. */
const insulationTester: MeterDrives =
  { ...genericDrives, resistance: { ...genericDrives.resistance, ranges: [{ fullScale: 1e15, volts: 0.5, ohms: 1e8, amperes: 1 }], ceiling: 1e15 } }

const two = ['1', '2']
const ohms = (part: Part, expected: number | 'overload', says: string, more: Partial<Check> = {}): Check =>
  ({ says, parts: [part], red: '1', black: '2', in: 'resistance', expected, ...more })

/** What a board file states of a junction, for the part and for the closed form alike. */
const stated = { saturationAmperes: 3e-9, ideality: 1.8, seriesOhms: 4, leakageOhms: 1e8 }
const law: ClosedJunction = { amperes: 3e-9, slopeVolts: 1.8 * thermal, seriesOhms: 4, leakageOhms: 1e8 }

/** Forward, at a signal's, a meter's and a large current. */
const forward = (part: Part, red: string, black: string, of: ClosedJunction = law): Check[] => [[0.4, 1e4], [3, 2500], [12, 470]].map(([volts = 0, behind = 0]) =>
  ({ says: `${red} to ${black}, ${volts} V behind ${behind} Ω`, parts: [part], red, black, in: 'diode', drives: drivenBy(volts, behind), expected: tipsOf(of, volts, behind).volts }))
/** Backwards of a junction with no breakdown within reach: its saturation current and its leakage. */
const backward = (part: Part, red: string, black: string): Check => {
  const own = 3 - 1e6 * (3e-9 + 3e-8)
  return { says: `${red} to ${black} backwards, 3 V behind 1 MΩ`, parts: [part], red, black, in: 'diode', drives: drivenBy(3, 1e6), expected: own, off: 1e-3 }
}
const nothing = (part: Part, red: string, black: string): Check => ({ says: `nothing from ${red} to ${black}`, parts: [part], red, black, in: 'resistance', expected: 'overload' })

const lambert = 'Shockley’s law behind resistances, in closed form by Lambert’s W (tests/bench-tools/lambert.ts)'
const diodePins = ['anode', 'cathode']
const junctionKind = (kind: PartKind): Example => {
  const part = partOf(kind, diodePins, { value: 33, parameters: stated })
  return { source: lambert, checks: [...forward(part, 'ANODE', 'CATHODE'), backward(part, 'CATHODE', 'ANODE')] }
}

/** Driven past its breakdown, either way; `more` for what only some kinds have. */
const breakdown = (part: Part, of: ClosedJunction, ways: readonly (readonly [string, string])[]): Check[] => ways.flatMap(([red, black]) =>
  [[20, 1e5], [60, 1e4], [60, 1e3]].map(([volts = 0, behind = 0]): Check => ({
    says: `${red} to ${black}, ${volts} V behind ${behind} Ω`, parts: [part], red, black, in: 'diode', drives: drivenBy(volts, behind), expected: tipsOf(of, volts, behind).volts,
  })))
const bothWays = [['1', '2'], ['2', '1']] as const

/** IEC 60034-1 takes copper as zero at −235 °C, IEC 60028 at −234.45 °C, as the model does: 4 parts in 10,000 apart over 50 K. */
const copper = (part: Part, red: string, black: string, at25: number): Check[] => [25, 75].map((celsius) => ({
  says: `${red} to ${black} at ${celsius} °C`, parts: [part], red, black, in: 'resistance', options: { celsius }, expected: (at25 * (235 + celsius)) / 260, off: 5e-4,
}))
const winding = 'R₂/R₁ = (235 + t₂)/(235 + t₁) of a copper winding (IEC 60034-1)'

const transistorPins = ['base', 'collector', 'emitter']
/** The model’s collector junction has twice the saturation current of its emitter’s. */
const collectorLaw: ClosedJunction = { ...law, amperes: 6e-9 }
const transistor = (kind: 'npn' | 'pnp'): Example => {
  const part = partOf(kind, transistorPins, { parameters: stated })
  const way = (other: string): [string, string] => (kind === 'npn' ? ['BASE', other] : [other, 'BASE'])
  const joined: Part = { ...partOf(kind, transistorPins, { parameters: { ...stated, seriesOhms: 0 } }), pins: { base: 'BASE', collector: 'REST', emitter: 'REST' } }
  return { source: `${lambert}; collector and emitter joined: saturation currents add`, checks: [
    ...forward(part, ...way('EMITTER')), ...forward(part, ...way('COLLECTOR'), collectorLaw),
    ...forward(joined, ...way('REST'), { ...law, amperes: 9e-9, seriesOhms: 0, leakageOhms: 5e7 }),
  ] }
}
const fieldEffect = (kind: 'n-mosfet' | 'p-mosfet'): Example => {
  const part = partOf(kind, ['gate', 'drain', 'source'], { parameters: stated })
  const [red, black] = kind === 'n-mosfet' ? ['SOURCE', 'DRAIN'] as const : ['DRAIN', 'SOURCE'] as const
  return { source: `${lambert}; the gate is insulated (textbook)`, checks: [...forward(part, red, black), backward(part, black, red), nothing(part, 'GATE', 'SOURCE'), nothing(part, 'GATE', 'DRAIN')] }
}

/** A source behind a resistance with another across the tips, as one source: Thévenin’s theorem. */
const beside = (of: ClosedJunction, volts: number, behind: number, across: number): number =>
  tipsOf(of, (volts * across) / (across + behind), (behind * across) / (behind + across)).volts

const icExample = (): Example => {
  const part = partOf('ic', ['IN', 'VCC', 'GND'], { value: 20_000, parameters: { ...stated, leakageOhms: 1e15, pinOhms: { VCC: 5000 } } })
  const clean: ClosedJunction = { ...law, leakageOhms: 1e15 }
  const low = partOf('ic', ['IN', 'GND'], { value: 20_000, parameters: stated })
  return { source: `${lambert}; the input’s resistance beside it by Thévenin’s theorem, that of the supply in series`, checks: [
    { says: 'its diode from minus, beside its input resistance', parts: [low], red: 'GND', black: 'IN', in: 'diode', drives: drivenBy(3, 2500), expected: beside(law, 3, 2500, 20_000) },
    { says: 'its input resistance alone, below what its diode to plus needs', parts: [low], red: 'IN', black: 'GND', in: 'diode', drives: drivenBy(3, 2500),
      expected: 3 * (20_000 / 22_500), off: 1e-4 },
    // The supply's own diode lies backwards across 5 kΩ: 3 nA of some tenths of a milliampere.
    { says: 'its diode to plus and the supply’s resistance, beside its input resistance', parts: [part], red: 'IN', black: 'GND', in: 'diode', drives: drivenBy(3, 2500),
      expected: beside({ ...clean, seriesOhms: 5004 }, 3, 2500, 20_000), off: 2e-5 },
    { says: 'a pin that has no diodes has its input resistance alone', in: 'diode', drives: drivenBy(3, 2500), red: 'GND', black: 'IN', expected: 3 * (20_000 / 22_500),
      parts: [partOf('ic', ['IN', 'GND'], { value: 20_000, parameters: { ...stated, clamps: 'none' } })] },
  ] }
}

const bridgeExample = (): Example => {
  const part = partOf('bridge', ['AC1', 'AC2', 'plus', 'minus'], { parameters: stated })
  // By symmetry each of the four carries half: V/2 drives one of them behind the whole R.
  const through = ([volts, behind]: readonly [number, number]): Check => ({ says: `MINUS to PLUS, ${volts} V behind ${behind} Ω: two and two in series`, parts: [part], red: 'MINUS', black: 'PLUS', in: 'diode',
    drives: drivenBy(volts, behind), expected: volts - 2 * behind * tipsOf(law, volts / 2, behind).amperes })
  // Beside it the leakage of the other three, backwards or in series.
  const one = (red: string, black: string): Check[] => forward(part, red, black).map((check) => ({ ...check, off: 1e-4 }))
  return { source: `${lambert}; from minus to plus by symmetry`, checks: [through([3, 2500]), through([12, 470]), ...one('AC1', 'PLUS').slice(1), ...one('MINUS', 'AC2').slice(1)] }
}

const zenerExample = (): Example => {
  const part = partOf('zener', diodePins, { value: 12, parameters: { ...stated, breakdownSlopeVolts: 0.08 } })
  const sedra = (milliamperes: number): Part => partOf('zener', diodePins, { value: 6.8, parameters: { seriesOhms: 0, leakageOhms: 1e12, breakdownSlopeVolts: milliamperes * 20e-3 } })
  return {
    source: `${lambert}, with the current it is stated at instead of I_s; and Sedra and Smith, Microelectronic Circuits: a 6.8 V Zener of 20 Ω at 5 mA on 10 V behind 500 Ω stands at 6.83 V`,
    checks: [
      ...forward(part, 'ANODE', 'CATHODE'),
      ...breakdown(part, { ...law, amperes: 5e-3, atVolts: 12, slopeVolts: 0.08, minusAmperes: 3e-9 }, [['CATHODE', 'ANODE']]),
      // The book’s is straight, ours has the same slope at 5 mA.
      { says: 'the book’s 6.83 V', parts: [sedra(5)], red: 'CATHODE', black: 'ANODE', in: 'diode', drives: drivenBy(10, 500), expected: 6.83, off: 1.5e-3 },
    ],
  }
}

const examples: Record<PartKind, Example> = {
  resistor: { source: 'Ohm’s law', checks: [
    ohms(partOf('resistor', two, { value: 1000 }), 1000, 'as a ratio'),
    { says: '9 V behind 2 kΩ leave a third of it on 1 kΩ', parts: [partOf('resistor', two, { value: 1000 })], red: '1', black: '2', in: 'diode', drives: drivenBy(9, 2000), expected: 3 },
  ] },
  ntc: { source: 'B formula R = R25 · exp(B · (1/T − 1/298.15 K)) (IEC 60539-1); 3588 Ω and 33.6 kΩ worked out by hand for 10 kΩ, B = 3950 K', checks: ([[25, 10_000], [50, 3588], [0, 33_620]] as const)
    .map(([celsius, expected]) => ohms(partOf('ntc', two, { value: 10_000, parameters: { betaKelvin: 3950 } }), expected, `${celsius} °C`, { options: { celsius }, off: 1e-3 })) },
  ptc: { source: 'table of a Pt100 (IEC 60751:2022)', checks: ([[0, 100], [25, 109.73], [100, 138.51]] as const).map(([celsius, expected]) =>
    ohms(partOf('ptc', two, { value: 100, parameters: { perKelvin: 3.9083e-3, perKelvinSquared: -5.775e-7, referenceCelsius: 0 } }), expected, `${celsius} °C`, { options: { celsius }, off: 5e-5 })) },
  'ferrite-bead': { source: winding, checks: copper(partOf('ferrite-bead', two, { windingOhms: 0.3 }), '1', '2', 0.3) },
  coil: { source: `${winding}; a relay’s coil is one: 24 V and 400 mW are 1440 Ω (P = V²/R)`, checks: copper(partOf('coil', two, { windingOhms: 24 ** 2 / 0.4 }), '1', '2', 1440) },
  choke: { source: `${winding}; each of its windings, and none between them`, checks: [
    ...copper(partOf('choke', ['1', '2', '3', '4'], { windingOhms: 6.5 }), '3', '4', 6.5), nothing(partOf('choke', ['1', '2', '3', '4'], { windingOhms: 6.5 }), '1', '3'),
  ] },
  transformer: { source: `${winding}; windings in series add`, checks: [
    ...copper({ ...partOf('transformer', two, { windingOhms: 12, parameters: { pinOhms: { 3: 0.4 } } }), pins: { 1: 'A', 2: 'TAP', 3: 'TAP', 4: 'B' } }, 'A', 'B', 12.4),
    nothing(partOf('transformer', ['1', '2', '3', '4'], { windingOhms: 12 }), '2', '3'),
  ] },
  capacitor: { source: 'open to direct current; in parallel they add (any circuits textbook); how long one charges is in tests/core/circuit/expected-reading.test.ts', checks: [
    nothing(partOf('capacitor', two, { value: 1e-6 }), '1', '2'),
    ohms(partOf('capacitor', two, { value: 1e-6, parameters: { leakageOhms: 1e6 } }), 1e6, 'its leakage'),
    { says: '1 µF beside 2.2 µF', parts: [partOf('capacitor', two, { value: 1e-6 }), { ...partOf('capacitor', two, { value: 2.2e-6 }), ref: 'X2' }], red: '1', black: '2', in: 'capacitance', expected: 3.2e-6 },
  ] },
  diode: { source: `${lambert}; and Sedra and Smith, Microelectronic Circuits: 5 V behind 1 kΩ, 1 mA at 0.7 V and 0.1 V a decade, stands at 0.762 V with 4.237 mA`, checks: [
    ...junctionKind('diode').checks,
    { says: 'the book’s 0.762 V', parts: [partOf('diode', diodePins, { parameters: { ideality: 0.1 / Math.LN10 / thermal, saturationAmperes: 1e-3 / 10 ** 7, seriesOhms: 0, leakageOhms: 1e12 } })],
      red: 'ANODE', black: 'CATHODE', in: 'diode', drives: drivenBy(5, 1000), expected: 0.762, off: 1e-3 },
  ] },
  rectifier: junctionKind('rectifier'), schottky: junctionKind('schottky'),
  zener: zenerExample(),
  tvs: { source: `${lambert}, with the current it is stated at instead of I_s`, checks: [
    ...forward(partOf('tvs', diodePins, { value: 33, parameters: stated }), 'ANODE', 'CATHODE'),
    ...breakdown(partOf('tvs', diodePins, { value: 15, parameters: { ...stated, breakdownSlopeVolts: 0.06 } }), { ...law, amperes: 1e-3, atVolts: 15, slopeVolts: 0.06, minusAmperes: 3e-9 }, [['CATHODE', 'ANODE']]),
  ] },
  'two-way-protector': { source: `${lambert}, alike both ways`, checks: breakdown(partOf('two-way-protector', two, { value: 15, parameters: { seriesOhms: 0.5, leakageOhms: 1e8, breakdownSlopeVolts: 0.06 } }),
    { amperes: 1e-3, atVolts: 15, slopeVolts: 0.06, seriesOhms: 0.5, leakageOhms: 1e8 }, bothWays) },
  varistor: { source: `power law I = 1 mA · (V/V_1mA)^α, α = 30 (any varistor data book): V = V_1mA · (I/1 mA)^(1/α), which the model’s exponential meets at 1 mA; ${lambert}`, checks: [
    ...[1e-4, 1e-3, 1e-2].map((amperes): Check => {
      const volts = 15 * (amperes / 1e-3) ** (1 / 30)
      return { says: `${amperes} A by the power law, within 0.4 %`, parts: [partOf('varistor', two, { value: 15, parameters: { seriesOhms: 0, leakageOhms: 1e12 } })], red: '1', black: '2', in: 'diode',
        drives: drivenBy(1000, (1000 - volts) / amperes), expected: volts, off: 4e-3 }
    }),
    ...breakdown(partOf('varistor', two, { value: 15, parameters: { seriesOhms: 1, leakageOhms: 1e8 } }), { amperes: 1e-3, atVolts: 15, slopeVolts: 0.5, seriesOhms: 1, leakageOhms: 1e8 }, bothWays),
  ] },
  'gas-tube': { source: 'insulation of at least 1 GΩ below its sparkover (ITU-T K.12); from line to line two gaps in series', checks: [
    nothing(partOf('gas-tube', ['a', 'b', 'common'], { value: 90 }), 'A', 'COMMON'),
    { says: 'from line to line on a tester', parts: [partOf('gas-tube', ['a', 'b', 'common'], { parameters: { leakageOhms: 2e9 } })], red: 'A', black: 'B', in: 'resistance', drives: insulationTester, expected: 4e9 },
  ] },
  'thyristor-protector': { source: `${lambert}; up to its breakover only, which is as far as it is modelled`, checks: breakdown(partOf('thyristor-protector', two, { value: 15, parameters: { seriesOhms: 1, leakageOhms: 1e8 } }),
    { amperes: 1e-3, atVolts: 15, slopeVolts: 0.5, seriesOhms: 1, leakageOhms: 1e8 }, bothWays) },
  led: { source: `${lambert}; I_s = 1 mA / (exp(V_1mA / n·V_T) − 1) from its volts at 1 mA`, checks: forward(partOf('led', diodePins, { value: 2.1, parameters: { ideality: 2, seriesOhms: 4, leakageOhms: 1e8 } }), 'ANODE', 'CATHODE',
    { amperes: 1e-3 / Math.expm1(2.1 / (2 * thermal)), slopeVolts: 2 * thermal, seriesOhms: 4, leakageOhms: 1e8 }) },
  optocoupler: { source: `${lambert}; dark, its transistor conducts nothing, and nothing joins its two sides (textbook)`, checks: ((part: Part) => [
    ...forward(part, 'ANODE', 'CATHODE', { amperes: 1e-3 / Math.expm1(1.05 / (1.8 * thermal)), slopeVolts: 1.8 * thermal, seriesOhms: 4, leakageOhms: 1e8 }),
    nothing(part, 'COLLECTOR', 'EMITTER'), nothing(part, 'ANODE', 'COLLECTOR'),
  ])(partOf('optocoupler', ['anode', 'cathode', 'collector', 'emitter'], { value: 1.05, parameters: { ideality: 1.8, seriesOhms: 4, leakageOhms: 1e8 } })) },
  bridge: bridgeExample(), npn: transistor('npn'), pnp: transistor('pnp'), 'n-mosfet': fieldEffect('n-mosfet'), 'p-mosfet': fieldEffect('p-mosfet'), ic: icExample(),
  fuse: { source: 'Ohm’s law: its cold resistance', checks: [ohms(partOf('fuse', two, { value: 0.15 }), 0.15, 'cold')] },
  link: { source: 'no closed form but its own ohms', checks: [ohms(partOf('link', two, { value: 0.02 }), 0.02, 'as stated')] },
  'closed-contact': { source: 'Holm, Electric Contacts: R = ρ / 2a of one spot; 17.2 nΩ·m of copper and a radius of 1 µm are 8.6 mΩ; entered, it reads so', checks: [ohms(partOf('closed-contact', two, { value: 17.2e-9 / 2e-6 }), 8.6e-3, 'as stated')] },
  contact: { source: 'no closed form: open at rest', checks: [nothing(partOf('contact', two), '1', '2')] },
  connector: { source: 'no closed form: open, and a wire of 0.05 Ω where fitted', checks: [nothing(partOf('connector', two), '1', '2'),
    ohms(partOf('connector', two), 0.05, 'fitted', { options: { state: [{ ref: 'X1', is: 'fitted' }] } })] },
}

describe.each(Object.entries(examples))('%s', (_, { source, checks }) => {
  it.each(checks.map((check) => [check.says, check] as const))(`%s (${source})`, (says, { parts, red, black, in: what, drives = genericDrives, options = {}, expected, off = usualOff }) => {
    const read = readsAcross(networkOf(boardOf(...parts), [], options), red, black, what, drives)
    if (!read.ok) throw new Error(`${says}: ${read.because}`)
    if (expected === 'overload' || read.value === 'overload') expect(read.value).toBe(expected)
    else expect(Math.abs(read.value / expected - 1), `${read.value}, expected ${expected}`).toBeLessThan(off)
  })
})
