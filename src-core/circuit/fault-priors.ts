/** How likely each kind of part is to have failed, and how, on a board that took a surge. Common practice, no source. */
import type { BoardType, Part } from '../board/board-type'
import type { PartKind } from '../board/part'
import { placesOf } from '../board/part-places'
import { allowedAt, type FaultKind } from './faults'

/** Relative to one another, over all parts of a board. */
export type Prior = { kind: FaultKind; weight: number }

const winding: readonly Prior[] = [{ kind: 'open', weight: 2 }, { kind: 'short', weight: 1 }]
const junction: readonly Prior[] =
  [{ kind: 'short', weight: 6 }, { kind: 'open', weight: 2 }, { kind: 'leaky', weight: 2 }, { kind: 'reversed', weight: 0.2 }]
const thermistor: readonly Prior[] = [{ kind: 'open', weight: 2 }, { kind: 'drifted', weight: 1 }]
const protector: readonly Prior[] = [{ kind: 'short', weight: 6 }, { kind: 'leaky', weight: 1 }]
const bipolar: readonly Prior[] = [{ kind: 'short', weight: 4 }, { kind: 'open', weight: 2 }, { kind: 'leaky', weight: 1 }]
const fieldEffect: readonly Prior[] = [{ kind: 'short', weight: 5 }, { kind: 'leaky', weight: 2 }, { kind: 'open', weight: 0.5 }]

export const faultPriors: Readonly<Record<PartKind, readonly Prior[]>> = {
  resistor: [{ kind: 'open', weight: 5 }, { kind: 'drifted', weight: 2 }],
  fuse: [{ kind: 'open', weight: 4 }],
  coil: winding, choke: winding, transformer: winding,
  capacitor: [{ kind: 'short', weight: 1 }, { kind: 'leaky', weight: 1 }],
  diode: junction, rectifier: junction, schottky: junction,
  zener: [{ kind: 'short', weight: 5 }, { kind: 'open', weight: 1 }, { kind: 'leaky', weight: 1 }],
  tvs: [{ kind: 'short', weight: 6 }, { kind: 'open', weight: 0.5 }, { kind: 'leaky', weight: 1 }],
  'two-way-protector': protector, varistor: protector, 'thyristor-protector': protector,
  'gas-tube': [{ kind: 'leaky', weight: 0.5 }, { kind: 'short', weight: 0.5 }],
  ic: [{ kind: 'short', weight: 3 }, { kind: 'leaky', weight: 3 }],
  contact: [{ kind: 'short', weight: 2 }], 'closed-contact': [{ kind: 'open', weight: 1 }],
  connector: [],
  ntc: thermistor, ptc: thermistor,
  'ferrite-bead': [{ kind: 'open', weight: 1 }], link: [{ kind: 'open', weight: 0.5 }],
  led: [{ kind: 'open', weight: 2 }, { kind: 'short', weight: 2 }, { kind: 'reversed', weight: 0.1 }],
  bridge: [{ kind: 'short', weight: 5 }, { kind: 'open', weight: 2 }, { kind: 'leaky', weight: 1 }],
  optocoupler: [{ kind: 'short', weight: 2 }, { kind: 'open', weight: 2 }, { kind: 'leaky', weight: 1 }],
  npn: bipolar, pnp: bipolar, 'n-mosfet': fieldEffect, 'p-mosfet': fieldEffect,
}

/** Of bridges between neighbouring nets, all of a board together, on the scale of the parts' weights: rare on a board that once worked. Common practice, no source. */
export const bridgeWeight = 1

/** The drawn faults of circuit.md; ohms and factors evenly in their logarithm. An open fault is drawn without any conduction at all. */
export const drawnRanges = { shortOhms: [0.05, 5], leakOhms: [50, 50_000], driftFactors: [1.5, 10], strayOhms: [1e5, 1e7], strayShare: 0.2, mostFaults: 5 } as const
/** Drifts that go up; the others go down by as much. */
export const upwardShare = 0.8

/** The places of a part that can have this kind of fault, any as likely as another; [null] for a part with one place. */
export const placesFor = (part: Part, kind: FaultKind): (string | null)[] =>
  placesOf(part).flatMap(({ place }) => (allowedAt(part, place).includes(kind) ? [place] : []))

/** Every kind of fault that every part of the board may be given, with its weight, in the order of the file. */
export const priorsOf = (board: BoardType): { part: Part; kind: FaultKind; weight: number }[] =>
  board.parts.flatMap((part) => faultPriors[part.kind].filter(({ kind }) => placesFor(part, kind).length > 0).map((prior) => ({ part, ...prior })))
