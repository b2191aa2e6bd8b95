/** Capacitors that resistance and diode test do not tell of, told by a capacitance reading in circuit. */
import { describe, expect, it } from 'vitest'
import type { Part } from '../../../../src-core/board/part'
import { capacitorsBetween } from '../../../../src-core/circuit/capacitance'
import { diagnose } from '../../../../src-core/circuit/diagnose'
import type { PartReport } from '../../../../src-core/circuit/diagnosis'
import type { MeterFunction } from '../../../../src-core/meter/reading'
import type { Fault } from '../../../../src-core/circuit/faults'
import { networkOf } from '../../../../src-core/circuit/network'
import type { ReadingsFile } from '../../../../src-core/circuit/readings-file'
import { boardOf, diode, everyReading, readingOf, resistor } from './small-boards'

const capacitor = (ref: string, value: number, a: string, b: string): Part => ({ ref, kind: 'capacitor', value, tolerance: 0.2, pins: { 1: a, 2: b } })
const filter = boardOf([resistor('R1', 22_000, 'IN', 'A'), capacitor('C1', 1e-7, 'A', 'GND'), diode('D1', 'GND', 'A'), resistor('R2', 47_000, 'A', 'GND')])
const twins = boardOf([resistor('R1', 22_000, 'IN', 'A'), capacitor('C1', 1e-7, 'A', 'GND'), capacitor('C2', 1e-6, 'A', 'GND'), resistor('R2', 47_000, 'A', 'GND')])

/** Every direct-current reading, then the capacitance from A to GND. */
const withCapacitance = (board: typeof filter, faults: readonly Fault[]): ReadingsFile => {
  const file = everyReading(board, faults)
  return { ...file, readings: [...file.readings, readingOf(board, faults, { red: 'TP_A', black: 'TP_GND', function: 'capacitance' })] }
}
const of = (file: ReadingsFile, ref: string, board = filter): PartReport | undefined => diagnose(board, file).parts.find((part) => part.ref === ref)
const open = (ref: string): Fault => ({ ref, pin: null, kind: 'open' })

describe('a capacitance reading', () => {
  it('tells an open capacitor that is masked without it', () => {
    expect(of(everyReading(filter, [open('C1')]), 'C1')?.report).toBe('masked')
    expect(of(withCapacitance(filter, [open('C1')]), 'C1')).toMatchObject({ report: 'faulty', kinds: [expect.objectContaining({ fault: open('C1') })] })
  })
  it('tells a sound one', () => {
    expect(of(withCapacitance(filter, []), 'C1')?.report).toBe('good')
  })
  it('finds how far one has drifted', () => {
    const report = of(withCapacitance(filter, [{ ref: 'C1', pin: null, kind: 'drifted', factor: 0.3 }]), 'C1')
    const fault = report?.kinds[0]?.fault
    expect(report?.report).toBe('faulty')
    expect(fault?.kind === 'drifted' ? fault.factor : NaN).toBeGreaterThan(0.22)
    expect(fault?.kind === 'drifted' ? fault.factor : NaN).toBeLessThan(0.4)
  })
  it('tells which of two unequal ones in parallel is open, and blames no other part', () => {
    const { parts } = diagnose(twins, withCapacitance(twins, [open('C2')]))
    expect(parts.filter(({ report }) => report === 'faulty').map(({ ref }) => ref)).toEqual(['C2'])
  })
  it('does not tell a small one beside a large one, whose tolerance hides it', () => {
    expect(of(withCapacitance(twins, [open('C1')]), 'C1', twins)?.report).not.toMatch(/faulty|good/)
  })
  it('does not unsay a shorted part beside it', () => {
    const { parts } = diagnose(filter, withCapacitance(filter, [{ ref: 'D1', pin: null, kind: 'short', ohms: 1 }]))
    expect(parts.find(({ ref }) => ref === 'R1')?.report).toBe('good')
    expect(parts.find(({ ref }) => ref === 'R2')?.report).not.toBe('faulty')
  })
  it('is asked for where the meter has the function, and not where it has not', () => {
    const file = everyReading(filter, [])
    const asked = (given: ReadingsFile): string[] => diagnose(filter, given).next.flatMap(({ action }) => (action.kind === 'measure' ? [action.placement.function] : []))
    expect(asked(file)).not.toContain('capacitance')
    expect(asked({ ...file, sources: { capacitance: { volts: 0.5, ohms: 10_000, amperes: 0.001, plus: 'red' } } })).toContain('capacitance')
  })
})

describe('a capacitor with a leg lifted', () => {
  /** Too few ohms lie across C1 for its capacitance to be read in circuit. */
  const loaded = boardOf([resistor('R1', 22_000, 'IN', 'A'), capacitor('C1', 1e-7, 'A', 'GND'), resistor('R2', 470, 'A', 'GND', 0.001)])
  const meter = { capacitance: { volts: 0.5, ohms: 10_000, amperes: 0.001, plus: 'red' } } as const
  const state = [{ ref: 'C1', pin: '1', is: 'lifted' }] as const
  const lifted = (faults: readonly Fault[], functions: readonly MeterFunction[], sources: ReadingsFile['sources'] = meter): ReadingsFile => {
    const file = everyReading(loaded, faults, { state: [...state] })
    const alone = functions.map((what) => readingOf(loaded, faults, { red: '~C1.1', black: 'TP_GND', function: what }, { state: [...state] }))
    return { ...file, state: [...state], ...(sources === undefined ? {} : { sources }), readings: [...file.readings, ...alone] }
  }
  const askedAlone = (file: ReadingsFile): string[] => diagnose(loaded, file).next.flatMap(({ action }) => (action.kind === 'measure' && action.placement.red === '~C1.1' ? [action.placement.function] : []))

  it('is asked for where it cannot be measured in circuit and the meter has the function; without it no reading would tell', () => {
    const file = everyReading(loaded, [])
    expect(of({ ...file, sources: meter }, 'C1', loaded)).toMatchObject({ report: 'masked', unmask: { kind: 'lift', ref: 'C1' } })
    expect(of(file, 'C1', loaded)).toMatchObject({ report: 'masked', unmask: { kind: 'replace', ref: 'C1' } })
  })
  it('is then measured alone: by capacitance where the meter has it, and by resistance for a leak; once each', () => {
    expect(askedAlone(lifted([], [])).sort()).toEqual(['capacitance', 'resistance'])
    expect(askedAlone(lifted([], ['capacitance']))).not.toContain('capacitance')
    expect(askedAlone(lifted([], ['capacitance', 'resistance']))).toEqual([])
    const { capacitance: _none, ...without } = meter
    expect(askedAlone(lifted([], [], without))).toEqual(['resistance'])
  })
  it('is told sound, open, drifted and leaky', () => {
    const both = (faults: Fault[]): PartReport | undefined => of(lifted(faults, ['capacitance', 'resistance']), 'C1', loaded)
    expect(both([])?.report).toBe('good')
    expect(both([open('C1')])).toMatchObject({ report: 'faulty', kinds: [expect.objectContaining({ fault: open('C1') })] })
    const drift = both([{ ref: 'C1', pin: null, kind: 'drifted', factor: 0.3 }])
    expect([drift?.report, drift?.kinds[0]?.fault.kind]).toEqual(['faulty', 'drifted'])
    const leak = both([{ ref: 'C1', pin: null, kind: 'leaky', ohms: 20_000 }])
    const fault = leak?.kinds[0]?.fault
    expect([leak?.report, fault?.kind]).toEqual(['faulty', 'leaky'])
    // Alone, the meter reads the leak itself.
    expect(fault !== undefined && 'ohms' in fault ? fault.ohms / 20_000 : NaN).toBeCloseTo(1, 1)
  })
  it('has no leg to touch while it is not lifted: such a reading is left out, and said', () => {
    const file = lifted([], ['capacitance'])
    expect(diagnose(loaded, { ...file, state: [] }).notes.join(' ')).toContain('The reading at ~C1.1 to TP_GND, capacitance was left out: C1.1 is not lifted.')
  })
  it('is one of all parts: a clamp that three in parallel hid is told by itself', () => {
    const board = boardOf([diode('D2', 'GND', 'A'), diode('D3', 'GND', 'A'), resistor('R1', 470, 'IN', 'A')])
    const short: Fault = { ref: 'D3', pin: null, kind: 'short', ohms: 1 }
    const off = [{ ref: 'D3', pin: 'anode', is: 'lifted' }] as const
    const file = everyReading(board, [short], { state: [...off] })
    const next = diagnose(board, { ...file, state: [...off] }).next.find(({ action }) => action.kind === 'measure' && JSON.stringify(action).includes('~D3.anode'))
    expect(next?.bits).toBeGreaterThan(0)
    const alone = readingOf(board, [short], { red: '~D3.anode', black: 'TP_A', function: 'resistance' }, { state: [...off] })
    expect(of({ ...file, state: [...off], readings: [...file.readings, alone] }, 'D3', board)?.report).toBe('faulty')
  })
})

describe('which capacitors are seen', () => {
  const between = (parts: Part[]): ReturnType<typeof capacitorsBetween> => capacitorsBetween(networkOf(boardOf(parts), []), 'A', 'GND')
  it('adds those in parallel', () => {
    expect(between([capacitor('C1', 1e-7, 'A', 'GND'), capacitor('C2', 2e-7, 'GND', 'A')])).toMatchObject({ ok: true, farads: expect.closeTo(3e-7, 12) as number })
  })
  it('refuses where too few ohms lie across, with the figure', () => {
    const found = between([capacitor('C1', 1e-7, 'A', 'GND'), resistor('R1', 470, 'A', 'GND')])
    expect(found.ok ? '' : found.because).toMatch(/470 Ω lie across A and GND, less than 1 kΩ: not computed/)
  })
  it('refuses where another is charged with it, by the divider to its net', () => {
    // Half of the volts settle on C2, which adds a quarter of its farads.
    const found = between([capacitor('C1', 1e-7, 'A', 'GND'), resistor('R1', 10_000, 'A', 'B'), resistor('R2', 10_000, 'B', 'GND'), capacitor('C2', 1e-7, 'B', 'GND')])
    expect(found.ok ? '' : found.because).toMatch(/C2 is charged through other parts along with C1/)
    expect(between([capacitor('C1', 1e-6, 'A', 'GND'), resistor('R1', 10_000, 'A', 'B'), resistor('R2', 10_000, 'B', 'GND'), capacitor('C2', 1e-8, 'B', 'GND')]).ok).toBe(true)
  })
  it('says so in the notes of a diagnosis, and goes on without the reading', () => {
    const board = boardOf([capacitor('C1', 1e-7, 'A', 'GND'), resistor('R1', 470, 'A', 'GND')])
    expect(diagnose(board, withCapacitance(board, [])).notes.join(' ')).toMatch(/The reading at TP_A to TP_GND, capacitance was left out: 470 Ω/)
  })
})
