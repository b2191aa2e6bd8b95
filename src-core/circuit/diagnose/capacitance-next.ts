/** Capacitors that the readings so far do not tell of are measured for what they are, in circuit or alone. */
import type { BoardType } from '../../board/board-type'
import { isLeg } from '../../board/lifted-leg'
import type { Diagnosis, Next, Placement } from '../diagnosis'
import type { BoardState } from '../network'
import type { Allowed } from './allowed-placements'
import { netOfPin } from './lifted-legs'
import { effortInWords, effortOf, type EffortSettings, percentInWords } from './next-action'

/** Bits that are open about something of this probability. */
export const entropyOf = (probability: number): number => {
  const p = Math.min(Math.max(probability, 1e-6), 1 - 1e-6)
  return -(p * Math.log2(p) + (1 - p) * Math.log2(1 - p))
}

const joined = (words: readonly string[]): string => (words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`)

/**
 * However little its fault is to be expected: capacitance wherever it is allowed, and resistance across one that is lifted already. `open`: those
 * that were not taken and may be proposed.
 */
export const capacitanceNext = (
  board: BoardType, state: BoardState, reports: Diagnosis['parts'], open: readonly Allowed[], before: Placement | null, settings: EffortSettings,
): Next[] => {
  const left = reports.flatMap(({ ref, report, probability }) => {
    const part = report === 'unprobed' || report === 'masked' ? board.parts.find((one) => one.ref === ref && one.kind === 'capacitor') : undefined
    return part === undefined ? [] : [{ ref, probability, nets: Object.keys(part.pins).map((pin) => netOfPin(part, pin, state)) }]
  })
  return open.flatMap(({ placement, nets }): Next[] => {
    const alone = isLeg(nets.red) || isLeg(nets.black)
    if (nets.function !== 'capacitance' && !(alone && nets.function === 'resistance')) return []
    const seen = left.filter((one) => one.nets.includes(nets.red) && one.nets.includes(nets.black))
    if (seen.length === 0) return []
    const bits = seen.reduce((sum, { probability }) => sum + entropyOf(probability), 0)
    const effort = effortOf(placement, before, 0, settings)
    const [refs, expected] = [joined(seen.map(({ ref }) => ref)), `${joined(seen.map(({ probability }) => percentInWords(probability)))} likely so far, ${effortInWords(effort)}.`]
    const why = nets.function === 'resistance' ? `Alone, ${refs} shows whether it leaks: ${expected}`
      : alone ? `Alone, ${refs} shows whether it has lost capacitance: ${expected}`
        : `Resistance and diode test do not tell whether ${refs} ${seen.length === 1 ? 'has' : 'have'} lost capacitance: ${expected}`
    return [{ action: { kind: 'measure', placement }, bits, effort, why }]
  })
}
