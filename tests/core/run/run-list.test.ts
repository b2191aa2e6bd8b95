/** What Start offers, and how a unit met before is pointed out. */
import { describe, expect, it } from 'vitest'
import { exportName } from '../../../src-core/run/export-name'
import type { RunEvent } from '../../../src-core/run/event'
import { measuredBeforeWords, runToGoOn, type RunEntry } from '../../../src-core/run/run-list'
import { safeText, tableColumns, tableRows } from '../../../src-core/run/value-table'
import { play, smallBoard } from './a-run'

const entry = (run: string, startedUtc: string, verdict: RunEntry['verdict'] = null): RunEntry =>
  ({ run, board: 'soil-probe', revision: 'A', name: 'Soil probe', serialNumber: 'S-1', practice: false, startedUtc, verdict, values: 3 })

describe('the run to go on with', () => {
  it('is the newest unfinished one that does not lie on the bench', () => {
    const [old, young] = [entry('old', '2026-03-01T08:00:00.000Z'), entry('young', '2026-03-02T08:00:00.000Z')]
    expect(runToGoOn([young, old], null)?.run).toBe('young')
    expect(runToGoOn([young, old], 'young')?.run).toBe('old')
    expect(runToGoOn([young], 'young')).toBeNull()
  })
})

describe('a unit met before', () => {
  it('is said in one sentence', () => {
    expect(measuredBeforeWords({ last: entry('a', '2026-03-01T08:00:00.000Z', 'beyond-repair'), times: 1 }, '2026-03-01 09:00')).toBe('S-1 was measured on 2026-03-01 09:00: beyond repair.')
    expect(measuredBeforeWords({ last: entry('a', '2026-03-01T08:00:00.000Z'), times: 3 }, '2026-03-01 09:00')).toBe('S-1 was measured 3 times, last on 2026-03-01 09:00: not ended.')
    expect(measuredBeforeWords({ last: null, times: 0 }, '')).toBeNull()
  })
})

describe('the name of an exported file', () => {
  const started = (serialNumber: string): Extract<RunEvent, { kind: 'started' }> => {
    const [first] = play().events()
    if (first?.kind !== 'started') throw new Error('a run begins with started')
    return { ...first, serialNumber }
  }
  it('says board, serial number and time', () => {
    expect(exportName(started('VD-0417'), 1, 'csv')).toBe('probewright_soil-probe_A_VD-0417_20260314-0801Z.csv')
    expect(exportName(started(''), 1, 'readings')).toBe('probewright_soil-probe_A_20260314-0801Z.readings.json')
    expect(exportName(started('a'), 2, 'csv')).toBe('probewright_2-runs_20260314-0801Z.csv')
  })
  // Characters and names that Windows does not take: Microsoft Learn, "Naming Files, Paths, and Namespaces" (from memory).
  it.each(['a/b\\c:d*e?f"g<h>i|j', '..', 'CON', 'x'.repeat(80), 'Ünit 4\r\nß', '=1+1'])('of %j is safe on every file system', (serial) => {
    const name = exportName(started(serial), 1, 'csv')
    expect(name).toMatch(/^probewright_[A-Za-z0-9_-]+\.csv$/)
    expect(name.length).toBeLessThan(160)
  })
})

describe('the table of values', () => {
  it('has a row for each value, earlier ones too, numbers as SI numbers', () => {
    const bench = play()
    bench.confirm(); bench.open('dc-voltage'); bench.confirm(); bench.touch('resistance', 221.4); bench.open('diode')
    const rows = tableRows({ state: bench.state(), board: smallBoard() })
    const at = (row: readonly unknown[] | undefined, column: (typeof tableColumns)[number]): unknown => row?.[tableColumns.indexOf(column)]
    const r1 = rows.find((row) => at(row, 'step') === 'r1')
    expect([at(r1, 'value'), at(r1, 'unit'), at(r1, 'limit_low'), at(r1, 'limit_high'), at(r1, 'standing'), at(r1, 'serial_number')]).toEqual([expect.closeTo(221.4, 6), 'Ω', 209, 231, 'yes', 'S-1'])
    expect(at(rows.find((row) => at(row, 'step') === 'd1'), 'value')).toBe('overload')
    // As the columns say them, without the dust of binary fractions.
    for (const cell of rows.flat()) if (typeof cell === 'number') expect(cell).toBe(Number(cell.toPrecision(12)))
    for (const row of rows) expect(String(at(row, 'seconds') ?? '')).toMatch(/^(\d+(\.\d{1,3})?)?$/)
    expect(rows.every((row) => row.length === tableColumns.length)).toBe(true)
  })

  it('text that a spreadsheet would reckon has an apostrophe before it, and nothing else has', () => {
    for (const text of ['=1+1', '+49', '-5', '@sum', ' =x', '|x', '＝1']) expect(safeText(text)).toBe(`'${text}`)
    // A tab or a line break may end a cell: what stands behind it is made safe as well.
    for (const sign of ['\t', '\r']) expect(safeText(`${sign}=x`)).toBe(`'${sign}'=x`)
    for (const text of ['VD-0417', '4 = 4', '', 'a+b', "'=1", '± 5 %']) expect(safeText(text)).toBe(text)
  })
})
