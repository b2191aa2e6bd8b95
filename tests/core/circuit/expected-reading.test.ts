import { describe, expect, it } from 'vitest'
import { reads } from '../../../src-core/circuit/expected-reading'
import { genericDrives } from '../../../src-core/circuit/meter-drive'
import { rcSeconds } from '../../../src-core/circuit/time-constant'
import { faultsOf, sampleBoard } from './sample'

const board = sampleBoard()
const value = (red: string, black: string, what: 'resistance' | 'diode' | 'continuity' | 'capacitance',
  ...faults: string[]): number | 'overload' => {
  const read = reads(board, faultsOf(board, ...faults), { red, black }, what)
  if (!read.ok) throw new Error(read.because)
  return read.value
}

/** Shockley's law turned round, with the silicon junction's figures written out. */
const junctionVolts = (amperes: number): number => 1.752 * 0.025692579 * Math.log(amperes / 2.52e-9 + 1) + 0.6 * amperes

describe('what a meter reads on the good sample board', () => {
  it('a series resistor reads its value: nothing lies beside it', () => expect(value('J1.2', 'R3.2', 'resistance')).toBeCloseTo(220, 4))
  it('the supply pair is bleeder beside regulator, 10 kΩ ∥ 12 kΩ, less the 3 nA that D3 lets through backwards', () => {
    const seen = value('C8.1', 'C8.2', 'resistance')
    expect(seen).toBeLessThan(60_000 / 11)
    expect(seen).toBeGreaterThan((60_000 / 11) * (1 - 1e-4))
  })
  it('line to line is both inputs in series with what leads to them; at a quarter of a volt a clamp forward takes 1 % of it', () => {
    const [seen, inputs] = [value('J1.1', 'J1.2', 'resistance'), 2 * (220 + 6.5 + 24_000)]
    expect(seen).toBeLessThan(inputs * 0.995)
    expect(seen).toBeGreaterThan(inputs * 0.98)
  })
  it('a clamp forward reads a junction behind the meter’s own 2.5 kΩ', () => {
    // By hand: the junction takes what 3 V through 2500 Ω gives, less what 24 kΩ of the input (and its winding) beside it takes.
    const volts = value('J2.2', 'R3.2', 'diode')
    if (volts === 'overload') throw new Error('overload')
    expect(volts).toBeCloseTo(junctionVolts((3 - volts) / 2500 - volts / 24_006.5), 6)
  })
  it('a clamp in reverse is open, though an input of 24 kΩ lies beside it', () => expect(value('R3.2', 'J2.2', 'diode')).toBe('overload'))
  it('capacitances in parallel add', () => expect(value('C8.1', 'C8.2', 'capacitance')).toBeCloseTo(1e-4, 12))
  it('a dead board has no volts', () => expect(reads(board, [], { red: 'C8.1', black: 'C8.2' }, 'dc-voltage')).toMatchObject({ ok: true,
    value: 0 }))
})

describe('with a fault in it', () => {
  it('an open resistor is an overload: no way leads round it', () =>
    expect(value('J1.2', 'R3.2', 'resistance', 'R3:open')).toBe('overload'))
  it('a shorted clamp reads next to nothing both ways', () => {
    expect(value('J2.2', 'R3.2', 'diode', 'D5:short')).toBeLessThan(0.001)
    expect(value('R3.2', 'J2.2', 'diode', 'D5:short')).toBeLessThan(0.001)
  })
  it('a reversed diode exchanges its two readings', () => {
    expect(value('F1.2', 'C8.1', 'diode', 'D2:reversed')).toBe('overload')
    expect(value('C8.1', 'F1.2', 'diode', 'D2:reversed')).toBeCloseTo(junctionVolts(0.968e-3), 3)
  })
  it('a leak lies in parallel: 24 kΩ and 1.2 kΩ', () => expect(value('U2.A', 'J2.2', 'resistance',
    'U2.A:leaky=1200')).toBeCloseTo((24_000 * 1200) / 25_200, 0))
  it('a drift multiplies', () => expect(value('J1.1', 'JP1.1', 'resistance', 'R7:drifted=2.2')).toBeCloseTo(264, 3))
  it('one winding alone may be open', () => {
    expect(value('T1.3', 'T1.4', 'resistance', 'T1.3:open')).toBe('overload')
    expect(value('T1.1', 'T1.2', 'resistance', 'T1.3:open')).toBeCloseTo(6.5, 4)
  })
  it('a shorted capacitor shows no capacitance', () => expect(value('C8.1', 'C8.2', 'capacitance', 'C8:short')).toBe('overload'))
})

describe('the meter’s part in it', () => {
  it('never drives more than its limit', () => {
    const read = reads(board, faultsOf(board, 'D5:short'), { red: 'J2.2', black: 'R3.2' }, 'diode')
    expect(read.ok && read.amperes).toBe(genericDrives.diode.ranges[0]?.amperes)
  })
  it('above the ceiling shows overload', () => {
    const low = { ...genericDrives, resistance: { ...genericDrives.resistance, ceiling: 200 } }
    expect(reads(board, [], { red: 'J1.2', black: 'R3.2' }, 'resistance', { drives: low })).toMatchObject({ value: 'overload' })
  })
  it('a meter with plus on black sees junctions the other way round', () => {
    const turned = { ...genericDrives, diode: { ...genericDrives.diode, plus: 'black' as const } }
    expect(reads(board, [], { red: 'J2.2', black: 'R3.2' }, 'diode', { drives: turned })).toMatchObject({ value: 'overload' })
  })
  it('a test point or a function that is not there is said in words', () => {
    expect(reads(board, [], { red: 'X1', black: 'R3.2' }, 'diode')).toEqual({ ok: false,
      because: 'Vent driver node has no test point X1.' })
    expect(reads(board, [], { red: 'J1.1', black: 'R3.2' }, 'temperature').ok).toBe(false)
  })
})

describe('R·C across a placement', () => {
  it('is known across the bulk capacitor', () => expect(rcSeconds(board, { red: 'C8.1', black: 'C8.2' },
    'resistance')).toBeCloseTo((60_000 / 11) * 1e-4, 4))
  it('is the same either way round', () => expect(rcSeconds(board, { red: 'C8.2', black: 'C8.1' }, 'diode')).toBeCloseTo(0.545, 2))
  it('is null where no capacitor lies across', () => expect(rcSeconds(board, { red: 'J1.2', black: 'R3.2' }, 'resistance')).toBeNull())
  it('is null where the function drives nothing', () => expect(rcSeconds(board, { red: 'C8.1', black: 'C8.2' }, 'dc-voltage')).toBeNull())
})
