/** The list of runs as it is asked for and answered: filters, newest first, a page at a time. */
import { z } from 'zod'

export const runVerdict = z.enum(['pass', 'fail', 'beyond-repair', 'incomplete'])
export type RunVerdict = z.infer<typeof runVerdict>

export const runEntry = z.strictObject({
  run: z.string(), board: z.string(), revision: z.string(),
  /** Of the board type, as it was called when the run was made. */
  name: z.string(),
  serialNumber: z.string(), practice: z.boolean(),
  startedUtc: z.string(), verdict: runVerdict.nullable(), values: z.number().int(),
})
export type RunEntry = z.infer<typeof runEntry>

/** The last row of a page: the next page begins behind it, whatever was added meanwhile. */
const place = z.strictObject({ startedUtc: z.iso.datetime(), run: z.uuid() })
export type PlaceInList = z.infer<typeof place>

/**
 * What a list is narrowed to; everything left out is not looked at.
 * `from` and `to` are moments, UTC: begun at `from` or later, and before `to`. A local day is its midnight to the next one.
 */
export const runFilter = z.strictObject({
  board: z.string().max(40).optional(), revision: z.string().max(20).optional(),
  /** Any part of it, capitals or not. */
  serialNumber: z.string().max(80).optional(),
  from: z.iso.datetime().optional(), to: z.iso.datetime().optional(),
  verdict: z.union([runVerdict, z.literal('not-ended')]).optional(),
  practice: z.boolean().optional(),
})
export type RunFilter = z.infer<typeof runFilter>

export const listRunsInput = z.strictObject({ ...runFilter.shape, after: place.optional() })
export const runPage = z.strictObject({
  runs: z.array(runEntry),
  /** Runs that fit the filter, on all pages. */
  total: z.number().int(),
  /** Null on the last page. */
  next: place.nullable(),
})
export type RunPage = z.infer<typeof runPage>

/** A board type and revision that runs were made of. */
export const boardWithRuns = z.strictObject({ board: z.string(), revision: z.string(), name: z.string() })

/** What Start offers: the newest run that has not ended and does not lie on the bench. */
export const runToGoOn = (unfinished: readonly RunEntry[], onBench: string | null): RunEntry | null =>
  unfinished.filter(({ run }) => run !== onBench).reduce<RunEntry | null>((newest, each) => (newest === null || each.startedUtc > newest.startedUtc ? each : newest), null)

export type MeasuredBefore = { last: RunEntry | null; times: number }

/** Points out that a unit was on the bench before; null where it was not. @param when the time of that run as people here write it. */
export const measuredBeforeWords = ({ last, times }: MeasuredBefore, when: string): string | null => {
  if (last === null) return null
  const outcome = last.verdict === null ? 'not ended' : last.verdict.replace('-', ' ')
  return `${last.serialNumber} was measured ${times > 1 ? `${times} times, last ` : ''}on ${when}: ${outcome}.`
}
