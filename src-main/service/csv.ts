/** CSV as RFC 4180 has it: CRLF between records, fields quoted where they hold a comma, a quote or a line break; UTF-8 without a mark. */
import { stringify } from 'csv-stringify/sync'
import type { Cell } from '../../src-core/run/value-table'

/** A lone CR or LF in a field must be quoted too, which the library does only for the whole delimiter. */
export const csvText = (rows: readonly (readonly Cell[])[]): string =>
  stringify(rows.map((row) => [...row]), { record_delimiter: 'windows', quoted_match: /[\r\n]/ })
