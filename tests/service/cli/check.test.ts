import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { checkCommand } from '../../../src-main/cli/check'
import { commandLine } from './surroundings'

let folder = ''
beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'probewright-check-')) })
afterAll(() => rmSync(folder, { recursive: true }))

const check = (...files: string[]): { code: number; printed: string[] } => {
  const line = commandLine()
  return { code: checkCommand(files, line), printed: line.printed }
}
const shipped = (path: string): string => readFileSync(new URL(`../../../fixtures/${path}`, import.meta.url), 'utf8')
const written = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text)
  return join(folder, name)
}

describe('check FILE', () => {
  it('says OK of the sample board, by file or by folder, and of both descriptions', () => {
    expect(check('fixtures/boards/vent-driver-node/board.json')).toEqual({ code: 0,
      printed: ['fixtures/boards/vent-driver-node/board.json: OK, board type vent-driver-node revision C, 22 parts, 23 steps (20 to measure)'] })
    expect(check('fixtures/boards/vent-driver-node').code).toBe(0)
    expect(check('fixtures/meters/line-meter-a.json').printed[0]).toMatch(/OK, meter description "Line meter A", 8 functions$/)
    expect(check('fixtures/meters/line-meter-b.json').code).toBe(0)
  })
  it('tells limits left out as they are computed for a typical meter, one line each', () => {
    const { code, printed } = check('fixtures/more-boards/frost-sensor/board.json')
    expect([code, printed.length]).toEqual([0, 4])
    expect(printed[1]).toMatch(/^ {2}r2: [\d.]+ kΩ to [\d.]+ kΩ, computed\. Limits computed: a good board reads 7\.1 kΩ \(a typical meter source, 15 °C to 35 °C\)\.$/)
    expect(printed.slice(2).map((line) => line.split(':')[0])).toEqual(['  d2-forward', '  r4'])
  })
  it('tells limits written as a part is marked as it understood them, one line each', () => {
    const board = JSON.parse(shipped('boards/vent-driver-node/board.json')) as { sequence: { steps: { id: string; limits?: unknown }[] } }
    const markings: Record<string, string> = { r5: '4k7 5 %', r6: '104 +80 % -20 %' }
    for (const step of board.sequence.steps) if (markings[step.id] !== undefined) step.limits = { marked: markings[step.id] }
    mkdirSync(join(folder, 'marked'))
    cpSync(new URL('../../../fixtures/boards/vent-driver-node/top.svg', import.meta.url), join(folder, 'marked', 'top.svg'))
    const { code, printed } = check(written('marked/board.json', JSON.stringify(board)))
    expect(code).toBe(0)
    // By hand: 4700 · 0.95 and 1.05; 10 · 10⁴ · 0.8 and 1.8.
    expect(printed.slice(1)).toEqual(['  r5: 4k7 5 % → 4.465 kΩ to 4.935 kΩ', '  r6: 104 +80 % -20 % → 80.0 kΩ to 180 kΩ'])
    expect(printed[0]).toMatch(/: OK, board type vent-driver-node revision C/)
  })
  it('names file and field of a bad board, and of a picture that is not there', () => {
    const bad = written('board.json', shipped('boards/vent-driver-node/board.json').replace('"red": "J1.2", "black": "R3.2"',
      '"red": "J1.2", "black": "R33.2"'))
    const { code, printed } = check(bad)
    expect(code).toBe(1)
    expect(printed).toEqual([expect.stringMatching(/board\.json: sequence\.steps\[\d+\]\.black: "R33\.2" is not a test point; add it to testPoints or correct the name$/)])
    const lonely = check(written('lonely.json', shipped('boards/vent-driver-node/board.json')))
    expect(lonely).toMatchObject({ code: 1,
      printed: [expect.stringContaining('pictures[0].file: there is no top.svg beside the board file')] })
  })
  it('names file and field of a bad description', () => {
    const { code, printed } = check(written('meter.json', shipped('meters/line-meter-a.json').replace('"baud": 9600', '"baud": "fast"')))
    expect([code, printed.length]).toEqual([1, 1])
    expect(printed[0]).toMatch(/meter\.json: port\.baud: /)
  })
  it('says so of what is no JSON, no file, or of no known schema', () => {
    expect(check(written('torn.json', '{ "schema": '))).toMatchObject({ code: 1,
      printed: [expect.stringContaining('The file is not JSON from line 1, column 13 on.')] })
    expect(check(join(folder, 'missing.json'))).toMatchObject({ code: 1, printed: [expect.stringContaining(`There is no file ${join(folder, 'missing.json')}.`)] })
    expect(check(written('other.json', '{"schema":"x"}'))).toMatchObject({ code: 1,
      printed: [expect.stringContaining('schema: must be "probewright/board-type/1" or "probewright/meter-description/1", not "x"')] })
  })
  it('checks several files and fails if one is bad', () => {
    const { code, printed } = check('fixtures/meters/line-meter-a.json', written('other.json', '[]'))
    expect([code, printed.length]).toEqual([1, 2])
  })
  it('asks for a file when none is named', () => expect(() => check()).toThrow(/^check needs a file/))
})
