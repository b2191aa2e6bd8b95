/** What a screen asks of what the shop has learnt, and what comes back. */
import { z } from 'zod'
import { chart } from './chart/chart'
import { learntView } from './learnt-view'

const nothing = z.strictObject({})
const of = { board: z.string().max(40), revision: z.string().max(20) }
const step = z.string().min(1).max(200)

export const learntChartKinds = ['passed', 'parts', 'values', 'distribution'] as const
export const learntTableKinds = ['steps', 'parts', 'values'] as const

/** Values of one step over all its runs. */
export const stepValues = z.strictObject({
  step, title: z.string(),
  /** Null: there is nothing to draw. `withoutChart` says why, a sentence; empty where both are drawn. */
  values: chart.nullable(), distribution: chart.nullable(), withoutChart: z.string(),
  /** Values of runs that passed, by the meter they came from. */
  meters: z.array(z.strictObject({ meter: z.string(), count: z.number().int(), mean: z.string(), scatter: z.string() })),
  /** The latest values: so many make the distribution, so many of them are marked in their order. */
  charted: z.number().int(), marks: z.number().int(),
  /** What limits the good boards speak for, a sentence or two. */
  limits: z.string(),
})

const file = z.strictObject({ path: z.string(), name: z.string() })

export const shopCommands = {
  'what-was-learnt': { input: z.strictObject(of), output: z.strictObject({ learnt: learntView, passed: chart, parts: chart }) },
  'learnt-values': { input: z.strictObject({ ...of, step }), output: stepValues },
  /** The file is fetched once, under `path`, as an export is. `step`: of values and their distribution. */
  'export-learnt': {
    input: z.discriminatedUnion('as', [
      z.strictObject({ ...of, as: z.literal('svg'), what: z.enum(learntChartKinds), step: step.optional() }),
      z.strictObject({ ...of, as: z.literal('csv'), what: z.enum(learntTableKinds), step: step.optional() }),
    ]),
    output: file,
  },
  /** Drops what was learnt and reads every run again. */
  'learn-anew': { input: nothing, output: nothing },
} as const

/** How many runs have ended and are not counted yet. */
export const learntEvent = z.strictObject({ due: z.number().int().nonnegative() })
export type StepValues = z.infer<typeof stepValues>
