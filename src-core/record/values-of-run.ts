/** The values of a run as a record writes them: with their readings, what they were judged by, and why one no longer stands. */
import type { BoardType } from '../board/board-type'
import { boundsOf } from '../metrology/interval'
import type { DecisionRule, Limits } from '../metrology/limits'
import { ruleInWords, ruleName, stepRuleInWords } from '../metrology/rules'
import { limitsInWords } from '../metrology/limits-in-words'
import { toMilliseconds, withoutDust } from '../quantity/plain-figures'
import { inWords } from '../quantity/engineering'
import { goodInWords } from '../run/beside'
import { computedOf, goodBoardsOf, heldTo, originInWords } from '../run/computed-words'
import { meterUsed } from '../run/meter-of'
import type { PlanStep } from '../run/plan'
import { standingTouch } from '../run/standing'
import type { Captured, RunState, StepState } from '../run/state'
import { valueInWords } from '../run/words'
import { conformanceOf, recordBudgetOf } from './budget-of-value'
import { meterWithId, type MeterSources } from './meters-of-run'
import type { RecordLimits, RecordValue } from './step-schema'
import { valueClaim } from './value-claim'

export type Moment = (utc: string) => string

const figure = (value: number | null): number | null => (value === null ? null : withoutDust(value))

const limitsKind = (limits: Limits): RecordLimits['kind'] => {
  if (typeof limits === 'string') return limits
  if ('between' in limits) return 'between'
  if ('nominal' in limits) return 'tolerance'
  return 'atMost' in limits ? 'at-most' : 'at-least'
}

/** Where the limits of a step come from. @param step null where the plan does not know it. */
export const limitsFrom = (board: BoardType, step: PlanStep | null, kit: RunState['started']['kit']): string => {
  const file = `board file of ${board.name} revision ${board.revision}, sequence ${board.sequence.id} version ${board.sequence.version}`
  const { purpose } = step ?? {}
  switch (purpose?.kind) {
    case undefined: case 'disconnect': case 'discharge': case 'watch': return file
    case 'walk': return purpose.learns ? 'none: a walk that was learned here' : `good boards: ${purpose.says ?? ''}`
    case 'elsewhere': return 'none: measured where the technician chose'
    case 'known-diode': return `bench kit: ${kit.knownDiode.label}`
    case 'source': return `bench kit: ${kit.knownSource.label}`
    case 'standard': return 'certificate of the check standard'
    case 'source-fit': return 'none: a reading that the source of the meter is fitted from'
    case 'leads': return 'Probewright’s check of the leads'
    case 'learn-air': return 'none: what the meter shows with its leads apart'
    case 'store': return board.energyStores.find(({ id }) => id === purpose.store)?.limitVolts === undefined ? 'Probewright’s limit for a discharged store' : file
  }
}

const expectedFigure = (value: number | 'overload'): number | 'overload' => (value === 'overload' ? value : Number(value.toPrecision(4)))

/** Of limits that nobody typed; nothing where they stand in the board file. */
const computedFrom = (state: RunState, touch: Captured): Pick<RecordLimits, 'computed'> => {
  const made = computedOf(state, touch)
  if (made === null) return {}
  const { value, low, high, source, celsius: [from, to] } = made
  return { computed: { value: expectedFigure(value), low: expectedFigure(low), high: expectedFigure(high), celsius: { from, to }, source, words: originInWords(made) } }
}

/** @param file where typed limits come from. */
const recordLimitsOf = (state: RunState, touch: Captured, file: string): RecordLimits => {
  const { limits, function: fn, unit } = touch
  const computed = computedFrom(state, touch)
  const good = goodBoardsOf(state, touch)
  const beside = heldTo(state, touch)
  const from = beside !== null ? `a good board measured beside it, ${goodInWords(beside)}: ${beside.says.replace(/[.]$/, '')}`
    : computed.computed !== undefined ? `computed from parts and nets of the ${file}: ${computed.computed.words}`
    : good !== null ? `good boards of this shop, none being computed (${good.uncomputed.replace(/[.]$/, '')}): ${good.says.replace(/[.]$/, '')}` : file
  const { low, high } = boundsOf(limits, fn)
  const { nominal = null, tolerance = null } = typeof limits === 'object' && 'nominal' in limits ? limits : {}
  const marked = typeof limits === 'object' && 'marked' in limits ? limits.marked ?? null : null
  return { kind: limitsKind(limits), marked, low: figure(low), high: figure(high), nominal, tolerance, words: limitsInWords(limits, unit), from, ...computed }
}

/** The shop's rule, as the record prints it once. */
export const recordRuleOf = (rule: DecisionRule): RecordValue['rule'] => ({ kind: rule.kind, r: rule.kind === 'guard-band' ? rule.r : null, words: ruleInWords(rule) })

/** Of one value: the short name of the shop's rule, or the whole rule of their own that open and short steps have. */
const ruleOfValue = ({ rule, limits, function: fn, unit }: Captured): RecordValue['rule'] =>
  ({ ...recordRuleOf(rule), words: typeof limits === 'string' ? stepRuleInWords(limits, fn, unit, rule) : ruleName(rule) })

/** The touch that the step's verdict stands on; of a doubtful contact, or of a step that was skipped, none. */
export const acceptedTouch = (own: StepState): Captured | null =>
  own.decided === null || own.skipped !== null || own.decided.verdict === 'doubtful' || own.decided.verdict === 'not-judged' ? null : standingTouch(own)

/** Why a value no longer stands, from what happened after it. */
const replacedBecause = (state: RunState, own: StepState, touch: Captured): string => {
  if (own.captured.includes(touch)) {
    if (own.skipped !== null) return `The step was skipped: ${own.skipped.reason}`
    if (own.decided?.verdict === 'doubtful') return 'The touches did not agree: the contact was doubtful.'
    return own.decided === null ? 'The step was not decided.' : `The verdict stands on touch ${standingTouch(own)?.touch ?? touch.touch}.`
  }
  const later = state.events.filter(({ seq }) => seq > touch.seq)
  const undone = later.find((event) => event.kind === 'undone' && event.to < touch.seq)
  // Touches of one attempt count up; a new attempt begins with the first again.
  const again = later.find((event) => event.kind === 'captured' && event.step === touch.step && event.touch <= touch.touch)
  const until = again?.seq ?? Infinity
  if (undone !== undefined && undone.seq < until) return `Taken back: the technician stepped back at event ${undone.seq}.`
  const lapsed = later.find((event) => event.kind === 'proof-lapsed' && event.seq < until)
  if (lapsed?.kind === 'proof-lapsed') return `Measured again: the proof that the board is de-energised had lapsed (${lapsed.because}).`
  return again === undefined && own.skipped !== null ? `The step was skipped: ${own.skipped.reason}` : 'Measured again.'
}

const uncertaintyOf = ({ uncertainty, budget, unit }: Captured): RecordValue['uncertainty'] => {
  if (uncertainty === null) return null
  const { U, k, basis } = uncertainty
  const told = budget === undefined ? {} : { budget: recordBudgetOf(budget) }
  return { U: withoutDust(U), k: withoutDust(k), basis, words: `± ${inWords(Number(U.toPrecision(2)), unit, null)}`, ...told }
}

/** Only of a figure. */
const noUncertaintyBecause = ({ value, uncertainty, noBudget }: Captured): string | null =>
  (typeof value !== 'number' || uncertainty !== null ? null : noBudget ?? 'None was kept when it was measured.')

/** What each value of a run is told with. */
export type Telling = { moment: Moment; sources: MeterSources }

export const recordValuesOf = (state: RunState, own: StepState, { moment, sources }: Telling, from: string): RecordValue[] => {
  const accepted = acceptedTouch(own)
  return [...own.earlier, ...own.captured].sort((a, b) => a.seq - b.seq).map((touch): RecordValue => {
    const used = meterUsed(state, touch)
    return {
      event: touch.seq, at: moment(touch.utc), touch: touch.touch, stands: touch === accepted,
      replacedBecause: touch === accepted ? null : replacedBecause(state, own, touch),
      meter: used.name, meterId: used.id,
      value: typeof touch.value === 'number' ? withoutDust(touch.value) : touch.value,
      words: valueInWords(touch.value, touch.function, touch.unit, touch.resolution), unit: touch.unit, function: touch.function,
      leadTakenOff: figure(touch.leadTakenOff ?? null), range: figure(touch.range), resolution: figure(touch.resolution),
      readings: {
        conversions: touch.conversions, seconds: toMilliseconds(touch.seconds), median: figure(touch.median),
        standardDeviation: figure(touch.sd), raw: touch.raw,
      },
      uncertainty: uncertaintyOf(touch), noUncertaintyBecause: noUncertaintyBecause(touch),
      traceable: valueClaim(state, touch, used, meterWithId(state, used.id, sources.meters), sources), ...conformanceOf(touch), limits: recordLimitsOf(state, touch, from), rule: ruleOfValue(touch),
      verdict: touch.verdict, evidence: touch.evidence,
    }
  })
}
