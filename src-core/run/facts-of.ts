/** What a meter's description tells the bench of each function it has. */
import type { MeterDescription } from '../meter/description'
import type { MeterFunction } from '../meter/reading'
import { seconds } from '../quantity/units'
import type { Bench, BenchContext, FunctionFacts } from './bench'

export const factsOf = (description: MeterDescription): BenchContext['facts'] =>
  Object.fromEntries(Object.values(description.functions).map(({ is, counts, lowestRange, conversionSeconds }): [string, FunctionFacts] =>
    [is, { counts, lowestRange, conversionSeconds: conversionSeconds === undefined ? null : seconds(conversionSeconds), setByApp: description.framing.kind === 'scpi' }]))

/** The instrument refused this function: from now on the technician is asked for the dial. */
export const askedByDial = (bench: Bench, which: MeterFunction): Bench => {
  const facts = bench.context.facts[which]
  return facts === undefined ? bench : { ...bench, context: { ...bench.context, facts: { ...bench.context.facts, [which]: { ...facts, setByApp: false } } } }
}
