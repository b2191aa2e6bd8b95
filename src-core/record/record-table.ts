/** Records as one table, a row for each value, for spreadsheets and statistics: as the table of runs, with what only a record says. */
import { withoutDust } from '../quantity/plain-figures'
import { differenceOf } from '../run/beside'
import { safeText, type Cell } from '../run/value-table'
import type { SignedFile, SignedRecord } from './schema'
import type { RecordStep, RecordValue } from './step-schema'
import type { RecordGoodBoard } from './walk-schema'

export const recordColumns = [
  'record', 'sha256', 'issued', 'replaces', 'issuer', 'customer', 'job', 'board', 'board_name', 'revision', 'serial_number', 'condition_as_received', 'received', 'tested_from', 'tested_to',
  'place', 'technician', 'authorised_by', 'celsius', 'relative_humidity_percent', 'outcome', 'outcome_because', 'traceable', 'sequence', 'sequence_version',
  'step', 'title', 'kind', 'preparation', 'red', 'red_words', 'black', 'black_words', 'fixture', 'function', 'meter', 'meter_id', 'value', 'unit', 'lead_taken_off', 'U', 'k', 'U_basis', 'no_uncertainty_because', 'value_traceable', 'not_traceable_because',
  'limit_low', 'limit_high', 'limits', 'limits_from', 'decision_rule', 'conformance_probability', 'false_acceptance', 'value_verdict', 'step_verdict', 'evidence', 'standing', 'replaced_because',
  'touch', 'conversions', 'sd', 'median', 'resolution', 'range', 'seconds', 'measured', 'skip_reason', 'done', 'follows_run', 'difference_from_good_board',
] as const
type Column = (typeof recordColumns)[number]
type Cells = Partial<Record<Column, Cell>>

const yesNo = (is: boolean): string => (is ? 'yes' : 'no')

const recordCells = ({ record, seal }: SignedRecord): Cells => ({
  record: record.number, sha256: seal.sha256, issued: record.dates.issued, replaces: record.replaces?.number ?? null, issuer: record.issuer, customer: record.customer, job: record.job,
  board: record.board.id, board_name: record.board.name, revision: record.board.revision, serial_number: record.item.serialNumber, condition_as_received: record.item.conditionAsReceived,
  received: record.dates.received, tested_from: record.dates.tested.from, tested_to: record.dates.tested.to, place: record.place, technician: record.technician, authorised_by: record.authorisedBy,
  celsius: record.environment.celsius, relative_humidity_percent: record.environment.relativeHumidityPercent, outcome: record.outcome.verdict, outcome_because: record.outcome.because,
  traceable: yesNo(record.traceable.claimed), sequence: record.sequence.id, sequence_version: record.sequence.version,
  follows_run: record.follows?.run ?? null,
})

const placementCells = ({ placement }: RecordStep): Cells => {
  if (placement === null) return {}
  if ('fixture' in placement) return { fixture: placement.reversed ? `${placement.fixture}, reversed` : placement.fixture }
  if ('clipped' in placement) return { black: placement.clipped.point, black_words: placement.clipped.words }
  if ('walked' in placement) return { red: `point ${placement.walked}`, red_words: placement.words, black: placement.black.point, black_words: placement.black.words }
  return { red: placement.red.point, red_words: placement.red.words, black: placement.black.point, black_words: placement.black.words }
}

const stepCells = (step: RecordStep): Cells => ({
  step: step.id, title: step.title, kind: step.kind, preparation: yesNo(step.part === 'preparation'), ...placementCells(step), function: step.function,
  step_verdict: step.verdict, skip_reason: step.skipped?.because ?? null, done: step.done === null ? null : step.done.note ?? 'done',
})

const claimCells = (claim: RecordValue['traceable']): Cells =>
  ({ value_traceable: claim === null ? null : yesNo(claim.claimed), not_traceable_because: claim === null || claim.claimed ? null : claim.because })

const valueCells = (value: RecordValue): Cells => ({
  function: value.function, meter: value.meter, meter_id: value.meterId, value: value.value, unit: value.unit, lead_taken_off: value.leadTakenOff, no_uncertainty_because: value.noUncertaintyBecause,
  ...claimCells(value.traceable), U: value.uncertainty?.U ?? null, k: value.uncertainty?.k ?? null, U_basis: value.uncertainty?.basis ?? null,
  limit_low: value.limits.low, limit_high: value.limits.high, limits: value.limits.words, limits_from: value.limits.from, decision_rule: value.rule.words,
  conformance_probability: value.conformance?.probability ?? null, false_acceptance: value.conformance?.falseAcceptance ?? null, value_verdict: value.verdict, evidence: value.evidence,
  standing: yesNo(value.stands), replaced_because: value.replacedBecause, touch: value.touch, conversions: value.readings.conversions, sd: value.readings.standardDeviation,
  median: value.readings.median, resolution: value.resolution, range: value.range, seconds: value.readings.seconds, measured: value.at,
})

/** SI, in the row of the value that stands. */
const offGoodBoard = ({ stands, value }: RecordValue, { goodBoard: good }: RecordStep): Cells => {
  const above = good === undefined || good.difference === '' || !stands || value === null ? null : differenceOf(good.value, value)
  return { difference_from_good_board: above === null ? null : withoutDust(above) }
}

/** A row for each touch on the good board beside the item: it is no value of the item, and its title says so. */
const goodBoardCells = (title: string, goods: readonly RecordGoodBoard[]): Cells[] => goods.map((good) => ({
  title, function: good.function, meter: good.meter, meter_id: good.meterId, value: good.value, unit: good.unit, lead_taken_off: good.leadTakenOff,
  U: good.uncertainty?.U ?? null, k: good.uncertainty?.k ?? null, U_basis: good.uncertainty?.basis ?? null, step_verdict: null, evidence: good.evidence, standing: 'no', conversions: good.readings.conversions,
  sd: good.readings.standardDeviation, median: good.readings.median, resolution: good.resolution, range: good.range, seconds: good.readings.seconds, measured: good.at, skip_reason: null, done: null,
}))
const goodBoardsCells = ({ title, goodBoard: good, earlierGoodBoards: earlier }: RecordStep): Cells[] => [
  ...(earlier ?? []).flatMap((one) => goodBoardCells(`${title}, an earlier touch on the good board beside it`, [one]).map((cells) => ({ ...cells, replaced_because: one.replacedBecause }))), ...goodBoardCells(`${title}, on the good board beside it`, good === undefined ? [] : [good]),
]

/** A row for each point of a walk that was learned: no limits, and no verdict. */
const pointCells = (points: RecordStep['points'], stand: boolean): Cells[] => (points ?? []).map((point): Cells => ({
  function: point.function, meter: point.meter, meter_id: point.meterId, value: point.value, unit: point.unit, lead_taken_off: point.leadTakenOff, ...claimCells(point.traceable),
  U: point.uncertainty?.U ?? null, k: point.uncertainty?.k ?? null, U_basis: point.uncertainty?.basis ?? null, red: point.red ?? `point ${point.point}`, evidence: point.evidence, standing: yesNo(stand),
  conversions: point.readings.conversions, sd: point.readings.standardDeviation, median: point.readings.median, resolution: point.resolution, range: point.range, seconds: point.readings.seconds, measured: point.at,
}))

/** Two rows, the smallest and the largest value; one where there was no contact. What it came to stands in `done`. */
const watchCells = (watch: RecordStep['watch']): Cells[] => {
  if (watch === undefined) return []
  const { minimum, maximum, limits } = watch
  const common: Cells = {
    function: watch.function, meter: watch.meter, meter_id: watch.meterId, unit: watch.unit, limit_low: limits?.low ?? null, limit_high: limits?.high ?? null, limits: limits?.words ?? null,
    limits_from: limits?.from ?? null, value_verdict: watch.verdict, standing: yesNo(watch.stands), conversions: watch.conversions, resolution: watch.resolution, range: watch.range, seconds: watch.seconds,
    measured: watch.at, done: watch.words,
  }
  const of = (what: string, extreme: typeof minimum): Cells[] => (extreme === null ? [] : [{
    ...common, value: extreme.value, evidence: what, lead_taken_off: extreme.leadTakenOff, U: extreme.uncertainty?.U ?? null, k: extreme.uncertainty?.k ?? null, U_basis: extreme.uncertainty?.basis ?? null, ...claimCells(extreme.traceable),
  }])
  return minimum === null ? [common] : [...of('minimum', minimum), ...of('maximum', maximum)]
}

const rowFrom = (cells: Cells): Cell[] => recordColumns.map((column) => {
  const cell = cells[column] ?? null
  return typeof cell === 'string' ? safeText(cell) : cell
})

const rowsOf = (file: SignedRecord): Cell[][] => {
  const common = recordCells(file)
  return file.record.steps.flatMap((step) => {
    const own = { ...common, ...stepCells(step) }
    const more = [...goodBoardsCells(step), ...pointCells(step.earlierPoints, false), ...pointCells(step.points, true), ...(step.earlierWatches ?? []).flatMap(watchCells), ...watchCells(step.watch)]
    return step.values.length + more.length === 0 ? [rowFrom(own)] : [...step.values.map((value) => ({ ...valueCells(value), ...offGoodBoard(value, step) })), ...more].map((cells) => rowFrom({ ...own, ...cells }))
  })
}

/** Under `recordColumns`; statements have no rows. */
export const recordRows = (files: readonly SignedFile[]): Cell[][] => files.flatMap((file) => ('record' in file ? rowsOf(file) : []))
