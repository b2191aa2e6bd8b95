/** Makes the content of a record from a run's events and what people say on the sheet. It measures and judges nothing anew. */
import type { BoardType } from '../board/board-type'
import { planOfRun } from '../run/detail'
import { noRecordOf } from '../run/no-record'
import { planStep } from '../run/plan'
import { questionedInWords } from '../run/question'
import type { RunState } from '../run/state'
import { repairsOf } from '../repair/follow'
import type { RecordLink } from './terms'
import { canonical } from './canonical'
import { followsOfRecord, outcomeInWords } from './follows-of-run'
import { recordMetersOf, type MeterSources } from './meters-of-run'
import { withOffset, type OffsetAt } from './offset-time'
import { printable } from './printable-record'
import { recordNumber } from './record-number'
import type { TestRecordContent } from './schema'
import type { Sha256 } from './seal'
import { pointsUsed } from './points-used'
import type { RecordSheet } from './sheet'
import { standingFigures } from './standing-figures'
import type { RecordStep } from './step-schema'
import { deEnergisedOf, notJudgedOf, opinionOf, recordCautionsOf, recordStepsOf } from './steps-of-run'
import { claimOf } from './value-claim'
import { recordRuleOf } from './values-of-run'

/** Where the record stands among the shop's. */
export type PlaceInChain = Pick<TestRecordContent, 'number' | 'chain' | 'replaces'>

export type RecordSources = MeterSources & {
  state: RunState
  /** The board file the run was made with. */
  board: BoardType
  /** Of the pictures kept with it, in its order; null: that one is not kept. */
  pictureSha256s: readonly (string | null)[]
  sheet: RecordSheet
  place: PlaceInChain
  issuedUtc: string
  offsetAt: OffsetAt
  version: string
  sha256: Sha256
}

export const boardMissingWords = 'The board file of this run is no longer in the data folder. Without it a record could not say what was measured where, nor against which limits.'

/** Why no record can be made of this run, in a sentence; null: it can. @param board null where its file is missing. */
export const refusalToRecord = (state: RunState, board: BoardType | null): string | null => noRecordOf(state) ?? (board === null ? boardMissingWords : null)

const kitOf = ({ started: { kit } }: RunState): TestRecordContent['benchKit'] =>
  ({ knownDiode: kit.knownDiode.label, knownSource: kit.knownSource.label, knownResistor: kit.knownResistor?.label ?? null })

const boardOf = ({ started }: RunState, { board, pictureSha256s }: Pick<RecordSources, 'board' | 'pictureSha256s'>, steps: readonly RecordStep[]): TestRecordContent['board'] => {
  const [picture = null, ...others] = board.pictures.map(({ id, width, height }, index) => ({ id, sha256: pictureSha256s[index] ?? null, width, height }))
  const used = new Set(pointsUsed(steps).map((point) => point.picture))
  const otherPictures = others.filter(({ id }) => used.has(id))
  return {
    id: board.id, name: board.name, revision: board.revision, sha256: started.board.sha256, hazard: board.hazard,
    picture, ...(otherPictures.length === 0 ? {} : { otherPictures }),
  }
}

const orNull = (text: string): string | null => (text === '' ? null : text)

/** Of the runs before it too, as the log had them when this one began. Nothing where nothing was repaired. */
const repairsOfRecord = (state: RunState, moment: (utc: string) => string): Pick<TestRecordContent, 'repairs'> => {
  const repairs = repairsOf(state)
  return repairs.length === 0 ? {} : { repairs: repairs.map(({ part, what, at, by }) => ({ part, what, at: moment(at), by })) }
}

/** @throws Error for a run of which no record can be made; refusalToRecord tells beforehand. */
export const recordOfRun = (from: RecordSources): TestRecordContent => {
  const { state, board, sheet, sha256, issuedUtc, offsetAt } = from
  const plan = planOfRun(state, board)
  const refusal = refusalToRecord(state, board)
  if (refusal !== null || plan === null || state.ended === null) throw new Error(refusal ?? 'The plan of this run is not known.')
  const moment = (utc: string): string => withOffset(utc, offsetAt(utc))
  const steps = recordStepsOf(state, plan, { moment, sources: from })
  const meters = recordMetersOf(state, from, steps, moment)
  const follows = followsOfRecord(state, board)
  return printable({
    ...from.place,
    issuer: sheet.issuer, place: sheet.place, technician: sheet.technician, authorisedBy: sheet.authorisedBy,
    customer: orNull(sheet.customer), job: orNull(sheet.job),
    item: { serialNumber: state.started.serialNumber, conditionAsReceived: sheet.conditionAsReceived },
    dates: { received: sheet.received, tested: { from: moment(state.started.utc), to: moment(state.ended.utc) }, issued: moment(issuedUtc) },
    environment: { celsius: sheet.celsius, relativeHumidityPercent: sheet.relativeHumidityPercent },
    board: boardOf(state, from, steps),
    sequence: { id: state.started.sequence.id, version: state.started.sequence.version, sha256: sha256(canonical(board.sequence)) },
    ...follows,
    run: { id: state.started.run, events: state.events.length, sha256: sha256(state.events.map((event) => `${canonical(event)}\n`).join('')) },
    meters, benchKit: kitOf(state), traceable: claimOf(standingFigures(steps).map(({ traceable }) => traceable), 'No figure of the item stands.'),
    rule: recordRuleOf(state.started.rule),
    deEnergised: deEnergisedOf(state, plan, moment), steps,
    outcome: { verdict: state.ended.verdict, because: outcomeInWords(state.ended.because, follows) },
    cautions: recordCautionsOf(state, plan, moment),
    notes: state.events.filter((event) => event.kind !== 'noted' || state.standing.includes(event)).flatMap((event) => {
      if (event.kind === 'questioned') return [{ at: moment(event.utc), step: event.step, words: questionedInWords(event, (id) => planStep(plan, id)?.title ?? id) }]
      return event.kind === 'noted' ? [{ at: moment(event.utc), step: event.step, words: event.text }] : []
    }),
    ...repairsOfRecord(state, moment), notJudged: notJudgedOf(state, plan), opinion: opinionOf(state, plan),
    software: { name: 'Probewright', version: from.version }, scope: 'This record relates only to the item tested.',
  })
}

/** Behind the record before it, in the shop and in its job. @param inJob the last record of the same job. */
export const placeBehind = (
  chain: string, last: (RecordLink & { sequence: number }) | null, inJob: { position: number; link: RecordLink } | null, hasJob: boolean, replaces: TestRecordContent['replaces'],
): PlaceInChain => {
  const sequence = (last?.sequence ?? 0) + 1
  return {
    number: recordNumber(chain, sequence, last?.number ?? null),
    chain: {
      id: chain, sequence, previous: last === null ? null : { number: last.number, sha256: last.sha256 },
      inJob: hasJob ? { position: (inJob?.position ?? 0) + 1, previous: inJob?.link ?? null } : null,
    },
    replaces,
  }
}
