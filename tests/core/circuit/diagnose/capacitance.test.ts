/** Capacitors that resistance and diode test do not tell of, told by a capacitance reading in circuit. */
import { describe, expect, it } from 'vitest'
import type { Part } from '../../../../src-core/board/part'
import { capacitorsBetween } from '../../../../src-core/circuit/capacitance'
import { diagnose } from '../../../../src-core/circuit/diagnose'
import type { PartReport } from '../../../../src-core/circuit/diagnosis'
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
