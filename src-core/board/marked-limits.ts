/** Limits written as a part is marked, { "marked": "4k7 5 %" }, turned into figures as the board file is loaded; the marking is kept beside them. */
import type { PartKind } from '../quantity/letter-digit-code'
import { parseMarking } from '../quantity/marking'
import { withoutDust } from '../quantity/plain-figures'
import type { Limits } from '../metrology/limits'
import type { FieldProblem } from './shape-problems'

type Json = Record<string, unknown>

const isObject = (json: unknown): json is Json => typeof json === 'object' && json !== null && !Array.isArray(json)

const kindOf: Record<string, PartKind> = { resistance: 'resistor', capacitance: 'capacitor', inductance: 'inductor' }

/** The limits, or what is wrong with the marking: a clause that follows the name of its field. */
const figuresOf = (marked: unknown, measured: unknown): Limits | { problem: string } => {
  if (typeof marked !== 'string') return { problem: 'must be text in quotes, such as "4k7 5 %"' }
  const kind = kindOf[String(measured)]
  if (kind === undefined) return { problem: `has no meaning in ${String(measured)}: parts are marked with ohms, farads or henries; write figures` }
  const found = parseMarking(marked, kind)
  if ('problem' in found) return { problem: found.problem }
  const { nominal, tolerance } = found
  if (nominal === 0) return { problem: `“${marked}” is a link of 0 Ω; write "short"` }
  if (tolerance === null) return { problem: `“${marked}” states no tolerance; write it behind, such as "${marked} 5 %"` }
  const { minus, plus } = tolerance
  if (!(minus <= 1 && plus <= 1 && minus + plus > 0)) return { problem: `“${marked}” states a tolerance of ${withoutDust(100 * Math.max(minus, plus))} %; it must be above 0 % and at most 100 %` }
  if (minus === plus) return { nominal, tolerance: plus, marked }
  return { between: [withoutDust(nominal * (1 - minus)), withoutDust(nominal * (1 + plus))], marked }
}

/** Stands in for a marking that could not be read, so that the rest of the file is still checked. */
const anything: Limits = { between: [0, 1] }

/** The board file with figures in place of every marking, and all that is wrong with those. Anything else is left as it is. */
export const withMarkedLimits = (json: unknown): { json: unknown; problems: FieldProblem[] } => {
  const sequence = isObject(json) ? json.sequence : undefined
  if (!isObject(json) || !isObject(sequence) || !Array.isArray(sequence.steps)) return { json, problems: [] }
  const problems: FieldProblem[] = []
  const steps = sequence.steps.map((step: unknown, at) => {
    if (!isObject(step) || !isObject(step.limits) || !('marked' in step.limits)) return step
    const others = Object.keys(step.limits).filter((key) => key !== 'marked')
    const found = others.length > 0 ? { problem: `stands beside ${others.map((key) => `"${key}"`).join(', ')}; write the marking or the figures, not both` }
      : figuresOf(step.limits.marked, step.function)
    if (typeof found === 'object' && 'problem' in found) {
      problems.push({ field: `sequence.steps[${at}].limits.marked`, message: found.problem })
      return { ...step, limits: anything }
    }
    return { ...step, limits: found }
  })
  return { json: { ...json, sequence: { ...sequence, steps } }, problems }
}
