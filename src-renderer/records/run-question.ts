/** What the list is narrowed to, as the fields hold it, and the question that is asked with it. */
import type { CommandInput } from '../../src-core/contract'
import { runVerdict } from '../../src-core/run/run-list'

export type Fields = {
  serialNumber: string
  /** "id", or "id" and revision with a line break between; empty: all. */
  board: string
  /** A verdict, "not-ended", or empty. */
  verdict: string
  /** Local days, "2026-03-14", or empty. */
  from: string
  to: string
  practice: '' | 'real' | 'practice'
}

export const noFields: Fields = { serialNumber: '', board: '', verdict: '', from: '', to: '', practice: '' }
export const boardKey = (board: string, revision: string | null): string => (revision === null ? board : `${board}\n${revision}`)

/** Midnight at the start of a local day, `later` days on, UTC; a day that is 23 or 25 hours long is one all the same. Null for no day. */
export const startOfDay = (day: string, later = 0): string | null => {
  const [, year, month, date] = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day) ?? []
  if (year === undefined || month === undefined || date === undefined) return null
  const start = new Date(Number(year), Number(month) - 1, Number(date) + later)
  return Number.isNaN(start.getTime()) ? null : start.toISOString()
}

type Question = CommandInput<'list-runs'>

/** The first day counts from its midnight, the last one to its end. */
export const questionOf = (fields: Fields): Question => {
  const [board, revision] = fields.board.split('\n')
  const from = startOfDay(fields.from)
  const to = startOfDay(fields.to, 1)
  const verdict = fields.verdict === 'not-ended' ? 'not-ended' as const : runVerdict.safeParse(fields.verdict).data
  const serialNumber = fields.serialNumber.trim()
  return {
    ...(board === undefined || board === '' ? {} : { board }), ...(revision === undefined ? {} : { revision }),
    ...(serialNumber === '' ? {} : { serialNumber }), ...(from === null ? {} : { from }), ...(to === null ? {} : { to }),
    ...(verdict === undefined ? {} : { verdict }), ...(fields.practice === '' ? {} : { practice: fields.practice === 'practice' }),
  }
}

/** How many runs there are to these fields. @param shown rows on screen so far. */
export const countWords = (shown: number, total: number, fields: Fields): string => {
  if (fields.from !== '' && fields.to !== '' && fields.from > fields.to) return 'No run fits: From is a later day than To.'
  if (total === 0) return 'No run fits.'
  const narrowed = Object.values(fields).some((value) => value !== '')
  const runs = total === 1 ? '1 run' : `${total} runs`
  const all = narrowed ? `${runs} ${total === 1 ? 'fits' : 'fit'}` : runs
  return `${all}${total === 1 ? '' : ', newest first'}${shown < total ? `; the first ${shown} are shown` : ''}`
}
