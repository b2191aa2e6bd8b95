/** Records as one table, a row for each value, for spreadsheets and statistics: as the table of runs, with what only a record says. */
import { safeText, type Cell } from '../run/value-table'
import type { SignedFile, SignedRecord } from './schema'
import type { RecordStep, RecordValue } from './step-schema'

export const recordColumns = [
  'record', 'sha256', 'issued', 'replaces', 'issuer', 'customer', 'job', 'board', 'board_name', 'revision', 'serial_number', 'condition_as_received', 'received', 'tested_from', 'tested_to',
  'place', 'technician', 'authorised_by', 'celsius', 'relative_humidity_percent', 'outcome', 'outcome_because', 'traceable', 'sequence', 'sequence_version',
  'step', 'title', 'kind', 'preparation', 'red', 'red_words', 'black', 'black_words', 'fixture', 'function', 'meter', 'meter_id', 'value', 'unit', 'lead_taken_off', 'U', 'k', 'U_basis', 'no_uncertainty_because', 'value_traceable', 'not_traceable_because',
  'limit_low', 'limit_high', 'limits', 'limits_from', 'decision_rule', 'conformance_probability', 'false_acceptance', 'value_verdict', 'step_verdict', 'evidence', 'standing', 'replaced_because',
  'touch', 'conversions', 'sd', 'median', 'resolution', 'range', 'seconds', 'measured', 'skip_reason', 'done',
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
})

const placementCells = ({ placement }: RecordStep): Cells => {
  if (placement === null) return {}
  if ('fixture' in placement) return { fixture: placement.reversed ? `${placement.fixture}, reversed` : placement.fixture }
  return { red: placement.red.point, red_words: placement.red.words, black: placement.black.point, black_words: placement.black.words }
}

const stepCells = (step: RecordStep): Cells => ({
  step: step.id, title: step.title, kind: step.kind, preparation: yesNo(step.part === 'preparation'), ...placementCells(step), function: step.function,
  step_verdict: step.verdict, skip_reason: step.skipped?.because ?? null, done: step.done === null ? null : step.done.note ?? 'done',
})

const valueCells = (value: RecordValue): Cells => ({
  function: value.function, meter: value.meter, meter_id: value.meterId, value: value.value, unit: value.unit, lead_taken_off: value.leadTakenOff, no_uncertainty_because: value.noUncertaintyBecause,
  value_traceable: value.traceable === null ? null : yesNo(value.traceable.claimed), not_traceable_because: value.traceable === null || value.traceable.claimed ? null : value.traceable.because, U: value.uncertainty?.U ?? null, k: value.uncertainty?.k ?? null, U_basis: value.uncertainty?.basis ?? null,
  limit_low: value.limits.low, limit_high: value.limits.high, limits: value.limits.words, limits_from: value.limits.from, decision_rule: value.rule.words,
  conformance_probability: value.conformance?.probability ?? null, false_acceptance: value.conformance?.falseAcceptance ?? null, value_verdict: value.verdict, evidence: value.evidence,
  standing: yesNo(value.stands), replaced_because: value.replacedBecause, touch: value.touch, conversions: value.readings.conversions, sd: value.readings.standardDeviation,
  median: value.readings.median, resolution: value.resolution, range: value.range, seconds: value.readings.seconds, measured: value.at,
})

const rowFrom = (cells: Cells): Cell[] => recordColumns.map((column) => {
  const cell = cells[column] ?? null
  return typeof cell === 'string' ? safeText(cell) : cell
})

const rowsOf = (file: SignedRecord): Cell[][] => {
  const common = recordCells(file)
  return file.record.steps.flatMap((step) => {
    const own = { ...common, ...stepCells(step) }
    return step.values.length === 0 ? [rowFrom(own)] : step.values.map((value) => rowFrom({ ...own, ...valueCells(value) }))
  })
}

/** Under `recordColumns`; statements have no rows. */
export const recordRows = (files: readonly SignedFile[]): Cell[][] => files.flatMap((file) => ('record' in file ? rowsOf(file) : []))
