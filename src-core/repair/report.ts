/** One page on how the work on a board ended, as a page that any browser prints: for the customer, and for whoever meets the board again. */
import type { BoardType } from '../board/board-type'
import { isFail, isPass, type StepVerdict } from '../run/branch'
import { runVerdictWords, verdictWords } from '../run/result-words'
import type { RepairView } from './view'

const escaped = (text: string): string => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')
const mostRows = 14

const list = (title: string, rows: readonly string[]): string => (rows.length === 0 ? ''
  : `<h2>${escaped(title)}</h2><ul>${rows.slice(0, mostRows).map((row) => `<li>${escaped(row)}</li>`).join('')}</ul>${rows.length > mostRows ? `<p>And ${rows.length - mostRows} more, kept with the runs.</p>` : ''}`)

const closedAs: Record<NonNullable<RepairView['closed']>['as'], string> = {
  repaired: 'Repaired', 'no-fault-found': 'No fault found', 'beyond-repair': 'Beyond repair', returned: 'Returned as it is',
}

/** Each step as it was made last: "R5: 2.00 kΩ, fail". */
const latestOf = ({ values }: RepairView): { verdict: StepVerdict; words: string }[] => values.flatMap(({ title, made }) => {
  const { value = '', verdict = null } = made.findLast((one) => one !== null) ?? {}
  return verdict === null ? [] : [{ verdict, words: `${title}: ${[value, verdictWords[verdict]].filter((words) => words !== '').join(', ')}` }]
})

/** Null: the board is not closed. @param day of the local place, as people write it there. */
export const reportOf = (board: BoardType, view: RepairView, localTime: (utc: string) => string): string | null => {
  const { closed } = view
  if (closed === null) return null
  const last = view.runs.length - 1
  const latest = latestOf(view)
  const outside = latest.filter(({ verdict }) => isFail(verdict))
  const notJudged = latest.filter(({ verdict }) => !isFail(verdict) && !isPass(verdict))
  const repairs = [...view.before, ...view.entries.filter(({ struck }) => struck === null).map(({ part, words, utc, by }) => ({ part, what: words, at: utc, by }))]
  const head = `${board.name} revision ${board.revision}, serial number ${view.serialNumber === '' ? 'not stated' : view.serialNumber}`
  return `<!doctype html><html lang="en"><head><meta charset="utf-8"><title>${escaped(`${closedAs[closed.as]}: ${head}`)}</title>
<style>@page{size:A4;margin:18mm}body{font:11pt/1.45 sans-serif;max-width:46em;margin:2em auto;color:#14181d}h1{font-size:17pt;margin:0}h2{font-size:12pt;margin:1.1em 0 .2em}ul{margin:.2em 0;padding-left:1.3em}p{margin:.3em 0}small{color:#4d5863}</style></head><body>
<h1>${escaped(closedAs[closed.as])}</h1><p>${escaped(head)}</p>
<p><strong>${escaped(closed.because)}</strong></p>
<p>Closed ${escaped(localTime(closed.utc))} by ${escaped(closed.by)}.</p>
${list('Not within its limits', outside.map(({ words }) => words))}${list('Not judged', notJudged.map(({ words }) => words))}${list('What was done', repairs.map(({ part, what, at, by }) => `${part}: ${what} (${localTime(at)}, ${by})`))}
${view.state === '' ? '' : `<h2>The board is not whole</h2><p>${escaped(view.state)}.</p>`}
${list('Runs', view.runs.map(({ startedUtc, verdict, run }, at) => `${at === last ? 'Last run' : `Run ${at + 1}`}, ${localTime(startedUtc)}: ${verdict === null ? 'not ended' : runVerdictWords[verdict]} (${run})`))}
<p><small>This page tells how the work ended. It is no test record: what was measured, and how surely, is in the records of the runs named above.</small></p></body></html>
`
}
