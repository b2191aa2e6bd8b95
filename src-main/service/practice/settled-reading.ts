/** What the practice meter would settle to with the hand as it is, and how long the board takes to get there. */
import type { BoardType } from '../../../src-core/board/board-type'
import { netOfTip } from '../../../src-core/board/lifted-leg'
import type { Network } from '../../../src-core/circuit/elements'
import { readsAcross } from '../../../src-core/circuit/expected-reading'
import { faradsAcross } from '../../../src-core/circuit/read'
import { type Hand, inTheAir, isFixturePlace } from '../../../src-core/practice/hand'

/** SI; `tau` is the time constant of the approach from an empty capacitor, 0 where there is none. */
export type Settled = { value: number | 'overload'; tau: number }

export const leadOhms = 0.12
export const knownDiodeVolts = 0.58
export const knownSourceVolts = 1.55
export const residualVolts = 0.0004
/** Stray capacitance of the leads in the air, F. Common practice, no source: a few tens of picofarads. */
export const strayFarads = 3e-11

const overload: Settled = { value: 'overload', tau: 0 }
const still = (value: number): Settled => ({ value, tau: 0 })

const air = (hand: Hand): Settled => {
  switch (hand.function) {
    case 'dc-voltage': case 'ac-voltage': case 'dc-current': case 'ac-current': case 'frequency': return still(0)
    case 'capacitance': return still(strayFarads)
    case 'resistance': case 'continuity': case 'diode': case 'inductance': case 'temperature': return overload
  }
}

const onFixture = (hand: Hand, fixture: 'leads-joined' | 'known-diode' | 'known-source', reversed: boolean): Settled => {
  const sign = reversed ? -1 : 1
  switch (fixture) {
    case 'leads-joined':
      if (hand.function === 'capacitance') return overload
      return still(hand.function === 'resistance' || hand.function === 'continuity' ? leadOhms : 0)
    case 'known-diode': return hand.function === 'diode' && !reversed ? still(knownDiodeVolts) : air(hand)
    case 'known-source': return hand.function === 'dc-voltage' ? still(sign * knownSourceVolts) : overload
  }
}

const netOf = (board: BoardType, id: string): string => {
  const net = netOfTip(board, id)
  if (net === null) throw new Error(`${board.name} has no test point ${id}; the practice hand cannot go there.`)
  return net
}

const residual = (board: BoardType, red: string, black: string): number => {
  const across = (from: string, to: string): boolean =>
    board.energyStores.some((store) => netOf(board, store.red) === from && netOf(board, store.black) === to)
  return across(red, black) ? residualVolts : across(black, red) ? -residualVolts : 0
}

/** @param live volts across two nets of a board under power; null: it is under none. @throws Error for a test point the board does not have, or a network that does not settle. */
export const settledReading = (board: BoardType, network: Network, hand: Hand, live: (red: string, black: string) => number | null = () => null): Settled => {
  const { tips } = hand
  if (tips === 'lifted' || inTheAir(tips)) return air(hand)
  if ('fixture' in tips) return tips.fixture === 'leads-apart' ? air(hand) : onFixture(hand, tips.fixture, tips.reversed)
  const { leads } = tips
  if (leads.red === null || leads.black === null) return air(hand)
  // Both tips on one end of a fixture touch each other.
  if (isFixturePlace(leads.red)) return onFixture(hand, 'leads-joined', false)
  const [red, black] = [netOf(board, leads.red), netOf(board, leads.black)]
  if (hand.function === 'dc-voltage') return still(live(red, black) ?? residual(board, red, black))
  if (hand.function === 'ac-voltage') return still(0)
  const expected = readsAcross(network, red, black, hand.function)
  if (!expected.ok) throw new Error(`The practice board has no answer at ${leads.red} and ${leads.black}: ${expected.because}`)
  if (hand.function === 'capacitance') return expected.value === 'overload' ? overload : still(expected.value + strayFarads)
  if (expected.value === 'overload') return overload
  const seen = expected.amperes > 0 ? expected.volts / expected.amperes : 0
  const behind = expected.range?.ohms ?? 0
  const tau = faradsAcross(network, red, black) * ((seen * behind) / (seen + behind))
  const lead = hand.function === 'diode' ? leadOhms * expected.amperes : leadOhms
  return { value: expected.value + lead, tau }
}
