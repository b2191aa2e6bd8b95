/** The record of a run beside a good board, as it leaves the app: what that board read, the difference and the verdict on paper and in the table, and the record verifies. */
import { createPublicKey } from 'node:crypto'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { fileText } from '../../../src-core/record/seal'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { tableColumns, tableRows } from '../../../src-core/run/value-table'
import { exportCommand } from '../../../src-main/cli/export'
import { verifyCommand } from '../../../src-main/cli/verify'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { sealedRecord, sourcesMade, testKey } from '../../bench-tools/made-records'
import { openDataFolder } from '../../bench-tools/opened'
import { popplerIsHere, textOf } from '../../bench-tools/pdf-tools'
import { pythonIsHere, readByPython } from '../../bench-tools/read-by-python'
import { checkedMeter, play, smallBoard, type Play } from '../../core/run/a-run'
import { commandLine } from '../cli/surroundings'

const later = closeAfterEach()
const board = smallBoard()

/** R1 reads 214 Ω on the good board and 223 Ω, within its limits, on the other; D1 conducts in reverse on the other alone. */
const measured = (): Play => {
  const bench = play(board, checkedMeter, { kit: usualBenchKit, beside: true })
  bench.confirm(); bench.open('dc-voltage'); bench.open('dc-voltage'); bench.confirm()
  bench.touch('resistance', 214); bench.touch('resistance', 223)
  bench.open('diode'); bench.touch('diode', 0.31); bench.touch('diode', 0.31)
  expect(bench.state().ended?.verdict).toBe('fail')
  return bench
}
const state = measured().state()

const exported = async (of = state): Promise<{ folder: string; make: (name: string) => Promise<Buffer> }> => {
  const folder = openDataFolder(later)
  writeFileSync(join(folder, 'record.json'), fileText(sealedRecord(recordOfRun(sourcesMade({}, { state: of, board })))))
  return {
    folder,
    make: async (name) => {
      expect(await exportCommand(['record.json', '--out', name, '--data', folder], commandLine(folder))).toBe(0)
      return readFileSync(join(folder, name))
    },
  }
}
/** The rows of one step as objects, header first; every cell as text. */
const rowsOf = (table: readonly (readonly unknown[])[], step: string): Record<string, string>[] => {
  const [columns = [], ...rows] = table
  return rows.map((row) => Object.fromEntries(columns.map((name, at) => [String(name), String(row[at] ?? '')]))).filter((row) => row.step === step)
}
const told = (rows: Record<string, string>[]): unknown[] => rows.map(({ title, value, value_verdict, standing, difference_from_good_board: difference }) => [title, value, value_verdict, standing, difference])
const wanted = {
  // 223 − 214 = 9 Ω
  r1: [['R1', '223', 'pass', 'yes', '9'], ['R1, on the good board beside it', '214', '', 'no', '']],
  // Between a figure and an overload there is no difference.
  d1: [['D1 reverse', '0.31', 'fail', 'no', ''], ['D1 reverse', '0.31', 'fail', 'yes', ''], ['D1 reverse, on the good board beside it', 'overload', '', 'no', '']],
}

describe('a run beside a good board', () => {
  it.skipIf(!popplerIsHere)('prints what each board read, how far the item is off, what it was held to, and its verdict', async () => {
    const { make } = await exported()
    const text = textOf(await make('record.pdf')).replace(/\s+/g, ' ')
    const [values = '', good = ''] = text.split('Read on a good board beside the item')
    expect(values).toMatch(/2 R1 .* \(223\.0 ± [\d.]+\) Ω k = [\d.]+ pass /)
    expect(values).toMatch(/3 D1 reverse .* \(310\.0 ± [\d.]+\) mV k = [\d.]+ FAIL /)
    expect(good).toContain('These are no values of the item')
    // 223 / 214 is 1.042.
    expect(good).toMatch(/2 R1 resistance \(214\.0 ± [\d.]+\) Ω \+4\.2 % the limits of the step/)
    expect(good).toMatch(/3 D1 reverse diode test open/)
  })

  it.skipIf(!pythonIsHere)('stands in the table of records, the difference as a figure beside the value that stands', async () => {
    const table = readByPython((await (await exported()).make('record.csv')).toString('utf8').replace(/^\ufeff/, ''))
    expect(told(rowsOf(table, 'r1'))).toEqual(wanted.r1)
    expect(told(rowsOf(table, 'd1'))).toEqual(wanted.d1)
  })

  it('stands alike in the table of runs', () => {
    const table = [[...tableColumns], ...tableRows({ state, board })]
    expect(told(rowsOf(table, 'r1'))).toEqual(wanted.r1)
    expect(told(rowsOf(table, 'd1'))).toEqual(wanted.d1)
  })

  it.skipIf(!popplerIsHere || !pythonIsHere)('keeps the touches on the good board that do not stand, apart from the one that does', async () => {
    const bench = play(board, checkedMeter, { kit: usualBenchKit, beside: true })
    bench.confirm(); bench.open('dc-voltage'); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 209); bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    bench.touch('resistance', 214); bench.touch('resistance', 223)
    bench.open('diode'); bench.open('diode')
    expect(bench.state().ended?.verdict).toBe('pass')
    const { make } = await exported(bench.state())
    const table = readByPython((await make('record.csv')).toString('utf8').replace(/^\ufeff/, ''))
    expect(told(rowsOf(table, 'r1'))).toEqual([wanted.r1[0], ['R1, an earlier touch on the good board beside it', '209', '', 'no', ''], wanted.r1[1]])
    const [before = '', earlier = ''] = textOf(await make('record.pdf')).replace(/\s+/g, ' ').split('Earlier values that do not stand')
    expect(before).toMatch(/\(214\.0 ± [\d.]+\) Ω \+4\.2 %/)
    expect(before).not.toContain('(209.0')
    expect(earlier).toMatch(/2 R1, on the good board .*\(209\.0 ± [\d.]+\) Ω/)
    expect(earlier).toContain('It was taken back, or the step was measured again. No value of the item.')
    expect(rowsOf(table, 'r1').map(({ replaced_because: because }) => because)).toEqual(['', 'It was taken back, or the step was measured again.', ''])
  })

  it('says of an earlier touch on the good board what was held to it, and why it does not stand', () => {
    const bare = { ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => { if (step.id !== 'r1' || step.kind !== 'measure') return step; const { limits: _, ...rest } = step; return rest }) } }
    const told = (bench: Play, of: typeof board) => {
      bench.give({ kind: 'end', reason: 'the customer called', at: seconds(bench.at()) })
      return recordOfRun(sourcesMade({}, { state: bench.state(), board: of })).steps.find(({ id }) => id === 'r1')
    }
    const begun = (of: typeof board): Play => {
      const bench = play(of, checkedMeter, { kit: usualBenchKit, beside: true })
      bench.confirm(); bench.open('dc-voltage'); bench.open('dc-voltage'); bench.confirm()
      const asked = limitsRequestOf(bench.bench())
      if (asked !== null) bench.give({ kind: 'limits-computed', answer: answerLimits(asked), at: seconds(bench.at()) })
      return bench
    }
    const judged = begun(bare)
    judged.touch('resistance', 214); judged.touch('resistance', 223)
    for (let back = 0; back < 2; back += 1) judged.give({ kind: 'press', press: 'back', at: seconds(judged.at()) })
    judged.touch('resistance', 216)
    judged.touch('resistance', 223)
    expect(told(judged, bare)).toMatchObject({ goodBoard: { value: 216 }, earlierGoodBoards: [{ value: 214, held: expect.stringContaining('good board') as string, replacedBecause: 'It was taken back, or the step was measured again.' }] })
    const alone = begun(board)
    alone.touch('resistance', 300)
    expect(told(alone, board)).toMatchObject({ earlierGoodBoards: [{ value: 300, held: '', replacedBecause: 'It asked for another touch, and none followed.' }] })
    const twice = begun(board)
    twice.touch('resistance', 300); twice.touch('resistance', 215); twice.touch('resistance', 215); twice.touch('resistance', 221)
    expect(told(twice, board)?.earlierGoodBoards?.map(({ value, replacedBecause }) => [value, replacedBecause])).toEqual([[300, 'It was touched again.'], [215, 'It was touched again.']])
  })

  it('verifies, as JSON and as PDF; a figure of the good board that was changed is found', async () => {
    const { folder, make } = await exported()
    await make('record.pdf')
    writeFileSync(join(folder, 'own.pem'), createPublicKey(testKey).export({ type: 'spki', format: 'pem' }).toString())
    const verified = async (name: string): Promise<{ code: number; text: string }> => {
      const line = commandLine(folder)
      return { code: await verifyCommand([name, '--key', 'own.pem', '--data', folder], line), text: line.printed.join('\n') }
    }
    expect(await verified('record.json')).toMatchObject({ code: 0, text: expect.stringContaining('valid') as string })
    expect(await verified('record.pdf')).toMatchObject({ code: 0, text: expect.stringContaining('Its pages are the print of what is inside, byte for byte.') as string })
    const text = readFileSync(join(folder, 'record.json'), 'utf8')
    const changed = text.replace('"difference":"+4.2 %"', '"difference":"+0.2 %"')
    expect(changed).not.toBe(text)
    writeFileSync(join(folder, 'changed.json'), changed)
    expect(await verified('changed.json')).toMatchObject({ code: 1, text: expect.stringContaining('is not as it was signed') as string })
  })
})
