/** What is drawn when a value is opened: its budget as a table, the parts as bars, and the value with its interval against its limits. */
import { z } from 'zod'
import type { MeterFunction, UnitSymbol } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import { bestEstimate, type Budget } from './budget'
import { type Component, contribution, type Spread, standardUncertainty } from './component'
import { riskOf } from './conformance'
import { boundsOf } from './interval'
import type { DecisionRule, Limits, Verdict } from './limits'
import { reported } from './rounding'

const budgetRow = z.strictObject({
  what: z.string(), from: z.string(), kind: z.enum(['A', 'B']),
  /** "rectangular, ± 1.3 Ω". */
  spread: z.string(), sensitivity: z.string(), degrees: z.string(), standard: z.string(), contribution: z.string(),
  /** Of the variance, in words; and the length of its bar, the largest part's being 1. */
  share: z.string(), bar: z.number(),
})

const axisPlace = z.number()
export const budgetView = z.strictObject({
  /** "(221.4 ± 1.5) Ω". */
  result: z.string(),
  /** How k was found, as a sentence. */
  coverage: z.string(),
  rows: z.array(budgetRow),
  combined: z.strictObject({ standard: z.string(), degrees: z.string() }),
  remarks: z.array(z.string()),
  /** Places from 0 to 1 along a linear axis; null: no limit there, or none at all. */
  axis: z.strictObject({ value: axisPlace, from: axisPlace, to: axisPlace, lo: axisPlace.nullable(), hi: axisPlace.nullable(),
    /** Acceptance limits, where the rule draws them inside the tolerance limits. */
    acceptLo: axisPlace.nullable(), acceptHi: axisPlace.nullable() }),
  /** "A pass lies within 212.3 Ω to 227.7 Ω: …"; empty where acceptance and tolerance limits are the same. */
  acceptance: z.string(),
  /** "conforms with 99.2 %; risk of a wrong pass 0.8 %"; empty where no figure tells. */
  conformance: z.string(),
})
export type BudgetView = z.infer<typeof budgetView>

const two = (x: number, unit: UnitSymbol): string => (x === 0 ? `0 ${unit}` : inWords(Number(x.toPrecision(2)), unit, null))

const spreadInWords = (of: Spread, unit: UnitSymbol): string => {
  switch (of.shape) {
    case 'normal': return `normal, s = ${two(of.standard, unit)}`
    case 'trapezoidal': return `trapezoidal, ± ${two(of.halfWidth, unit)}, β = ${Number(of.edge.toPrecision(2))}`
    default: return `${of.shape}, ± ${two(of.halfWidth, unit)}`
  }
}

const infinite = '∞'
export const degreesInWords = (degrees: number | null): string => (degrees === null || degrees >= 1000 ? infinite : String(Number(degrees.toPrecision(3))))

/** A probability without false certainty: "99.2 %", "over 99.9 %", "under 0.1 %". */
export const probabilityInWords = (p: number): string =>
  (p > 0.999 ? 'over 99.9 %' : p < 0.001 ? 'under 0.1 %' : `${(100 * p).toFixed(1)} %`)

const listed = (names: readonly string[]): string => names.join(' and ')

/** How k was found, as the end of a sentence. */
export const coverageFrom = ({ coverage: { by, part, spread } }: Budget): string => {
  if (by === 'student' || part === null) {
    const degrees = spread.kind === 'student' ? spread.degrees : null
    return degrees === null ? 'normal distribution' : `Student’s t with ${degrees} degrees of freedom`
  }
  const alone = `${part.shape}, ${part.k.toFixed(2)} by itself`
  return by === 'dominated' ? `${listed(part.what)} ${part.what.length > 1 ? 'dominate' : 'dominates'} (EA-4/02: ${alone}); the small rest is counted in`
    : `${listed(part.what)} (${alone}) with the rest beside it`
}

/** What of the value is known to be too much, or too little, and stands in it all the same; null: nothing. */
export const biasInWords = ({ bias = 0, unit }: Pick<Budget, 'bias' | 'unit'>): string | null =>
  (bias === 0 ? null : `${two(Math.abs(bias), unit)} of lead resistance was not taken off: it is counted whole beside k · u (JCGM 100:2008, F.2.4.5).`)

const coverageInWords = (of: Budget): string =>
  [`k = ${of.coverage.k.toFixed(2)} for ${Number((100 * of.coverage.p).toPrecision(4))} %: ${coverageFrom(of)}.`, biasInWords(of) ?? ''].join(' ').trimEnd()

const rowOf = (each: Component, unit: UnitSymbol, combined: number, largest: number): BudgetView['rows'][number] => {
  const adds = contribution(each)
  return {
    what: each.what, from: each.from, kind: each.kind, spread: spreadInWords(each.spread, each.unit), sensitivity: String(Number(each.sensitivity.toPrecision(3))).replace('-', '\u2212'),
    degrees: degreesInWords(each.degrees), standard: two(standardUncertainty(each.spread), each.unit), contribution: two(adds, unit),
    share: combined === 0 ? '0 %' : `${Math.round(100 * (adds / combined) ** 2)} %`, bar: largest === 0 ? 0 : adds / largest,
  }
}

/** A little room at both ends of the axis. */
const room = 0.08

/** SI; null: none on that side, or the rule has none of its own. */
type Bounds = { low: number | null; high: number | null }
const noBounds: Bounds = { low: null, high: null }

/** The tolerance limits drawn in by the guard band w = r·U (ILAC-G8:09/2019, 4.2.3, from memory); null where the rule draws none in. */
const acceptanceBounds = ({ low, high }: Bounds, U: number, { kind, r }: DecisionRule): Bounds | null =>
  (kind === 'simple-acceptance' || r === 0 || (low === null && high === null) ? null : { low: low === null ? null : low + r * U, high: high === null ? null : high - r * U })

const isEmpty = ({ low, high }: Bounds): boolean => low !== null && high !== null && low > high

const acceptanceInWords = (bounds: Bounds | null, unit: UnitSymbol): string => {
  if (bounds === null) return ''
  if (isEmpty(bounds)) return 'No value can pass: the guard bands from both limits overlap.'
  const [low, high] = [bounds.low, bounds.high].map((bound) => (bound === null ? '' : inWords(Number(bound.toPrecision(5)), unit, null)))
  if (bounds.low === null) return `A pass is at most ${high ?? ''}, the acceptance limit.`
  return bounds.high === null ? `A pass is at least ${low ?? ''}, the acceptance limit.` : `A pass lies within ${low ?? ''} to ${high ?? ''}, the acceptance limits.`
}

const axisOf = ({ value, U }: Budget, { low, high }: Bounds, accepted: Bounds): BudgetView['axis'] => {
  const marks = [value - U, value + U, ...[low, high, accepted.low, accepted.high].filter((each) => each !== null)]
  const [least, most] = [Math.min(...marks), Math.max(...marks)]
  const width = most - least
  const place = (x: number): number => (width === 0 ? 0.5 : room + (1 - 2 * room) * (x - least) / width)
  const orNone = (x: number | null): number | null => (x === null ? null : place(x))
  return { value: place(value), from: place(value - U), to: place(value + U), lo: orNone(low), hi: orNone(high), acceptLo: orNone(accepted.low), acceptHi: orNone(accepted.high) }
}

const conformanceInWords = (of: Budget, limits: Limits, fn: MeterFunction, verdict: Verdict): string => {
  const found = riskOf(bestEstimate(of), limits, fn, verdict, of.coverage.spread)
  if (found === null) return ''
  return `conforms with ${probabilityInWords(found.conforms)}; risk of a wrong ${found.of === 'false-acceptance' ? 'pass' : 'fail'} ${probabilityInWords(found.risk)}`
}

type Judged = { limits: Limits; function: MeterFunction; verdict: Verdict; rule: DecisionRule }

/** @throws RangeError when the limits mean nothing in this function. */
export const viewOfBudget = (of: Budget, { limits, function: fn, verdict, rule }: Judged): BudgetView => {
  const bounds = boundsOf(limits, fn)
  const accepted = acceptanceBounds(bounds, of.U, rule)
  const largest = Math.max(...of.components.map(contribution))
  return {
    result: reported(of.value, of.U, of.unit).words, coverage: coverageInWords(of),
    rows: of.components.map((each) => rowOf(each, of.unit, of.combined, largest)),
    combined: { standard: two(of.combined, of.unit), degrees: degreesInWords(of.effectiveDegrees) },
    remarks: of.remarks, axis: axisOf(of, bounds, accepted === null || isEmpty(accepted) ? noBounds : accepted),
    acceptance: acceptanceInWords(accepted, of.unit), conformance: conformanceInWords(of, limits, fn, verdict),
  }
}
