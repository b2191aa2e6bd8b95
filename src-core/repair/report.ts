/** One page on how the work on a board ended: for the customer, and for whoever meets the board again. */
import type { BoardType } from '../board/board-type'
import { type Block, type Section, under } from '../record/print/block'
import { isFail, isPass, type StepVerdict } from '../run/branch'
import { runVerdictWords, verdictWords } from '../run/result-words'
import type { RepairView } from './view'

type Closing = NonNullable<RepairView['closed']>['as']

const closedAs: Record<Closing, string> = { repaired: 'Repaired', 'no-fault-found': 'No fault found', 'beyond-repair': 'Beyond repair', returned: 'Returned as it is' }
const outcomes: Record<Closing, Extract<Block, { kind: 'outcome' }>['verdict']> = { repaired: 'pass', 'no-fault-found': 'pass', 'beyond-repair': 'beyond-repair', returned: 'incomplete' }

/** Each step as it was made last, with what it read and what that came to. */
const latestOf = ({ values }: RepairView): { verdict: StepVerdict; row: [string, string] }[] => values.flatMap(({ title, made }) => {
  const { value = '', verdict = null } = made.findLast((one) => one !== null) ?? {}
  return verdict === null ? [] : [{ verdict, row: [title, inWords({ value, verdict })] }]
})

const inWords = ({ value, verdict }: { value: string; verdict: StepVerdict | null }): string => [value, verdict === null ? '' : verdictWords[verdict]].filter((words) => words !== '').join(', ')

/** Steps that failed and do so no more: what each read when it first failed, and what last. */
const mendedOf = ({ values }: RepairView): [string, string][] => values.flatMap(({ title, made }): [string, string][] => {
  const known = made.filter((one) => one !== null)
  const [failed, last] = [known.find(({ verdict }) => verdict !== null && isFail(verdict)), known.at(-1)]
  return failed === undefined || last === undefined || last.verdict === null || !isPass(last.verdict) ? [] : [[title, `${inWords(failed)}; last ${inWords(last)}`]]
})

/** Rows of a list, the fullest page first: the first of the pages that fits on one sheet is the one to print. */
const rowsTried = [14, 10, 7, 5, 3, 1]

const list = (title: string, rows: readonly (readonly [string, string])[], most: number): Block[] => under(title, rows.length === 0 ? [] : [
  { kind: 'facts', columns: 1, rows: rows.slice(0, most) },
  ...(rows.length > most ? [{ kind: 'text', text: `And ${rows.length - most} more, kept with the runs.`, tone: 'note' } as const] : []),
])

/**
 * The page in several lengths, the fullest first; none where the board is not closed.
 * @param localTime a moment as people of the place write it.
 */
export const reportPages = (board: BoardType, view: RepairView, localTime: (utc: string) => string): Section[] => {
  const { closed } = view
  if (closed === null) return []
  const last = view.runs.length - 1
  const latest = latestOf(view)
  const rowsOf = (is: (verdict: StepVerdict) => boolean): [string, string][] => latest.filter(({ verdict }) => is(verdict)).map(({ row }) => row)
  const repairs = [...view.before, ...view.entries.filter(({ struck }) => struck === null).map(({ part, words, utc, by }) => ({ part, what: words, at: utc, by }))]
  const latestFirst = [...repairs].reverse()
  const unit = `${board.name} revision ${board.revision}, serial number ${view.serialNumber === '' ? 'not stated' : view.serialNumber}`
  return rowsTried.map((most): Section => ({ head: `${view.practice ? 'Practice, ' : ''}${closedAs[closed.as]}: ${unit}`, issuer: closed.by, blocks: [
    { kind: 'title', text: board.name, under: `Revision ${board.revision}, serial number ${view.serialNumber === '' ? 'not stated' : view.serialNumber}` },
    ...(view.practice ? [{ kind: 'text', text: 'Practice: this board, its faults and every value were simulated.', tone: 'strong' } as const] : []),
    { kind: 'outcome', verdict: outcomes[closed.as], text: closedAs[closed.as], because: closed.because },
    { kind: 'facts', columns: 2, rows: [['Closed', localTime(closed.utc)], ['By', closed.by]] },
    ...list('Not within its limits', rowsOf(isFail), most), ...list('Not judged', rowsOf((verdict) => !isFail(verdict) && !isPass(verdict)), most),
    ...list('Failed first, and passed last', mendedOf(view), most),
    ...list('What was done, the latest first', latestFirst.map(({ part, what, at, by }) => [part, `${what} (${localTime(at)}, ${by})`]), most),
    ...under('The board is not whole', view.state === '' ? [] : [{ kind: 'text', text: `${view.state}.`, tone: 'strong' }]),
    ...list('Runs, the latest first', view.runs.map(({ startedUtc, verdict, run }, at) => [at === last ? 'Last run' : `Run ${at + 1}`, `${localTime(startedUtc)}: ${verdict === null ? 'not ended' : runVerdictWords[verdict]} (${run})`] as const).reverse(), most),
    { kind: 'text', text: 'This page tells how the work ended. It is no test record: what was measured, and how surely, is in the records of the runs named above.', tone: 'note' },
  ] }))
}
