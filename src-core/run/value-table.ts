/** Runs as one table, a row for each value: for spreadsheets and statistics. Numbers are SI; text is made safe for a spreadsheet. */
import type { BoardType } from '../board/board-type'
import { tipName } from '../board/lifted-leg'
import type { MeasuredValue } from '../meter/reading'
import { boundsOf } from '../metrology/interval'
import { toMilliseconds, withoutDust } from '../quantity/plain-figures'
import { limitsInWords } from '../metrology/limits-in-words'
import { ruleName } from '../metrology/rules'
import { touchLimitsInWords } from './computed-words'
import { elsewhereMade, isElsewhere } from './elsewhere'
import { headOf, planOfRun } from './detail'
import { meterOf } from './meter-of'
import { planStep, type Placement, type Plan, type PlanStep } from './plan'
import { differenceFromGood, settledGood } from './beside'
import type { RunWithBoard } from './compare'
import { standingTouch } from './standing'
import { isPreparation, stepState, type Captured, type Compared, type Learned, type RunState, type Watched } from './state'
import { watchInWords } from './watch-words'

/** A number stays a number; null is an empty cell. */
export type Cell = string | number | null

export const tableColumns = [
  'run', 'board', 'board_name', 'revision', 'serial_number', 'practice', 'started_utc', 'ended_utc', 'run_verdict', 'run_because', 'run_notes', 'meter', 'sequence', 'sequence_version',
  'step', 'title', 'preparation', 'red', 'black', 'function', 'value', 'unit', 'U', 'k', 'U_basis', 'limit_low', 'limit_high', 'limits', 'decision_rule',
  'value_verdict', 'step_verdict', 'evidence', 'standing', 'touch', 'conversions', 'sd', 'median', 'resolution', 'range', 'seconds', 'measured_utc',
  'skip_reason', 'done', 'notes', 'difference_from_good_board',
] as const
type Column = (typeof tableColumns)[number]

/** What a spreadsheet would reckon rather than show: text that begins with a formula's sign, or with a control character before one. */
const looksLikeFormula = /^[\s]*[=+\-@|\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]/
/** The same behind what some programs split a cell at, though it is quoted. */
const formulaWithin = /([;\t\r\n][\s"]*)(?=[=+\-@|\uff1d\uff0b\uff0d\uff20])/g

/** Text that a spreadsheet would take for a formula has an apostrophe before it (common practice, no source). */
export const safeText = (text: string): string => {
  const within = text.replace(formulaWithin, "$1'")
  return looksLikeFormula.test(text) ? `'${within}` : within
}

const yesNo = (is: boolean): string => (is ? 'yes' : 'no')
const cellOf = (value: MeasuredValue | null): Cell => value

const runCells = (state: RunState, plan: Plan | null): Partial<Record<Column, Cell>> => {
  const head = headOf(state, plan)
  return {
    run: head.run, board: head.board.id, board_name: head.board.name, revision: head.board.revision, serial_number: head.serialNumber, practice: yesNo(head.practice),
    started_utc: head.startedUtc, ended_utc: head.endedUtc, run_verdict: head.verdict ?? 'not ended', run_because: head.because,
    run_notes: state.events.flatMap((event) => (event.kind === 'noted' && event.step === null ? [event.text] : [])).join('\n'),
    meter: head.meter, sequence: head.sequence.id, sequence_version: head.sequence.version,
  }
}

/** Test points and lifted legs, and of a walk without them its number or words. */
const leadsOf = (board: BoardType | null, placement: Placement): { red: string; black: string } | null =>
  ('point' in placement ? { red: placement.words ?? `point ${placement.point}`, black: placement.black }
    : 'red' in placement ? { red: tipName(board, placement.red), black: tipName(board, placement.black) } : null)

const stepCells = (state: RunState, board: BoardType | null, id: string, step: PlanStep | null): Partial<Record<Column, Cell>> => {
  const own = stepState(state, id)
  const points = step?.kind === 'measure' ? leadsOf(board, step.placement) : null
  return {
    step: id, title: step?.title ?? id, preparation: yesNo(isPreparation(id)), red: points?.red ?? null, black: points?.black ?? null,
    step_verdict: own.decided?.verdict ?? null, skip_reason: own.skipped?.reason ?? null, done: own.done === null ? null : own.done.note ?? 'done',
    notes: own.notes.join('\n'),
  }
}

const valueCells = (state: RunState, touch: Captured, standing: boolean): Partial<Record<Column, Cell>> => {
  const { low, high } = boundsOf(touch.limits, touch.function)
  return {
    meter: meterOf(state, touch), function: touch.function, value: cellOf(touch.value), unit: touch.unit, U: touch.uncertainty?.U ?? null, k: touch.uncertainty?.k ?? null, U_basis: touch.uncertainty?.basis ?? null,
    limit_low: low, limit_high: high, limits: touchLimitsInWords(state, touch), decision_rule: ruleName(touch.rule),
    value_verdict: touch.verdict, evidence: touch.evidence, standing: yesNo(standing), touch: touch.touch, conversions: touch.conversions,
    sd: touch.sd, median: touch.median, resolution: touch.resolution, range: touch.range, seconds: toMilliseconds(touch.seconds), measured_utc: touch.utc,
  }
}

/** A test point by its id, another by its number. */
const pointLabel = ({ id, step, point }: Learned): string => { const own = id.slice(step.length + 1); return own === String(point) ? `point ${point}` : own }

/** A point of a walk that was learned, or a value read elsewhere: no limits, and no verdict. */
const pointCells = (state: RunState, point: Learned, standing: boolean): Partial<Record<Column, Cell>> => ({
  meter: meterOf(state, point), function: point.function, value: cellOf(point.value), unit: point.unit, U: point.uncertainty?.U ?? null, k: point.uncertainty?.k ?? null,
  U_basis: point.uncertainty?.basis ?? null, ...(isElsewhere(point.step) ? {} : { red: pointLabel(point) }), evidence: point.evidence, standing: yesNo(standing), conversions: point.conversions, sd: point.sd, median: point.median, resolution: point.resolution, range: point.range,
  seconds: toMilliseconds(point.seconds), measured_utc: point.utc,
})

/** A touch on the good board beside the one under test: not of this item, and its title says so. */
const goodCells = (state: RunState, good: Compared, title: string): Partial<Record<Column, Cell>> => ({
  title: `${title}, on the good board beside it`, meter: meterOf(state, good), function: good.function, value: cellOf(good.value), unit: good.unit, U: good.uncertainty?.U ?? null, k: good.uncertainty?.k ?? null,
  U_basis: good.uncertainty?.basis ?? null, step_verdict: null, evidence: good.evidence, standing: 'no', touch: good.touch, conversions: good.conversions, sd: good.sd, median: good.median,
  resolution: good.resolution, range: good.range, seconds: toMilliseconds(good.seconds), measured_utc: good.utc, skip_reason: null, done: null, notes: null,
})

/** The smallest and the largest value, a row each; one row where there was no contact. What it came to stands in `done`. */
const watchCells = (state: RunState, watched: Watched, standing: boolean): Partial<Record<Column, Cell>>[] => {
  const { limits, minimum, maximum } = watched
  const { low, high } = limits === null ? { low: null, high: null } : boundsOf(limits, watched.function)
  const common: Partial<Record<Column, Cell>> = {
    meter: meterOf(state, watched), function: watched.function, unit: watched.unit, limit_low: low, limit_high: high, limits: limits === null ? null : limitsInWords(limits, watched.unit), decision_rule: ruleName(watched.rule),
    value_verdict: watched.verdict, standing: yesNo(standing), conversions: watched.conversions, resolution: watched.resolution, range: watched.range, seconds: toMilliseconds(watched.seconds), measured_utc: watched.utc,
    done: watchInWords(watched),
  }
  const of = (what: string, extreme: Watched['minimum']): Partial<Record<Column, Cell>>[] => (extreme === null ? []
    : [{ ...common, evidence: what, value: extreme.value, U: extreme.uncertainty?.U ?? null, k: extreme.uncertainty?.k ?? null, U_basis: extreme.uncertainty?.basis ?? null }])
  return minimum === null ? [common] : [...of('minimum', minimum), ...of('maximum', maximum)]
}

const rowFrom = (cells: Partial<Record<Column, Cell>>): Cell[] => tableColumns.map((column) => {
  const cell = cells[column] ?? null
  return typeof cell === 'string' ? safeText(cell) : typeof cell === 'number' ? withoutDust(cell) : cell
})

/** A step with values has a row for each, earlier ones too; one without that was skipped, done or judged has one row. */
const rowsOfStep = (state: RunState, board: BoardType | null, id: string, step: PlanStep | null, run: Partial<Record<Column, Cell>>): Cell[][] => {
  const own = stepState(state, id)
  const common = { ...run, ...stepCells(state, board, id, step) }
  const standing = standingTouch(own)
  const good = settledGood(own)
  const difference = good === null || standing === null ? {} : { difference_from_good_board: differenceFromGood(good, standing.value) }
  const touches = [...own.earlier, ...own.captured].sort((a, b) => a.seq - b.seq)
  const more = [
    ...[...own.earlierCompared, ...own.compared].map((good) => goodCells(state, good, step?.title ?? id)),
    ...own.earlierLearned.map((point) => pointCells(state, point, false)), ...own.learned.map((point) => pointCells(state, point, own.skipped === null)),
    ...own.earlierWatched.flatMap((watched) => watchCells(state, watched, false)), ...(own.watched === null ? [] : watchCells(state, own.watched, own.skipped === null)),
  ]
  return touches.length + more.length === 0 ? [rowFrom(common)] : [...touches.map((touch) => ({ ...valueCells(state, touch, touch === standing), ...(touch === standing ? difference : {}) })), ...more].map((cells) => rowFrom({ ...common, ...cells }))
}

/** The rows of one run under `tableColumns`; a run of which nothing is known yet has one row of its own. */
export const tableRows = ({ state, board }: RunWithBoard): Cell[][] => {
  const plan = planOfRun(state, board)
  const run = runCells(state, plan)
  const made = Object.keys(state.steps)
  const order = plan === null ? [] : [...plan.preparation, ...plan.steps, ...elsewhereMade(plan, made)].map(({ id }) => id)
  const ids = [...order.filter((id) => made.includes(id)), ...made.filter((id) => !order.includes(id))]
  const rows = ids.flatMap((id) => rowsOfStep(state, plan?.board ?? null, id, plan === null ? null : planStep(plan, id), run))
  return rows.length === 0 ? [rowFrom(run)] : rows
}
