/** The only judge of whether a meter's values are traceable at a moment, and which runs a failed check puts under review. */
import { z } from 'zod'
import type { Meter } from '../meter/instrument'
import { meterFunction } from '../meter/reading'
import { answers, calibrationHolds, checkKinds, checkOutcome, sameStandard, standardWords, type CheckResult } from './check-standards'
import { blockedWords, checkedValueWords, shouldBeWords, standardName } from './check-words'

export const traceability = z.discriminatedUnion('traceable', [
  /** `functions`: those that the certificate has points in; in no other is a value traceable. */
  z.strictObject({ traceable: z.literal(true), functions: z.array(meterFunction).min(1) }), z.strictObject({ traceable: z.literal(false), because: z.string() }),
])
export type Traceability = z.infer<typeof traceability>

/** A good check holds for this long, its last moment included. */
export const checkHours = 12
const hourMs = 3_600_000

/** Null, or what speaks against the meter's own certificate. */
const certificateFault = ({ name, register: { certificate } }: Pick<Meter, 'name' | 'register'>, at: string): string | null => {
  if (certificate === null) return `${name} has no calibration certificate in the register.`
  if (!calibrationHolds(certificate, at)) {
    return at.slice(0, 10) > certificate.due ? `The calibration of ${name} was due on ${certificate.due}.` : `The certificate of ${name} holds from ${certificate.calibrated} on only.`
  }
  if (certificate.asLeft === 'outside specification') return `The laboratory left ${name} outside its specification (certificate ${certificate.number}).`
  return certificate.points.length === 0 ? `Of the certificate of ${name}, ${certificate.number}, no points are in the register: it is not known which functions it covers.` : null
}

const moment = ({ utc }: CheckResult): number => Date.parse(utc)

/** The newest failed check that no later good check has answered. */
const standingFailure = (checks: readonly CheckResult[]): CheckResult | null =>
  checks.filter((check) => checkOutcome(check) === 'failed'
    && !checks.some((later) => answers(later, check)))
    .reduce<CheckResult | null>((newest, each) => (newest === null || moment(each) >= moment(newest) ? each : newest), null)

/**
 * True only with a certificate in date that has points and does not say “outside specification”, and then in the functions of those points alone; with no failed check that a good one
 * has not answered, and a good check of resistor and diode within 12 hours before; `because` says everything that speaks against it.
 * @param checks every check of the shop; those of other meters and later ones do not count. @param at UTC.
 */
export const traceable = (meter: Pick<Meter, 'id' | 'name' | 'register'>, checks: readonly CheckResult[], at: string): Traceability => {
  const now = Date.parse(at)
  const own = checks.filter((check) => check.meter === meter.id && moment(check) <= now)
  const failed = standingFailure(own)
  const missing = checkKinds.filter((kind) => kind !== failed?.standard.kind
    && !own.some((check) => check.standard.kind === kind && check.good && now - moment(check) <= checkHours * hourMs))
  const reasons = [
    certificateFault(meter, at),
    failed === null ? null : `${standardName(failed.standard)} failed on ${failed.utc.slice(0, 10)}: it read ${checkedValueWords(failed)}, should be ${shouldBeWords(failed)}. ${blockedWords}`,
    missing.length === 0 ? null : `There is no good check of ${meter.name} within ${checkHours} hours with the ${missing.map((kind) => standardWords[kind].toLowerCase()).join(' and the ')}.`,
  ].filter((each) => each !== null)
  const functions = [...new Set(meter.register.certificate?.points.map((point) => point.function))]
  return reasons.length === 0 ? { traceable: true, functions } : { traceable: false, because: reasons.join(' ') }
}

/** What is said of a meter as a run starts with it, short enough for the message line, while a failed check of it stands; null where none does. @param checks of that meter. */
export const failedCheckWarning = (checks: readonly CheckResult[]): string | null => {
  const failed = standingFailure(checks)
  return failed === null ? null : `${standardName(failed.standard)} failed on ${failed.utc.slice(0, 10)}: values of this meter are not traceable until a good check.`
}

/** `lastValueUtc`: when its last value was taken; null or left out: none was after it began. */
export type RunOnMeter = { run: string; startedUtc: string; lastValueUtc?: string | null }
/** A span in which the meter is not known to have been good: behind the last good check, up to the next one. */
export type ReviewSpan = { failed: CheckResult; lastGoodUtc: string | null; untilUtc: string | null }

/** @param checks of one meter. */
export const reviewSpans = (checks: readonly CheckResult[]): ReviewSpan[] => checks.filter((check) => checkOutcome(check) === 'failed').map((failed) => {
  const before = checks.filter((check) => check.good && sameStandard(check.standard, failed.standard) && check.utc < failed.utc).map(({ utc }) => utc).sort()
  const after = checks.filter((check) => answers(check, failed)).map(({ utc }) => utc).sort()
  return { failed, lastGoodUtc: before.at(-1) ?? null, untilUtc: after[0] ?? null }
})

const lastMeasured = ({ startedUtc, lastValueUtc }: RunOnMeter): string =>
  (lastValueUtc === undefined || lastValueUtc === null || lastValueUtc < startedUtc ? startedUtc : lastValueUtc)

/**
 * Runs of one meter that a failed check casts doubt on: all that were begun or still measured since the last good check of that standard, up to the next good one. A good
 * check later answers for the runs after it, never for those before.
 */
export const underReview = <R extends RunOnMeter>(checks: readonly CheckResult[], runs: readonly R[]): R[] => {
  const spans = reviewSpans(checks)
  return runs.filter((run) => spans.some(({ lastGoodUtc, untilUtc }) =>
    (lastGoodUtc === null || lastMeasured(run) >= lastGoodUtc) && (untilUtc === null || run.startedUtc < untilUtc)))
}

/** What a failed check says of the runs before it. */
export const reviewWords = (runs: number, lastGoodUtc: string | null): string => {
  const since = lastGoodUtc === null ? 'of this meter, which had no good check before,' : `since the last good check of ${lastGoodUtc.slice(0, 10)}`
  return runs === 0 ? `There is no run ${since} to review.` : `${runs} run${runs === 1 ? '' : 's'} ${since} ${runs === 1 ? 'is' : 'are'} under review.`
}
