/** What drove the tips when limits were made: a junction reads otherwise with another source. */
import { z } from 'zod'
import { inWords } from '../quantity/engineering'

/** Volts behind ohms at the tips, never more than `amperes` (left out: none but what the ohms give). SI. */
export const limitsSource = z.strictObject({
  volts: z.number().positive().max(60), ohms: z.number().positive(), amperes: z.number().positive().optional(), plus: z.enum(['red', 'black']),
})
export type LimitsSource = z.infer<typeof limitsSource>

/** "3 V behind 2.5 kΩ, at most 1 mA, plus on red" */
export const sourceFigures = ({ volts, ohms, amperes, plus }: Omit<LimitsSource, 'amperes'> & { amperes?: number | null }): string => {
  const most = amperes === undefined || amperes === null || amperes === Infinity ? '' : `, at most ${inWords(amperes, 'A', null)}`
  return `${inWords(volts, 'V', null)} behind ${inWords(ohms, 'Ω', null)}${most}, plus on ${plus}`
}
