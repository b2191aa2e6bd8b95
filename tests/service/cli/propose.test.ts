import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { checkBoard } from '../../../src-core/board/check'
import { proposeCommand } from '../../../src-main/cli/propose'
import { commandLine } from './surroundings'

let folder = ''
beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-propose-')) })
afterAll(() => rmSync(folder, { recursive: true }))

const file = 'fixtures/boards/soil-relay/board.json'
const shipped = JSON.parse(readFileSync(new URL(`../../../${file}`, import.meta.url), 'utf8')) as Record<string, unknown>
const propose = (...args: string[]): { code: number; printed: string; told: string[] } => {
  const line = commandLine()
  const code = proposeCommand(args, line)
  return { code, printed: line.printed.join('\n'), told: line.complaints }
}

describe('propose BOARD.json', () => {
  it('prints a sequence that can be pasted into the file, and tells what it shows and what stays untested', () => {
    const { code, printed, told } = propose(file)
    expect(code).toBe(0)
    const checked = checkBoard({ ...shipped, sequence: JSON.parse(printed) as unknown }, 'board.json')
    expect(checked).not.toHaveProperty('problems')
    expect(told[0]).toMatch(/^\d+ steps, 1 turn of the dial, \d+ lead moves; \d+ of \d+ single faults show\.$/)
    expect(told).toContain('untested: C2, open, drifted. A capacitor carries no direct current: measure its capacitance, or replace it as a precaution.')
  })
  it('needs no sequence in the file', () => {
    const bare = Object.fromEntries(Object.entries(shipped).filter(([key]) => key !== 'sequence'))
    writeFileSync(join(folder, 'board.json'), JSON.stringify(bare))
    expect(propose(folder)).toMatchObject({ code: 0, printed: propose(file).printed })
  })
  it('refuses a bad file field by field, a missing one, and none', () => {
    writeFileSync(join(folder, 'bad.json'), JSON.stringify({ ...shipped, nets: ['GND'] }))
    expect(() => propose(join(folder, 'bad.json'))).toThrow(/testPoints\[0\]\.net: "V24_IN" is not in nets/)
    expect(() => propose(join(folder, 'none.json'))).toThrow(/There is no file .*none\.json/)
    writeFileSync(join(folder, 'no-json.json'), '{ "schema": ')
    expect(() => propose(join(folder, 'no-json.json'))).toThrow(/no-json\.json cannot be read: /)
    expect(() => propose()).toThrow(/^propose needs one board file\./)
    writeFileSync(join(folder, 'alone.json'), JSON.stringify({ ...shipped, testPoints: [], energyStores: [], parts: [], sequence: undefined }))
    expect(() => propose(join(folder, 'alone.json'))).toThrow(/No placement shows a fault on .*Add test points/)
  })
})
