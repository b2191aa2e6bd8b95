/** The parts of a description that lines and frames have in common: functions with their counts, and prefixes. */
import type { MeterDescription } from '../description'
import type { MeterFunction } from '../reading'
import type { TeachSetup } from './setup'
import { isFigure, prefixFactor, type ReadShown, type Shown } from './shown'

export type Known = { shown: Shown; read: ReadShown }

/** Full scale of the lowest range that was shown, SI; where only out of range was shown, one unit. */
const lowestRange = (of: readonly Known[], counts: number): number => {
  const scales = of.flatMap(({ read: { figure, power } }) => (isFigure(figure) ? [Number(`${counts}e${power - figure.decimals}`)] : []))
  return scales.length === 0 ? 1 : Math.min(...scales)
}

export const functionsOf = (known: readonly Known[], keys: ReadonlyMap<MeterFunction, string>, { counts }: TeachSetup): MeterDescription['functions'] =>
  Object.fromEntries([...keys].map(([is, key]) => [key, { is, counts, lowestRange: lowestRange(known.filter(({ shown }) => shown.function === is), counts) }]))

export const prefixesOf = (texts: ReadonlyMap<string, string>): MeterDescription['prefixes'] =>
  Object.fromEntries([...texts].filter(([text]) => text !== '').map(([text, prefix]) => [text, prefixFactor(prefix)]))

/** A letter for each annunciator, as "flags" looks them up. */
export const flagLetters = {
  hold: 'h', relative: 'r', minimum: 'n', maximum: 'x', average: 'v', peak: 'p', 'low-battery': 'b', 'auto-range': 'a', 'manual-range': 'm',
} as const
