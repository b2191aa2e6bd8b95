/** Why no placement shows a fault: one sentence, with the numbers where there are any. */
import type { BoardType } from '../board/board-type'
import type { Limits } from '../metrology/limits'
import { inWords } from '../quantity/engineering'
import type { ShownFault } from './coverage'
import { shortOhms, shortVolts, toleranceInterval } from '../metrology/interval'
import { type NetPlacement, reachableNets, tipFor } from './net-placements'

/** Relative; less than this is the solver's rounding. */
const leastChange = 1e-6

const boundsOf = (limits: Limits, at: NetPlacement): [lo: number, hi: number] => {
  if (limits === 'open') return [Infinity, Infinity]
  if (limits === 'short') return [0, at.function === 'diode' ? shortVolts : shortOhms]
  if ('atLeast' in limits) return [limits.atLeast, Infinity]
  if ('atMost' in limits) return [0, limits.atMost]
  return toleranceInterval(limits)
}

const figure = (value: number, at: NetPlacement): string =>
  (value === Infinity ? 'open' : inWords(Number(value.toPrecision(3)), at.function === 'diode' ? 'V' : 'Ω', null))

const rangeInWords = ([lo, hi]: readonly [number, number], at: NetPlacement): string => {
  if (lo === Infinity) return 'open'
  if (hi === Infinity) return `${figure(lo, at)} or more`
  return `${figure(lo, at)} to ${figure(hi, at)}`
}

/** `good`: readings of the nominal board. */
export const whyUntested = (
  board: BoardType, { fault, readings }: ShownFault, placements: readonly NetPlacement[], limits: readonly (Limits | null)[], good: Float64Array,
): { because: string; /** The part of the limits' width that the reading moves by, at its most; 0 where it does not. */ share: number } => {
  let [best, most] = [-1, leastChange]
  placements.forEach((at, index) => {
    const [value, usual, own] = [readings[index] ?? NaN, good[index] ?? NaN, limits[index] ?? null]
    if (own === null || own === 'open' || !Number.isFinite(value) || !Number.isFinite(usual)) return
    const [lo, hi] = boundsOf(own, at)
    const width = Number.isFinite(hi) ? hi - lo : usual
    const moved = Math.abs(value - usual) > leastChange * Math.max(Math.abs(value), Math.abs(usual)) ? Math.abs(value - usual) / width : 0
    if (moved > most) { best = index; most = moved }
  })
  const at = placements[best]
  if (at !== undefined) {
    const tips = [at.red, at.black].map((net) => tipFor(board, net, [])?.id ?? net)
    const because = `It shows most from ${tips.join(' to ')} in ${at.function === 'diode' ? 'diode test' : 'resistance'}, ${figure(readings[best] ?? NaN, at)}, `
      + `where a good board reads ${rangeInWords(boundsOf(limits[best] ?? 'open', at), at)}.`
    return { because, share: most }
  }
  const part = board.parts.find(({ ref }) => ref === fault.ref)
  const reachable = new Set(reachableNets(board))
  const hidden = [...new Set(Object.values(part?.pins ?? {}))].filter((net) => !reachable.has(net))
  if (hidden.length > 0) return { because: `No tip reaches ${hidden.join(' and ')}: there is no test point.`, share: 0 }
  if (part?.kind === 'capacitor' && (fault.kind === 'open' || fault.kind === 'drifted')) {
    return { because: 'A capacitor carries no direct current: measure its capacitance, or replace it as a precaution.', share: 0 }
  }
  return { because: 'It reads like a good board at every pair of test points.', share: 0 }
}
