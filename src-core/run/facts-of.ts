/** What a meter's description tells the bench of each function it has. */
import type { MeterDescription } from '../meter/description'
import { seconds } from '../quantity/units'
import type { BenchContext, FunctionFacts } from './bench'

export const factsOf = (description: MeterDescription): BenchContext['facts'] =>
  Object.fromEntries(Object.values(description.functions).map(({ is, counts, lowestRange, conversionSeconds }): [string, FunctionFacts] =>
    [is, { counts, lowestRange, conversionSeconds: conversionSeconds === undefined ? null : seconds(conversionSeconds), setByApp: description.framing.kind === 'scpi' }]))
