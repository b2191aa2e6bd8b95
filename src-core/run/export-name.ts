/** The name of an exported file: readable, and safe on every file system (ASCII letters, digits, hyphens, dots). */
import type { RunEvent } from './event'

export const exportKinds = ['csv', 'json', 'readings'] as const
export type ExportKind = (typeof exportKinds)[number]
/** The page of a closed board. */
export type NamedKind = ExportKind | 'report'

type Started = Extract<RunEvent, { kind: 'started' }>

const endings: Record<NamedKind, string> = { csv: '.csv', json: '.json', readings: '.readings.json', report: '.report.pdf' }
const longestPart = 40

const plain = (text: string): string => text.normalize('NFKD').replace(/[^A-Za-z0-9]+/g, '-').slice(0, longestPart).replace(/^-+|-+$/g, '')

/** "2026-03-14T08:10:00.000Z" as "20260314-0810Z". */
const moment = (utc: string): string => `${utc.slice(0, 10).replaceAll('-', '')}-${utc.slice(11, 16).replace(':', '')}Z`

/** One run by its board, serial number and time; several by the first one's time and their number. */
export const exportName = (first: Started | null, count: number, as: NamedKind): string => {
  if (first === null) return `probewright${endings[as]}`
  const parts = count === 1
    ? ['probewright', plain(first.board.id), plain(first.board.revision), plain(first.serialNumber), moment(first.utc)]
    : ['probewright', `${count}-runs`, moment(first.utc)]
  return `${parts.filter((part) => part !== '').join('_')}${endings[as]}`
}
