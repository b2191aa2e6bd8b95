import { describe, expect, it } from 'vitest'
import { allowedPlacements, agree, gaugesOf } from '../../../../src-core/circuit/diagnose/allowed-placements'
import { onScale } from '../../../../src-core/circuit/diagnose/display-scale'
import { diagnose, diagnoserOf } from '../../../../src-core/circuit/diagnose'
import type { Diagnosis, PartReport, Placement } from '../../../../src-core/circuit/diagnosis'
import { type Fault, sameKind } from '../../../../src-core/circuit/faults'
import { genericDrives } from '../../../../src-core/circuit/meter-drive'
import { boardOf, diode, everyReading, fileOf, readingOf, resistor } from './small-boards'

const of = (diagnosis: Diagnosis, ref: string): PartReport => {
  const found = diagnosis.parts.find((part) => part.ref === ref)
  if (found === undefined) throw new Error(`no report of ${ref}`)
  return found
}
const short = (ref: string, ohms = 0.3): Fault => ({ ref, pin: null, kind: 'short', ohms })
const open = (ref: string): Fault => ({ ref, pin: null, kind: 'open' })

const input = boardOf([resistor('R1', 220, 'IN', 'A'), diode('D1', 'GND', 'A'), diode('D2', 'A', 'VCC'), resistor('R2', 10_000, 'VCC', 'GND')])

/** Both sets of a witness, read again by the solver alone. */
const witnessHolds = (board: ReturnType<typeof boardOf>, report: PartReport): boolean => {
  const { witness } = report
  if (witness === null) return false
  const states = [witness.likely, witness.other].map((faults) => faults.some((fault) => 'ref' in fault && fault.ref === report.ref))
  return states[0] !== states[1] && allowedPlacements(board).every(({ placement }) => {
    const [one, other] = [witness.likely, witness.other].map((faults) => readingOf(board, faults, placement).value)
    const y = (value: typeof one): number => (typeof value === 'number' ? onScale(placement.function, value) : Infinity)
    return agree(gaugesOf(genericDrives)(placement.function), placement.function, y(one), y(other))
  })
}

describe('a diagnosis', () => {
  it('calls every part of a board with nothing wrong good', () => {
    const { parts, classes } = diagnose(input, everyReading(input, []))
    expect(parts.map(({ ref, report }) => `${ref} ${report}`)).toEqual(['R1 good', 'D1 good', 'D2 good', 'R2 good'])
    expect(classes[0]?.sets[0]).toEqual([])
    expect(classes[0]?.probability).toBeGreaterThan(0.9)
  })
  it('finds one fault', () => {
    expect(diagnose(input, everyReading(input, [open('R1')])).classes[0]?.sets[0]).toEqual([open('R1')])
  })
  it('finds two at once', () => {
    const both = diagnose(input, everyReading(input, [short('D1'), open('R2')]))
    expect(of(both, 'D1').report).toBe('faulty')
    expect(of(both, 'R2').report).toBe('faulty')
    expect(of(both, 'R1').report).toBe('good')
  })
  it('finds the figure of a leak and of a drift', () => {
    const leak = of(diagnose(input, everyReading(input, [{ ref: 'D1', pin: null, kind: 'leaky', ohms: 1500 }])), 'D1').kinds[0]?.fault
    expect(leak).toMatchObject({ kind: 'leaky' })
    expect(leak !== undefined && 'ohms' in leak ? leak.ohms : NaN).toBeCloseTo(1500, -2)
    const drift = of(diagnose(input, everyReading(input, [{ ref: 'R1', pin: null, kind: 'drifted', factor: 3 }])), 'R1').kinds[0]?.fault
    expect(drift !== undefined && 'factor' in drift ? drift.factor : NaN).toBeCloseTo(3, 0)
  })
  it('says the figure and the spread of a fault alike in its part and in its class, also where the class holds it beside another', () => {
    const leaky = (ref: string, ohms: number): Fault => ({ ref, pin: null, kind: 'leaky', ohms })
    const drifted: Fault = { ref: 'R1', pin: null, kind: 'drifted', factor: 3 }
    const one: Placement = { red: 'TP_IN', black: 'TP_GND', function: 'resistance' }
    const spreads = ([[everyReading, [leaky('D1', 1500)]], [everyReading, [drifted]], [everyReading, [short('D1')]], [everyReading, [leaky('D2', 800), drifted]],
      [(board, faults) => fileOf(board, [readingOf(board, faults, one)]), [leaky('D1', 1500)]]] as [typeof everyReading, Fault[]][]).flatMap(([read, faults]) => {
      const { parts, classes } = diagnose(input, read(input, faults))
      return (classes[0]?.sets[0] ?? []).flatMap((fault) => {
        if (!('spread' in fault) || !('ref' in fault)) return []
        expect(parts.find(({ ref }) => ref === fault.ref)?.kinds.map((kind) => kind.fault).find((other) => sameKind(fault, other))).toEqual(fault)
        return [fault.spread ?? 0]
      })
    })
    expect(spreads.length).toBeGreaterThanOrEqual(6)
    expect(Math.min(...spreads)).toBeGreaterThan(0)
  })
  it('does not say which of three clamps in parallel is short, and names them', () => {
    const board = boardOf([diode('D2', 'GND', 'A'), diode('D3', 'GND', 'A'), diode('D4', 'GND', 'A'), resistor('R1', 470, 'IN', 'A')])
    const said = diagnose(board, everyReading(board, [short('D3')]))
    for (const ref of ['D2', 'D3', 'D4']) {
      expect(of(said, ref).report).toBe('masked')
      expect(of(said, ref).unmask).toMatchObject({ kind: 'lift' })
      expect(witnessHolds(board, of(said, ref))).toBe(true)
    }
    expect(of(said, 'R1').report).toBe('good')
    expect(said.notes.join(' ')).toMatch(/One of D2, D3 and D4 is faulty|One of D\d and D\d is faulty/)
    expect(said.next.some(({ action }) => action.kind === 'lift')).toBe(true)
  })
  it('says that an open series resistor masks what lies behind it', () => {
    const board = boardOf([resistor('R1', 220, 'IN', 'A'), diode('D1', 'GND', 'A'), resistor('R2', 4700, 'IN', 'GND')], ['A'])
    const { parts } = diagnose(board, everyReading(board, [open('R1')]))
    const masked = parts.filter(({ report }) => report === 'masked')
    expect(masked.map(({ ref }) => ref)).toContain('D1')
    for (const report of masked) expect(witnessHolds(board, report)).toBe(true)
  })
  it('says that a short across the input pair masks the diodes beside it', () => {
    const board = boardOf([{ ref: 'D1', kind: 'tvs', value: 24, pins: { anode: 'GND', cathode: 'IN' } }, diode('D2', 'GND', 'IN'), resistor('R1', 100, 'IN', 'A')])
    const said = diagnose(board, everyReading(board, [short('D1', 0.1)]))
    for (const ref of ['D1', 'D2']) {
      expect(of(said, ref).report).toBe('masked')
      expect(witnessHolds(board, of(said, ref))).toBe(true)
    }
  })
  it('blames nobody for a stray leak', () => {
    const { parts } = diagnose(input, everyReading(input, [], { strays: [{ nets: ['A', 'GND'], ohms: 400_000 }] }))
    expect(parts.filter(({ report }) => report === 'faulty')).toEqual([])
  })
  it('calls no part good before anything was read, and asks for a reading with its reason', () => {
    const { parts, next } = diagnose(input, fileOf(input, []))
    expect(parts.every(({ report }) => report === 'unprobed')).toBe(true)
    expect(next[0]?.action.kind).toBe('measure')
    expect(next[0]?.why).toMatch(/reads .*; if .*expected to settle (over |under )?\d+ % of what is still open, for an effort of \d/)
  })
  it('does not trust one air value more than its evidence', () => {
    const air = (evidence: 'confirmed' | 'proven'): number => of(diagnose(input, fileOf(input, [
      { red: 'TP_IN', black: 'TP_A', function: 'resistance', value: 'overload', ceiling: 60e6, evidence }])), 'R1').probability
    expect(air('proven')).toBeGreaterThan(air('confirmed'))
    expect(air('confirmed')).toBeGreaterThan(0.5)
  })
  it('says the same of a file read at once and of one that grew', () => {
    const whole = everyReading(input, [short('D2')])
    const growing = diagnoserOf(input)
    whole.readings.forEach((_, at) => growing.diagnose({ ...whole, readings: whole.readings.slice(0, at + 1) }))
    const [grown, once] = [growing.diagnose(whole), diagnose(input, whole)]
    expect(grown.parts.map(({ report }) => report)).toEqual(once.parts.map(({ report }) => report))
    grown.parts.forEach(({ probability }, at) => { expect(probability).toBeCloseTo(once.parts[at]?.probability ?? NaN, 1) })
  })
  it('leaves out, in words, what it cannot compute', () => {
    const { notes } = diagnose(input, fileOf(input, [{ red: 'TP_IN', black: 'TP_A', function: 'frequency', value: 1, evidence: 'steady' },
      { red: 'TP_X', black: 'TP_A', function: 'resistance', value: 1, evidence: 'steady' }]))
    expect(notes.join(' ')).toMatch(/frequency is not computed.*no test point TP_X/)
  })
})
