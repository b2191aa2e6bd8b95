/** What a meter should read at a placement on this board, good or with faults in it. */
import type { BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'
import type { Fault } from './faults'
import { genericSources, type MeterSource, type MeterSources } from './meter-source'
import { networkOf, type Network, type Spread } from './network'
import { solveNetwork } from './solve'

/** Ids of the test points under the tips. */
export type TipPlacement = { red: string; black: string }
/** `value` in SI of the function's unit; volts and amperes are those at the tips (0 where the function drives nothing). */
export type ExpectedReading =
  | { ok: true; value: number | 'overload'; volts: number; amperes: number }
  | { ok: false; because: string }

/** A capacitor with less than this across it is not seen by a capacitance function: the meter shows overload. */
const leastOhmsAcrossCapacitor = 100

type TipVolts = { ok: true; volts: number; amperes: number } | { ok: false; because: string }

/** Voltage and current at the tips: first the open-circuit voltage behind its ohms, and the limit where that drives more. */
export const atTheTips = (network: Network, source: MeterSource, plus: string, minus: string): TipVolts => {
  if (plus === minus) return { ok: true, volts: 0, amperes: Math.min(source.amperes, source.volts / source.ohms) }
  const free = solveNetwork(network, [{ kind: 'thevenin', plus, minus, volts: source.volts, ohms: source.ohms }], minus)
  if (!free.ok) return free
  const volts = free.volts.get(plus) ?? source.volts
  const amperes = (source.volts - volts) / source.ohms
  if (amperes <= source.amperes) return { ok: true, volts, amperes }
  const limited = solveNetwork(network, [{ kind: 'current', plus, minus, amperes: source.amperes }], minus)
  return limited.ok ? { ok: true, volts: limited.volts.get(plus) ?? 0, amperes: source.amperes } : limited
}

/** Capacitances that lie straight across two nets, in parallel, F. */
export const faradsAcross = (network: Network, a: string, b: string): number =>
  network.elements.reduce((sum, element) =>
    element.kind === 'capacitance' && ((element.from === a && element.to === b) || (element.from === b && element.to === a))
      ? sum + element.farads : sum, 0)

/** Same, from a network that is at hand already; `red` and `black` are nets. */
export const readsAcross = (
  network: Network, red: string, black: string, what: MeterFunction, sources: MeterSources = genericSources,
): ExpectedReading => {
  const driven = (source: MeterSource): { tips: TipVolts; sign: number } => {
    const [plus, minus] = source.plus === 'red' ? [red, black] : [black, red]
    return { tips: atTheTips(network, source, plus, minus), sign: source.plus === 'red' ? 1 : -1 }
  }
  switch (what) {
    case 'resistance':
    case 'continuity': {
      const source = sources[what]
      const { tips } = driven(source)
      if (!tips.ok) return tips
      const ohms = tips.amperes > 0 ? tips.volts / tips.amperes : Infinity
      return { ok: true, value: ohms > source.ceiling ? 'overload' : ohms, volts: tips.volts, amperes: tips.amperes }
    }
    case 'diode': {
      const { tips, sign } = driven(sources.diode)
      if (!tips.ok) return tips
      const value = tips.volts > sources.diode.ceiling ? 'overload' : sign * tips.volts
      return { ok: true, value, volts: tips.volts, amperes: tips.amperes }
    }
    case 'dc-voltage': return { ok: true, value: 0, volts: 0, amperes: 0 }
    case 'capacitance': {
      const { tips } = driven(sources.resistance)
      if (!tips.ok) return tips
      const shorted = tips.amperes > 0 && tips.volts / tips.amperes < leastOhmsAcrossCapacitor
      return { ok: true, value: shorted ? 'overload' : faradsAcross(network, red, black), volts: 0, amperes: 0 }
    }
    case 'ac-voltage': case 'inductance': case 'frequency': case 'temperature': case 'dc-current': case 'ac-current':
      return { ok: false, because: `What a meter reads in ${what} is not computed.` }
  }
}

const netOf = (board: BoardType, testPoint: string): string | null => board.testPoints.find((point) => point.id === testPoint)?.net ?? null

/**
 * The reading at a placement, with the supply off, the stores empty and the links open; dc-voltage is therefore 0.
 * Not ok: an unknown test point, a function that is not computed, or a network that does not settle; `because` says which.
 */
export const reads = (
  board: BoardType, faults: readonly Fault[], placement: TipPlacement, what: MeterFunction,
  options: { sources?: MeterSources; spread?: Spread } = {},
): ExpectedReading => {
  const [red, black] = [netOf(board, placement.red), netOf(board, placement.black)]
  if (red === null) return { ok: false, because: `${board.name} has no test point ${placement.red}.` }
  if (black === null) return { ok: false, because: `${board.name} has no test point ${placement.black}.` }
  return readsAcross(networkOf(board, faults, options.spread), red, black, what, options.sources)
}
