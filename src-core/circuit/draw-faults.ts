/** Hidden faults drawn from a seed as a surge would choose them, for the practice bench and for scoring alike. */
import type { BoardType } from '../board/board-type'
import { failedSteps } from './failed-steps'
import { drawnRanges, placesFor, priorsOf, upwardShare } from './fault-priors'
import type { FaultKind, PartFault } from './faults'
import { neighbouringNets } from './neighbours'
import type { StrayLeak } from './network'
import type { Random } from './seeded-random'

const between = ([low, high]: readonly [number, number], random: Random): number => low * Math.pow(high / low, random())
const three = (value: number): number => Number(value.toPrecision(3))

const drawn = (ref: string, pin: string | null, kind: FaultKind, random: Random): PartFault => {
  const at = { ref, pin }
  switch (kind) {
    case 'open': case 'reversed': return { ...at, kind }
    case 'short': return { ...at, kind, ohms: three(between(drawnRanges.shortOhms, random)) }
    case 'leaky': return { ...at, kind, ohms: three(between(drawnRanges.leakOhms, random)) }
    case 'drifted': return { ...at, kind, factor: three(between(drawnRanges.driftFactors, random) ** (random() < upwardShare ? 1 : -1)) }
  }
}

/**
 * `count` faults of different parts, parts and kinds by their priors; fewer where the board has fewer parts that can fail. `random` gives numbers in
 * [0, 1); `readily` multiplies the weight of a part.
 */
export const drawFaultSet = (board: BoardType, random: Random, count: number, readily: (ref: string) => number = () => 1): PartFault[] => {
  const faults: PartFault[] = []
  let left = priorsOf(board).map((prior) => ({ ...prior, weight: prior.weight * readily(prior.part.ref) }))
  while (faults.length < count && left.length > 0) {
    let at = random() * left.reduce((sum, { weight }) => sum + weight, 0)
    const chosen = left.find(({ weight }) => { at -= weight; return at < 0 })
    if (chosen === undefined) continue
    const { part, kind } = chosen
    const places = placesFor(part, kind)
    faults.push(drawn(part.ref, places[Math.floor(random() * places.length)] ?? null, kind, random))
    left = left.filter((one) => one.part !== part)
  }
  return faults
}

/** A leak of the board itself on a fifth of all boards, between neighbouring nets. */
export const drawStrays = (board: BoardType, random: Random): StrayLeak[] => {
  const pairs = neighbouringNets(board)
  const nets = pairs[Math.floor(random() * pairs.length)]
  const ohms = three(between(drawnRanges.strayOhms, random))
  return random() < drawnRanges.strayShare && nets !== undefined ? [{ nets, ohms }] : []
}

/** A board with one to five faults, equally often, and perhaps a stray leak, which is nobody's fault. */
export const drawCase = (board: BoardType, random: Random): { faults: PartFault[]; strays: StrayLeak[] } => {
  const faults = drawFaultSet(board, random, 1 + Math.floor(random() * drawnRanges.mostFaults))
  return { faults, strays: drawStrays(board, random) }
}

const mostTries = 200

/**
 * `count` faults, of which at least one step of the sequence would fail, as far as the board file has limits; where it has none, any. Empty only
 * where no part of the board can be given a fault that its sequence shows.
 */
export const drawFaults = (board: BoardType, random: Random, count = 1): PartFault[] => {
  const measures = board.sequence.steps.filter((step) => step.kind === 'measure')
  const limited = measures.length === 0 || measures.some((step) => step.kind === 'measure' && step.limits !== undefined)
  for (let tried = 0; tried < mostTries; tried += 1) {
    const faults = drawFaultSet(board, random, count)
    if (faults.length > 0 && (!limited || failedSteps(board, faults).length > 0)) return faults
  }
  return []
}
