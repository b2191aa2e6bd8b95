/** One circuit that holds every state of every part of a board: each element has a slot, and a state of a part is what stands in its slots. */
import type { BoardType, Part } from '../../board/board-type'
import type { Element, Junction } from '../elements'
import type { Fault } from '../faults'
import { networkOf, type NetworkOptions } from '../network'
import { spreadsOf } from '../spread'
import { type Cell, faultOf } from './cells'

/** What a slot holds where its part's state has nothing there: below anything a meter shows. */
const absentOhms = 1e16
const absentSiemens = 1 / absentOhms

/** An unknown of the board: the logarithm of a factor, normal about 0 with this standard deviation. */
export type SpreadUnknown = { key: string; ref: string; sd: number }

/** `unknown`: which of the board's unknowns moves its logarithm, −1 for none, and with which sign. `figure`: how the cell's own figure does. */
export type ResistanceSetting = { kind: 'resistance'; slot: number; lnSiemens: number; unknown: number; figure: number }
export type JunctionSetting = { kind: 'junction'; slot: number; junction: Junction; lnAmperes: number; unknown: number }
export type Setting = ResistanceSetting | JunctionSetting

export type Slots = {
  /** The whole circuit; slots are places in it. */
  elements: Element[]
  unknowns: SpreadUnknown[]
  /** Per part of the board: what its slots hold while it is sound. */
  sound: Setting[][]
  /** Per cell: what changes in the slots of its part; and the place of that part in `sound`, −1 where it has none. */
  ofCell: { part: number; settings: Setting[]; /** Those that differ from the sound part's. */ changes: Setting[] }[]
  /** Slots for conductances between nets of no part; their ends are moved to where they are wanted. */
  spare: number[]
}

const root3 = Math.sqrt(3)
/** A factor from 1 − w to 1 + w, or from 1/w to w in the logarithm, has this standard deviation of its logarithm. */
const unknownsOf = (board: BoardType): SpreadUnknown[] => spreadsOf(board)
  .filter(({ key, width, law }) => !key.endsWith('.breakdown') && width > (law === 'even' ? 0 : 1))
  .map(({ key, ref, law, width }) => ({ key, ref, sd: (law === 'even' ? width : Math.log(width)) / root3 }))

const bump = 1.01
const moves = (now: number, then: number): number => Math.round(100 * Math.log(then / now) / Math.log(bump)) / 100

const slotKey = (element: Element): string => (element.kind === 'junction' ? `${element.anode}>${element.cathode}`
  : [element.from, element.to].sort().join('-'))

/** Names the elements of one state, the second of a kind between the same nets apart from the first. */
const keyed = (ref: string, elements: readonly Element[]): [string, Element][] => {
  const seen = new Map<string, number>()
  return elements.filter(({ kind }) => kind !== 'capacitance').map((element) => {
    const key = slotKey(element)
    const nth = seen.get(key) ?? 0
    seen.set(key, nth + 1)
    return [`${ref} ${key} ${nth}`, element]
  })
}

const absent = (element: Element): Element => (element.kind === 'junction'
  ? { ...element, forward: null, reverse: null, leakageSiemens: absentSiemens, seriesOhms: 0 }
  : element.kind === 'resistance' ? { ...element, ohms: absentOhms } : element)

const lnOf = (element: Element): number => (element.kind === 'resistance' ? -Math.log(element.ohms)
  : element.kind === 'junction' && element.forward !== null ? Math.log(element.forward.amperes) : -Infinity)

const alike = (one: Setting, other: Setting | undefined): boolean => (one.kind === 'resistance'
  ? other?.kind === 'resistance' && one.lnSiemens === other.lnSiemens && one.unknown === other.unknown && one.figure === other.figure
  : other?.kind === 'junction' && one.lnAmperes === other.lnAmperes && (one.junction.forward === null) === (other.junction.forward === null)
    && (one.junction.reverse === null) === (other.junction.reverse === null))

const figureStep = Math.log(bump)

/** `elements` of the circuit come in the order of the parts; capacitances are left out: they carry no direct current. */
export const slotsOf = (board: BoardType, cells: readonly Cell[], options: NetworkOptions, spares: number): Slots => {
  const unknowns = unknownsOf(board)
  const elements: Element[] = []
  const slots = new Map<string, number>()
  const slotOf = (key: string, element: Element): number => {
    const known = slots.get(key)
    if (known !== undefined) return known
    elements.push(absent(element))
    slots.set(key, elements.length - 1)
    return elements.length - 1
  }
  const alone = (part: Part, faults: readonly Fault[], spread: Record<string, number>): [string, Element][] =>
    keyed(part.ref, networkOf({ ...board, parts: [part] }, faults, { ...options, spread }).elements)

  const settingsOf = (part: Part, fault: Fault | null, bumped: Fault | null): Map<number, Setting> => {
    const faults = fault === null ? [] : [fault]
    const plain = alone(part, faults, {})
    const moved = unknowns.flatMap(({ key, ref }, at) => (ref === part.ref ? [{ at, to: new Map(alone(part, faults, { [key]: bump })) }] : []))
    const other = bumped === null ? null : new Map(alone(part, [bumped], {}))
    return new Map(plain.map(([key, element]): [number, Setting] => {
      const slot = slotOf(key, element)
      const ln = lnOf(element)
      const mover = moved.find(({ to }) => { const then = to.get(key); return then !== undefined && Math.abs(lnOf(then) - ln) > 1e-9 })
      if (element.kind === 'junction') return [slot, { kind: 'junction', slot, junction: element, lnAmperes: ln, unknown: mover?.at ?? -1 }]
      const then = other?.get(key)
      const figure = then === undefined ? 0 : moves(1, Math.exp(lnOf(then) - ln))
      return [slot, { kind: 'resistance', slot, lnSiemens: ln, unknown: mover?.at ?? -1, figure }]
    }))
  }
  const empty = (slot: number): Setting => {
    const element = elements[slot]
    return element?.kind === 'junction' ? { kind: 'junction', slot, junction: element, lnAmperes: -Infinity, unknown: -1 }
      : { kind: 'resistance', slot, lnSiemens: Math.log(absentSiemens), unknown: -1, figure: 0 }
  }

  const soundMaps = board.parts.map((part) => settingsOf(part, null, null))
  const cellMaps = cells.map((cell) => {
    const part = board.parts.findIndex(({ ref }) => ref === cell.ref)
    const own = board.parts[part]
    if (own === undefined) return { part: -1, map: new Map<number, Setting>() }
    const mean = cell.figure?.mean ?? 0
    const fault = faultOf(cell, mean)
    const bumped = cell.figure === null ? null : faultOf(cell, mean + figureStep)
    return { part, map: settingsOf(own, fault, bumped) }
  })
  // A state that has nothing in a slot another state fills holds the absent value there.
  const ownSlots = board.parts.map((_, at) => new Set([...soundMaps[at]?.keys() ?? [], ...cellMaps.flatMap(({ part, map }) => (part === at ? [...map.keys()] : []))]))
  const full = (map: ReadonlyMap<number, Setting>, own: ReadonlySet<number>): Setting[] => [...own].map((slot) => map.get(slot) ?? empty(slot))
  const sound = soundMaps.map((map, at) => full(map, ownSlots[at] ?? new Set()))
  const ofCell = cellMaps.map(({ part, map }) => {
    const settings = part < 0 ? [] : full(map, ownSlots[part] ?? new Set())
    return { part, settings, changes: settings.filter((setting, at) => !alike(setting, sound[part]?.[at])) }
  })

  // Ties make one component of all nets, so that a stray leak or a bridge may join any two of them.
  const [hub] = board.nets
  const named = new Set([...board.nets, ...elements.flatMap((element) => (element.kind === 'junction' ? [element.anode, element.cathode] : [element.from, element.to]))])
  for (const net of named) if (hub !== undefined && net !== hub) elements.push({ kind: 'resistance', part: '', from: hub, to: net, ohms: absentOhms })
  const other = [...named].find((net) => net !== hub)
  const spare: number[] = []
  for (let at = 0; at < spares && hub !== undefined && other !== undefined; at += 1) {
    elements.push({ kind: 'resistance', part: '', from: hub, to: other, ohms: absentOhms })
    spare.push(elements.length - 1)
  }
  return { elements, unknowns, sound, ofCell, spare }
}
