/** The uncertainty budget of a value as a record writes it, and how likely it is that the item conforms. */
import { bestEstimate, type Budget } from '../metrology/budget'
import { coverageFrom } from '../metrology/budget-view'
import { contribution, standardUncertainty, type Component } from '../metrology/component'
import { riskOf } from '../metrology/conformance'
import { withoutDust } from '../quantity/plain-figures'
import type { Captured } from '../run/state'
import type { RecordBudget, RecordValue } from './step-schema'

/** As long as a name in a record may be. */
const fitting = (text: string): string => (text.length <= 200 ? text : `${text.slice(0, 199)}…`)

const lineOf = (part: Component): RecordBudget['lines'][number] => ({
  source: fitting(part.from === '' ? part.what : `${part.what}: ${part.from}`), estimate: null, standardUncertainty: withoutDust(standardUncertainty(part.spread)),
  distribution: part.spread.shape, sensitivity: withoutDust(part.sensitivity), contribution: withoutDust(contribution(part)), degreesOfFreedom: part.degrees,
})

export const recordBudgetOf = (of: Budget): RecordBudget => ({
  lines: of.components.map(lineOf), combined: withoutDust(of.combined), bias: withoutDust(of.bias ?? 0),
  effectiveDegreesOfFreedom: of.effectiveDegrees === null ? null : withoutDust(of.effectiveDegrees),
  coverageProbability: of.coverage.p, k: withoutDust(of.coverage.k), expanded: withoutDust(of.U), kFrom: fitting(coverageFrom(of)), remarks: of.remarks,
})

/** JCGM 106:2012, from the value's own spread; nothing where no figure tells. */
export const conformanceOf = ({ value, limits, function: fn, verdict, budget }: Captured): Pick<RecordValue, 'conformance'> => {
  const found = riskOf(budget === undefined ? value : bestEstimate(budget), limits, fn, verdict, budget?.coverage.spread ?? null)
  return found === null ? {} : { conformance: { probability: withoutDust(found.conforms), falseAcceptance: found.of === 'false-acceptance' ? withoutDust(found.risk) : null } }
}
