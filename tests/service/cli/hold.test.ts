import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { boardType } from '../../../src-core/board/board-type'
import { reads } from '../../../src-core/circuit/expected-reading'
import { holdCommand } from '../../../src-main/cli/hold'
import { commandLine } from './surroundings'

let folder = ''
beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-hold-')) })
afterAll(() => rmSync(folder, { recursive: true }))

const boardFile = 'fixtures/boards/soil-relay/board.json'
const board = boardType.parse(JSON.parse(readFileSync(boardFile, 'utf8')))
const readings = board.sequence.steps.flatMap((step) => {
  if (step.kind !== 'measure' || step.powered === true || !['resistance', 'diode'].includes(step.function)) return []
  const found = reads(board, [], { red: step.red, black: step.black }, step.function)
  return found.ok ? [{ red: step.red, black: step.black, function: step.function, value: found.value, evidence: found.value === 'overload' ? 'proven' : 'steady' }] : []
})
const written = (name: string, changes: object = {}): string => {
  const file = join(folder, name)
  writeFileSync(file, JSON.stringify({ schema: 'probewright/readings/1', board: { id: board.id, revision: board.revision }, state: [], readings, ...changes }))
  return file
}

describe('hold BOARD READINGS…', () => {
  const good = (): string[] => ['a.json', 'b.json', 'c.json'].map((name) => written(name))
  it('finds that good boards fit a right file, and names the diode that is turned round in a wrong one', () => {
    const line = commandLine()
    expect(holdCommand([boardFile, ...good()], line)).toBe(0)
    expect(JSON.parse(line.printed.join('\n'))).toMatchObject({ fits: true, suspects: [] })
    const turned = board.parts.find(({ kind, pins }) => kind === 'diode' && pins.anode !== undefined)
    const wrong = join(folder, 'board.json')
    const file = JSON.parse(readFileSync(boardFile, 'utf8')) as { parts: { ref: string; pins: Record<string, string> }[] }
    writeFileSync(wrong, JSON.stringify({ ...file, parts: file.parts.map((part) => (part.ref === turned?.ref ? { ...part, pins: { ...part.pins, anode: part.pins.cathode, cathode: part.pins.anode } } : part)) }))
    const other = commandLine()
    expect(holdCommand([wrong, ...good()], other)).toBe(1)
    const said = JSON.parse(other.printed.join('\n')) as { suspects: { says: string; parts: string[] }[]; odd: unknown[] }
    expect(said.suspects.flatMap(({ parts }) => parts)).toContain(turned?.ref)
    expect(said.odd.length).toBeGreaterThan(0)
  })
  it('refuses, in words, too few boards, another board, and one that is not whole', () => {
    expect(() => holdCommand([boardFile, ...good().slice(1)], commandLine())).toThrow(/the readings of 3 good boards or more/)
    expect(() => holdCommand([boardFile, ...good().slice(1), written('d.json', { board: { id: 'soil-relay', revision: 'Z' } })], commandLine())).toThrow(/is of board soil-relay revision Z/)
    expect(() => holdCommand([boardFile, ...good().slice(1), written('d.json', { state: [{ ref: 'C1', is: 'removed' }] })], commandLine())).toThrow(/Only whole boards speak/)
    expect(() => holdCommand([boardFile, ...good().slice(1), written('d.json', { readings: [{ red: 'J1.1' }] })], commandLine())).toThrow(/is not sound/)
  })
})
