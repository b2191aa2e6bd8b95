/** The board as a network: its parts as two-terminal elements between nets, with the board's state, faults, deviations and temperature in them. */
import type { BoardType, Part } from '../board/board-type'
import { legId } from '../board/lifted-leg'
import type { Element, Network, Resistance } from './elements'
import type { Fault, PartFault } from './faults'
import { statedCelsius } from './junction-law'
import { jumperOhms } from './part-parameters'
import { type Piece, piecesOf } from './part-pieces'
import type { ReadingsFile } from './readings-file'
import { factorsOf, type Spread } from './spread'

export type BoardState = ReadingsFile['state']
/** A leak of the board itself, of no part: dirt or damp between two nets. */
export type StrayLeak = { nets: [string, string]; ohms: number }
export type NetworkOptions = { spread?: Spread; state?: BoardState; celsius?: number; strays?: readonly StrayLeak[] }

/** The net a lifted pin is on, alone with the part: no net of a board file can have this name. */
export const liftedNet = legId

const turned = (element: Element): Element =>
  element.kind === 'junction' ? { ...element, anode: element.cathode, cathode: element.anode } : element

const drifted = (element: Element, factor: number): Element => {
  switch (element.kind) {
    case 'resistance': return { ...element, ohms: element.ohms * factor }
    case 'capacitance': return { ...element, farads: element.farads * factor }
    case 'junction': return element
  }
}

const liesBetween = (element: Element, one: string, other: string): boolean => {
  const ends = element.kind === 'junction' ? [element.anode, element.cathode] : [element.from, element.to]
  return ends.includes(one) && ends.includes(other)
}

const withFault = ({ from, to, sound }: Piece, fault: PartFault): Element[] => {
  const across = (ohms: number): Element => ({ kind: 'resistance', part: fault.ref, from, to, ohms })
  switch (fault.kind) {
    case 'open': return []
    case 'short': return [...sound.filter((element) => !liesBetween(element, from, to)), across(fault.ohms)]
    case 'leaky': return [...sound, across(fault.ohms)]
    case 'drifted': return sound.map((element) => drifted(element, fault.factor))
    case 'reversed': return sound.map(turned)
  }
}

/** Parts that a wire across their pins bridges; the others have more than two ends. */
const jumperable = (part: Part, pieces: readonly Piece[]): boolean => pieces.length === 1 || part.kind === 'choke'

const asWired = ({ pins }: Part) => (pin: string): string => pins[pin] ?? ''

/** The pieces of a part at its usual figures, 25 °C and with no pin lifted, which is how most networks have most parts. */
const usualPieces = new WeakMap<Part, readonly Piece[]>()
const piecesAsUsual = (part: Part): readonly Piece[] => {
  const pieces = usualPieces.get(part) ?? piecesOf(part, asWired(part), { value: 1, junctions: 1, breakdown: 1 }, statedCelsius)
  usualPieces.set(part, pieces)
  return pieces
}

const elementsOf = (part: Part, faults: readonly Fault[], options: NetworkOptions): Element[] => {
  const { spread = {}, state = [], celsius = statedCelsius } = options
  const states = state.length === 0 ? state : state.filter(({ ref }) => ref === part.ref)
  if (states.some(({ is }) => is === 'removed')) return []
  const lifted = states.flatMap((one) => (one.is === 'lifted' ? [one.pin] : []))
  const netOf = (pin: string): string => (lifted.includes(pin) ? liftedNet(part.ref, pin) : part.pins[pin] ?? liftedNet(part.ref, pin))
  const wire = (from: string, to: string): Resistance => ({ kind: 'resistance', part: part.ref, from, to, ohms: jumperOhms })
  const joined = states.some(({ is }) => is === 'jumpered')
  if (part.kind === 'connector') {
    const [first, second, ...more] = Object.keys(part.pins)
    const closed = joined || states.some(({ is }) => is === 'fitted')
    return closed && first !== undefined && second !== undefined && more.length === 0 ? [wire(netOf(first), netOf(second))] : []
  }
  const pieces = options.spread === undefined && lifted.length === 0 && celsius === statedCelsius ? piecesAsUsual(part)
    : piecesOf(part, netOf, factorsOf(part, spread), celsius)
  const across = joined && jumperable(part, pieces) ? pieces.map(({ from, to }) => wire(from, to)) : []
  const own = faults.filter((one): one is PartFault => one.kind !== 'bridge' && one.ref === part.ref)
  return [...pieces.flatMap((piece) => {
    const fault = own.findLast(({ pin }) => pin === null || pin === piece.place)
    return fault === undefined ? piece.sound : withFault(piece, fault)
  }), ...across]
}

/**
 * The network of a board with nothing supplied. Links that are connectors are pulled unless the state says fitted or jumpered; contacts are at rest.
 * A place of a part has one fault: the last that names it counts. Of several states of a part, removed outweighs the rest. `celsius`: 25 unless given.
 */
export const networkOf = (board: BoardType, faults: readonly Fault[], options: NetworkOptions = {}): Network => {
  const joining = [...faults.filter((fault) => fault.kind === 'bridge'), ...options.strays ?? []]
  return { elements: [
    ...board.parts.flatMap((part) => elementsOf(part, faults, options)),
    ...joining.map(({ nets: [from, to], ohms }): Element => ({ kind: 'resistance', part: `${from}/${to}`, from, to, ohms })),
  ] }
}
