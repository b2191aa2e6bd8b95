import { mkdtempSync, rmSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { diagnoseCommand } from '../../../src-main/cli/diagnose'
import { expectCommand } from '../../../src-main/cli/expect'
import { lineInput } from '../../bench-tools/lifted-board'
import { commandLine } from './surroundings'

let folder = ''
beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-diagnose-')) })
afterAll(() => rmSync(folder, { recursive: true }))

const board = 'fixtures/boards/vent-driver-node/board.json'
const written = (changes: object): string => {
  const file = join(folder, 'readings.json')
  writeFileSync(file, JSON.stringify({ schema: 'probewright/readings/1', board: { id: 'vent-driver-node', revision: 'C' }, state: [], readings: [
    { red: 'J1.1', black: 'R4.2', function: 'resistance', value: 'overload', ceiling: 6e7, evidence: 'proven' },
    { red: 'J1.2', black: 'R3.2', function: 'resistance', value: 220.4, U: 4, k: 2, evidence: 'steady' }], ...changes }))
  return file
}

describe('diagnose BOARD READINGS', () => {
  it('prints reports, classes and what to do next, as JSON', () => {
    const line = commandLine()
    expect(diagnoseCommand([board, written({})], line)).toBe(0)
    const said = JSON.parse(line.printed.join('\n')) as { parts: { ref: string; report: string; probability: number }[]; classes: { probability: number }[]; next: { why: string }[]; notes: string[] }
    expect(said.parts.find(({ ref }) => ref === 'R4')).toMatchObject({ report: 'faulty' })
    expect(said.parts.find(({ ref }) => ref === 'R3')).toMatchObject({ report: 'good' })
    expect(said.parts.find(({ ref }) => ref === 'F1')).toMatchObject({ report: 'unprobed' })
    expect(said.next[0]?.why).toMatch(/expected to settle \d+ % of what is still open/)
    expect(said.notes.join(' ')).toMatch(/typical figures were used/)
  })
  it('refuses, in words, another board, an unknown part of the state, and a file that is none', () => {
    expect(() => diagnoseCommand([board, written({ board: { id: 'soil-relay', revision: 'A' } })], commandLine())).toThrow(/is of board soil-relay revision A/)
    expect(() => diagnoseCommand([board, written({ state: [{ ref: 'R99', is: 'removed' }] })], commandLine())).toThrow(/names R99, which is not a part/)
    expect(() => diagnoseCommand([board, written({ state: [{ ref: 'D4', pin: 'gate', is: 'lifted' }] })], commandLine())).toThrow(/has no such pin. Its pins are anode, cathode/)
    expect(() => diagnoseCommand([board, written({ readings: [{ red: 'J1.1' }] })], commandLine())).toThrow(/is not sound:\n.*readings\[0\]\.black/)
    const misnamed = { red: 'J1.1', black: 'R4.9', function: 'resistance', value: 221, evidence: 'steady' }
    expect(() => diagnoseCommand([board, written({ readings: [misnamed] })], commandLine())).toThrow(/readings\[0\]\.black is R4\.9, and Vent driver node has no such test point/)
    expect(() => diagnoseCommand([board, written({ readings: [{ ...misnamed, black: 'R4.2', value: 'OL' }] })], commandLine())).toThrow(/readings\[0\]\.value: must be a number, "overload" or "negative-overload", not "OL"/)
    expect(() => diagnoseCommand([board, written({ readings: [{ ...misnamed, black: 'R4.2', value: undefined }] })], commandLine())).toThrow(/readings\[0\]\.value: is missing; write a number, "overload" or "negative-overload"/)
    expect(() => diagnoseCommand([board, join(folder, 'none.json')], commandLine())).toThrow(/There is no file/)
    expect(() => diagnoseCommand([board], commandLine())).toThrow(/needs a board file and a readings file/)
  })
})

describe('expect BOARD', () => {
  it('prints what each step of a good board reads, drawn and linear', () => {
    const line = commandLine()
    expect(expectCommand([board, '--boards', '60', '--seed', '7'], line)).toBe(0)
    const said = JSON.parse(line.printed.join('\n')) as { steps: { id: string; value: number | 'overload'; drawn: number[]; linear: number[] }[] }
    const r4 = said.steps.find(({ id }) => id === 'r4')
    expect(r4?.value).toBeCloseTo(220, 0)
    for (const [at, bound] of (r4?.linear ?? []).entries()) expect(bound / (r4?.drawn[at] ?? NaN)).toBeCloseTo(1, 1)
  })
  it('prints the capacitance where capacitors lie straight across, with the spread of their tolerance', () => {
    const line = commandLine()
    expectCommand([board, '--boards', '200', '--seed', '7'], line)
    const said = JSON.parse(line.printed.join('\n')) as { capacitances: { parts: string[]; function: string; value: number; drawn: [number, number] }[] }
    const asked = (JSON.parse(readFileSync(board, 'utf8')) as { parts: { ref: string; value?: number }[] }).parts
    expect(said.capacitances.length).toBeGreaterThan(0)
    for (const { parts, value, drawn: [low, high] } of said.capacitances) {
      const farads = asked.filter(({ ref }) => parts.includes(ref)).reduce((sum, one) => sum + (one.value ?? 0), 0)
      expect(value / farads).toBeCloseTo(1, 9)
      expect(low).toBeLessThan(value)
      expect(high).toBeGreaterThan(value)
    }
  })
  it('has limits nobody typed as figures, and says that they are computed', () => {
    const file = join(folder, 'line-input.json')
    writeFileSync(file, JSON.stringify(lineInput()))
    const line = commandLine()
    expect(expectCommand([file, '--boards', '20'], line)).toBe(0)
    const said = JSON.parse(line.printed.join('\n')) as { steps: Record<string, unknown>[] }
    // Behind the steps that lift the clamps and open the terminator: 24 kΩ, not 119 Ω.
    expect(said.steps.find(({ id }) => id === 'pair')).toMatchObject({
      limits: { between: [expect.any(Number), expect.any(Number)] }, limitsInWords: expect.stringMatching(/kΩ to .*kΩ, computed$/) as string, computed: expect.stringContaining('a good board reads 24 kΩ') as string, value: expect.closeTo(24_000, -2) as number,
    })
    expect(said.steps.find(({ id }) => id === 'r1')).not.toHaveProperty('computed')
  })
  it('refuses a seed that is none', () => {
    expect(() => expectCommand([board, '--seed', 'x'], commandLine())).toThrow(/--seed must be a whole number/)
  })
})
