/** CSV as RFC 4180 has it: CRLF between records, every text in quotes, numbers plain; UTF-8 without a mark. */
import { stringify } from 'csv-stringify/sync'
import type { Cell } from '../../src-core/run/value-table'

/** Text in quotes stays one cell where a spreadsheet of another country splits at semicolons too. An empty cell is nothing at all. */
export const csvText = (rows: readonly (readonly Cell[])[]): string =>
  stringify(rows.map((row) => [...row]), { record_delimiter: 'windows', quoted_string: true })
