/** What good boards read at one place, and the limits they speak for: of the point of a walk, or of a step that has no limits of its own. */
import { z } from 'zod'
import { outward } from '../circuit/good-limits'
import { measuredValue, type MeasuredValue, type MeterFunction, unitOf } from '../meter/reading'
import { limits as limitsSchema, type Limits } from '../metrology/limits'
import { inWords } from '../quantity/engineering'
import { fewestBoards, limitsFromBoards, neverBelowZero } from '../shop/limits-from-boards'

/** Of the learned value, either way. Our choice: two chips of one kind read within it at the same leg, a failed one seldom does (common practice, no source). */
export const usualTolerance = 0.15
/** The latest boards speak for the limits. Our choice. */
export const mostGoodBoards = 30

/** `value`: what good boards read, the mean of their figures; `says`: what the limits rest on, a sentence. */
export const goodLimits = z.strictObject({ limits: limitsSchema, value: measuredValue, boards: z.number().int().positive(), says: z.string() })
export type GoodLimits = z.infer<typeof goodLimits>

/** By the ids of the steps of a board file. */
export type KnownGood = Readonly<Record<string, GoodLimits>>

/** Of a step: as good boards read there (`read`, the mean of their figures). `uncomputed`: why none were computed, a sentence. */
export const limitsOfGoodBoardsKept = z.strictObject({ limits: limitsSchema, read: measuredValue, boards: z.number().int().positive(), says: z.string(), uncomputed: z.string() })
export type LimitsOfGoodBoards = z.infer<typeof limitsOfGoodBoardsKept>

/** One good board at one place; `U`: expanded uncertainty of the value, null: not known. `meter`: the name of the one that read it. */
export type GoodValue = { function: MeterFunction; value: MeasuredValue; U: number | null; meter?: string }

const percent = (share: number): string => `${Number((100 * share).toPrecision(3))} %`
const boardsInWords = (count: number): string => (count === 1 ? 'one good board' : `${count} good boards`)

/** With too few boards to tell their scatter: the stated share of their mean either way, from the lowest of them to the highest, never narrower than the meter's uncertainty. */
const byTolerance = (good: readonly GoodValue[], tolerance: number, whose: string): { limits: Limits; says: string } | null => {
  const figures = good.flatMap(({ value }) => (typeof value === 'number' ? [value] : []))
  const [first] = good
  if (first === undefined) return null
  if (figures.length === 0) return good.every(({ value }) => value === 'overload') ? { limits: 'open', says: `Open on ${boardsInWords(good.length)}.` } : null
  const mean = figures.reduce((sum, value) => sum + value, 0) / figures.length
  const U = good.reduce((most, one) => Math.max(most, one.U ?? 0), 0)
  const half = Math.max(tolerance * Math.abs(mean), U)
  if (half === 0) return null
  const [low, high] = [outward(Math.min(...figures) - half, 'down'), outward(Math.max(...figures) + half, 'up')]
  const wide = `${percent(tolerance)}${whose === '' ? '' : ` (${whose})`} either way of ${inWords(Number(mean.toPrecision(4)), unitOf[first.function], null)} on ${boardsInWords(good.length)}${U > tolerance * Math.abs(mean) ? ', and as wide as the meter’s uncertainty' : ''}`
  if (figures.length < good.length) return { limits: { atLeast: low }, says: `${wide}; ${good.length - figures.length} of them read over range.` }
  return low <= 0 && neverBelowZero.includes(first.function) ? { limits: { atMost: high }, says: `${wide}.` } : { limits: { between: [low, high] }, says: `${wide}.` }
}

/** What one place is judged by; null where good boards leave nothing to judge it by. `tolerance`: of a value, either way, as a share of it, with few boards; `whose` says whose. */
export const limitsOfGoodBoards = (good: readonly GoodValue[], tolerance: number, whose = ''): GoodLimits | null => {
  const [first] = good
  if (first === undefined) return null
  const figures = good.flatMap(({ value }) => (typeof value === 'number' ? [value] : []))
  const value = figures.length === 0 ? first.value : figures.reduce((sum, each) => sum + each, 0) / figures.length
  const U = good.reduce<number | null>((most, one) => (one.U === null ? most : Math.max(most ?? 0, one.U)), null)
  const bySpread = good.length < fewestBoards ? null : limitsFromBoards({ function: first.function, values: good.map((one) => one.value), U }, null)
  const told = bySpread !== null && bySpread.limits !== null ? { limits: bySpread.limits, says: bySpread.says } : byTolerance(good, tolerance, whose)
  const meters = [...new Set(good.flatMap(({ meter }) => (meter === undefined ? [] : [meter])))]
  return told === null ? null : { ...told, says: `${told.says}${meters.length === 0 ? '' : ` Read with ${meters.join(' and ')}.`}`, value, boards: good.length }
}
