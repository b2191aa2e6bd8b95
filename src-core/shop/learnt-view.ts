/** What the shop has learnt of one board type, as the screen shows it: made from what is counted over its runs. */
import { z } from 'zod'
import type { BoardType } from '../board/board-type'
import { type MeterFunction, unitOf } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import { shareOf } from './binomial'
import { capabilityOf } from './capability'
import { type FaultHistory, historyInWords, partPriors } from './fault-history'
import type { Count, CountKind } from './run-digest'
import { placeInFile, titleInFile } from '../run/walk'
import { type Running, summaryOfRunning, together } from './running-summary'

/** `low` to `high`: what the true share may be, 95 %. */
export const shareView = z.strictObject({ count: z.number().int(), of: z.number().int(), low: z.number(), high: z.number() })
/** `median`, and what nine in ten do not exceed; null with no run. */
const effort = z.strictObject({ median: z.number(), most: z.number() }).nullable()

export const learntView = z.strictObject({
  board: z.string(), revision: z.string(), name: z.string(), runs: z.number().int(),
  /** Runs that have ended and are not counted yet. */
  due: z.number().int(),
  passed: shareView, verdicts: z.array(z.strictObject({ verdict: z.string(), count: z.number().int() })),
  months: z.array(z.strictObject({ month: z.string(), passed: shareView })),
  touches: effort, minutes: effort, confirmations: effort,
  /** Parts at fault, the most frequent first, of the runs that ended with a fault; `usual` and `learnt`: how likely beforehand, by its kind and by this history. */
  parts: z.array(z.strictObject({ ref: z.string(), share: shareView, usual: z.number().nullable(), learnt: z.number().nullable() })),
  /** Pairs at fault in one run: of the runs with the rarer of the two; `expected`: if they had nothing to do with each other. */
  pairs: z.array(z.strictObject({ parts: z.tuple([z.string(), z.string()]), share: shareView, of: z.string(), expected: z.number() })),
  /** How much the history says of what is likely beforehand, a sentence; empty without any. */
  history: z.string(),
  /** In the order of the sequence. Values are those of runs that passed. */
  steps: z.array(z.strictObject({
    step: z.string(), title: z.string(), failed: shareView, values: z.number().int(), open: z.number().int(),
    mean: z.string(), scatter: z.string(), limits: z.string(), cpk: z.number().nullable(), cpkLow: z.number().nullable(), meters: z.number().int(),
  })),
})
export type LearntView = z.infer<typeof learntView>

export type CountedRow = Count & { count: number }
export type StepOfMeter = { step: string; meter: string; function: MeterFunction; running: Running; low: number | null; high: number | null }

const of = (rows: readonly CountedRow[], what: CountKind): CountedRow[] => rows.filter((row) => row.what === what)
const countOf = (rows: readonly CountedRow[], what: CountKind, key: string): number => rows.find((row) => row.what === what && row.key === key)?.count ?? 0

/** Value below which the share lies, from counts of whole numbers. */
const quantileOf = (rows: readonly CountedRow[], share: number): number => {
  const sorted = rows.map(({ key, count }) => ({ value: Number(key), count })).sort((a, b) => a.value - b.value)
  let left = share * sorted.reduce((sum, { count }) => sum + count, 0)
  for (const { value, count } of sorted) {
    left -= count
    if (left <= 0) return value
  }
  return sorted.at(-1)?.value ?? 0
}

const effortOf = (rows: readonly CountedRow[], what: CountKind): LearntView['touches'] => {
  const own = of(rows, what)
  return own.length === 0 ? null : { median: quantileOf(own, 0.5), most: quantileOf(own, 0.9) }
}

const verdictsInOrder = ['pass', 'fail', 'beyond-repair', 'incomplete'] as const
const faultVerdicts: readonly string[] = ['fail', 'beyond-repair']

/** What a diagnosis is told of this board type (fault-history.ts). */
export const historyOf = (rows: readonly CountedRow[]): FaultHistory => {
  const most = Math.max(0, ...of(rows, 'number').map(({ key }) => Number(key)))
  return {
    faults: Object.fromEntries(of(rows, 'part').map(({ key, count }) => [key, count])),
    byNumber: Array.from({ length: most }, (_, at) => countOf(rows, 'number', `${at + 1}`)),
  }
}

const failedBoards = (rows: readonly CountedRow[]): number => faultVerdicts.reduce((sum, verdict) => sum + countOf(rows, 'verdict', verdict), 0)

/** The same without what some runs were counted for. @param own of those runs, one for each time. */
export const withoutCounts = (rows: readonly CountedRow[], own: readonly Count[]): CountedRow[] => rows.flatMap((row) => {
  const count = row.count - own.filter(({ what, key }) => what === row.what && key === row.key).length
  return count > 0 ? [{ ...row, count }] : []
})

const monthsOf = (rows: readonly CountedRow[]): LearntView['months'] => {
  const months = [...new Set(of(rows, 'month').map(({ key }) => key.split(' ')[0] ?? ''))].sort()
  return months.map((month) => {
    const passed = countOf(rows, 'month', `${month} pass`)
    return { month, passed: shareOf(passed, passed + countOf(rows, 'month', `${month} other`)) }
  })
}

const mostPairs = 20

const pairsOf = (rows: readonly CountedRow[], boards: number): LearntView['pairs'] => of(rows, 'pair').sort((a, b) => b.count - a.count).slice(0, mostPairs).flatMap(({ key, count }) => {
  const [one = '', other = ''] = key.split(' ')
  const [ofOne, ofOther] = [countOf(rows, 'part', one), countOf(rows, 'part', other)]
  const [rare, rarer, common] = ofOne <= ofOther ? [one, ofOne, ofOther] : [other, ofOther, ofOne]
  return rarer < count || boards === 0 ? [] : [{ parts: [one, other], share: shareOf(count, rarer), of: rare, expected: common / boards }]
})

const partsOf = (rows: readonly CountedRow[], board: BoardType | null): LearntView['parts'] => {
  const [history, boards] = [historyOf(rows), failedBoards(rows)]
  const priors = new Map((board === null ? [] : partPriors(board, history)).map((prior) => [prior.ref, prior]))
  return of(rows, 'part').sort((a, b) => b.count - a.count || (a.key < b.key ? -1 : 1)).map(({ key, count }) => ({
    ref: key, share: shareOf(Math.min(count, boards), boards), usual: priors.get(key)?.usual ?? null, learnt: priors.get(key)?.learnt ?? null,
  }))
}

/** Three digits more than the scatter shows are noise. */
const figure = (value: number, what: MeterFunction): string => inWords(Number(value.toPrecision(4)), unitOf[what], null)

const limitsOf = ({ low, high, function: what }: Pick<StepOfMeter, 'low' | 'high' | 'function'>): string =>
  (low === null && high === null ? 'open' : low === null ? `at most ${figure(high ?? 0, what)}` : high === null ? `at least ${figure(low, what)}` : `${figure(low, what)} to ${figure(high, what)}`)

const stepsOf = (rows: readonly CountedRow[], steps: readonly StepOfMeter[], board: BoardType | null): LearntView['steps'] => {
  const counted = [...new Set(of(rows, 'judged').map(({ key }) => key))]
  const placeOf = (id: string): number => (board === null ? null : placeInFile(board, id)) ?? Infinity
  const order = [...counted].sort((a, b) => (placeOf(a) === placeOf(b) ? (a < b ? -1 : 1) : placeOf(a) - placeOf(b)))
  return order.map((step) => {
    const own = steps.filter((one) => one.step === step && one.running.count > 0)
    const last = own.at(-1)
    const summary = summaryOfRunning(own.reduce((sum, { running }) => together(sum, running), { count: 0, mean: 0, squares: 0 }))
    const capability = summary === null || last === undefined ? null : capabilityOf(summary, last)
    return {
      step, title: (board === null ? null : titleInFile(board, step)) ?? step, failed: shareOf(countOf(rows, 'failed', step), countOf(rows, 'judged', step)),
      values: summary?.count ?? 0, open: countOf(rows, 'open', step),
      mean: summary === null || last === undefined ? '' : figure(summary.mean, last.function), scatter: summary?.sd == null || last === undefined ? '' : figure(Number(summary.sd.toPrecision(2)), last.function),
      limits: last === undefined ? '' : limitsOf(last), cpk: capability?.cpk ?? null, cpkLow: capability?.cpkLow ?? null, meters: own.length,
    }
  })
}

export type Learnt = { board: string; revision: string; due: number; counts: readonly CountedRow[]; steps: readonly StepOfMeter[]; /** The latest file of it; null: it is not at hand. */ file: BoardType | null }

export const learntViewOf = ({ board, revision, due, counts, steps, file }: Learnt): LearntView => {
  const verdicts = verdictsInOrder.map((verdict) => ({ verdict, count: countOf(counts, 'verdict', verdict) }))
  const passed = countOf(counts, 'verdict', 'pass')
  const failed = failedBoards(counts)
  return {
    board, revision, name: file?.name ?? board, due, runs: verdicts.reduce((sum, { count }) => sum + count, 0),
    passed: shareOf(passed, passed + failed), verdicts, months: monthsOf(counts),
    touches: effortOf(counts, 'touches'), minutes: effortOf(counts, 'minutes'), confirmations: effortOf(counts, 'confirmations'),
    parts: partsOf(counts, file), pairs: pairsOf(counts, failed), history: historyInWords(historyOf(counts)), steps: stepsOf(counts, steps, file),
  }
}
