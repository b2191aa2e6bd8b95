import { describe, expect, it } from 'vitest'
import { reads } from '../../../src-core/circuit/expected-reading'
import { genericSources } from '../../../src-core/circuit/meter-source'
import { rcSeconds } from '../../../src-core/circuit/time-constant'
import { faultsOf, sampleBoard } from './sample'

const board = sampleBoard()
const value = (red: string, black: string, what: 'resistance' | 'diode' | 'continuity' | 'capacitance',
  ...faults: string[]): number | 'overload' => {
  const read = reads(board, faultsOf(board, ...faults), { red, black }, what)
  if (!read.ok) throw new Error(read.because)
  return read.value
}

describe('what a meter reads on the good sample board', () => {
  it('a series resistor reads its value: nothing lies beside it', () => expect(value('J1.2', 'R3.2', 'resistance')).toBeCloseTo(220, 4))
  it('the supply pair is bleeder beside regulator, 10 kΩ ∥ 12 kΩ', () =>
    expect(value('C8.1', 'C8.2', 'resistance')).toBeCloseTo(60_000 / 11, 1))
  it('line to line is both inputs in series with what leads to them', () =>
    expect(value('J1.1', 'J1.2', 'resistance')).toBeCloseTo(2 * (220 + 6.5 + 24_000), -1))
  it('a clamp forward reads a junction behind the meter’s own 2.5 kΩ', () => {
    // By hand: 3 V through 2500 Ω into 0.5 V + 90 Ω, with 24 kΩ of the input (and its winding) beside it.
    const beside = 24_006.5
    const volts = (3 / 2500 + 0.5 / 90) / (1 / 2500 + 1 / 90 + 1 / beside)
    expect(value('J2.2', 'R3.2', 'diode')).toBeCloseTo(volts, 3)
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
    expect(value('C8.1', 'F1.2', 'diode', 'D2:reversed')).toBeCloseTo(0.587, 2)
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
    expect(read.ok && read.amperes).toBe(genericSources.diode.amperes)
  })
  it('above the ceiling shows overload', () => {
    const low = { ...genericSources, resistance: { ...genericSources.resistance, ceiling: 200 } }
    expect(reads(board, [], { red: 'J1.2', black: 'R3.2' }, 'resistance', { sources: low })).toMatchObject({ value: 'overload' })
  })
  it('a meter with plus on black sees junctions the other way round', () => {
    const turned = { ...genericSources, diode: { ...genericSources.diode, plus: 'black' as const } }
    expect(reads(board, [], { red: 'J2.2', black: 'R3.2' }, 'diode', { sources: turned })).toMatchObject({ value: 'overload' })
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
