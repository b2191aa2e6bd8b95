/** Faults as a person types them: "R4:open", "D5:leaky=1200", "U2.A:short", "Q1.base-emitter:open", "A_IN/B_IN:bridge=2". */
import type { BoardType, Part } from '../board/board-type'
import type { PartKind } from '../board/part'
import { placesOf } from '../board/part-places'
import { inWords } from '../quantity/engineering'

/**
 * Of a part: `pin` limits the fault to one of its places (board/part-places.ts): an input of an IC, a winding by the pin it begins at, a junction
 * by both pins; null: all of them. `drifted` stands for a wrong value too. A bridge joins two nets.
 */
export type PartFault = { ref: string; pin: string | null } & (
  | { kind: 'open' }
  | { kind: 'short'; ohms: number } & Estimated
  | { kind: 'leaky'; ohms: number } & Estimated
  | { kind: 'drifted'; factor: number } & Estimated
  | { kind: 'reversed' }
)
export type Bridge = { kind: 'bridge'; nets: [string, string]; ohms: number } & Estimated
/** `spread`: standard deviation of the natural logarithm of a figure that readings told; missing: the figure is stated. */
type Estimated = { spread?: number }
export type Fault = PartFault | Bridge
export type FaultKind = PartFault['kind']

export const usualShortOhms = 0.2

const valued: readonly FaultKind[] = ['open', 'short', 'leaky', 'drifted']
const oneWay: readonly FaultKind[] = ['open', 'short', 'leaky', 'reversed']
const unturned: readonly FaultKind[] = ['open', 'short', 'leaky']

const allowed: Record<PartKind, readonly FaultKind[]> = {
  resistor: valued, ntc: valued, ptc: valued, capacitor: valued, coil: valued, choke: valued, transformer: valued, fuse: valued, ic: valued,
  'ferrite-bead': ['open'], link: ['open'], 'closed-contact': ['open', 'drifted'], contact: ['short', 'leaky'], connector: [],
  diode: oneWay, rectifier: oneWay, schottky: oneWay, zener: oneWay, tvs: oneWay, led: oneWay,
  'two-way-protector': unturned, varistor: unturned, 'gas-tube': unturned, 'thyristor-protector': unturned,
  bridge: unturned, optocoupler: unturned, npn: unturned, pnp: unturned, 'n-mosfet': unturned, 'p-mosfet': unturned,
}

/** The kinds of fault a part of this kind can be given. */
export const allowedFaults = (kind: PartKind): readonly FaultKind[] => allowed[kind]

/** Places that a sound part leaves open for a meter, so that nothing there can open. */
const openWhenSound: readonly string[] = ['collector-emitter', 'gate-source']

/** The kinds of fault one place of a part can be given; null: the whole part. */
export const allowedAt = (part: Part, place: string | null): readonly FaultKind[] => {
  if (place === null) return allowed[part.kind]
  const driftless = part.kind === 'ic' && part.value === undefined && part.parameters?.pinOhms?.[place] === undefined
  return allowed[part.kind].filter((kind) => !(kind === 'open' && openWhenSound.includes(place)) && !(kind === 'drifted' && driftless))
}

/** The designator of the part at fault; null for a bridge, which is of no part. */
export const refOf = (fault: Fault): string | null => (fault.kind === 'bridge' ? null : fault.ref)

/** Whether both are of one place and kind, whatever their figures. */
export const sameKind = (a: Fault, b: Fault): boolean => {
  if (a.kind === 'bridge' || b.kind === 'bridge') {
    return a.kind === 'bridge' && b.kind === 'bridge' && [...a.nets].sort().join('/') === [...b.nets].sort().join('/')
  }
  return a.ref === b.ref && a.pin === b.pin && a.kind === b.kind
}

/** Whether both are one fault as it is told: of one place and kind, their figures no further apart than the wider of their spreads, and both of a drift up or both down. */
export const sameWithinSpread = (a: Fault, b: Fault): boolean => {
  if (!sameKind(a, b)) return false
  const figures = [a, b].flatMap((fault) => ('ohms' in fault ? [fault.ohms] : 'factor' in fault ? [fault.factor] : []))
  const [one, other] = figures
  if (one === undefined || other === undefined) return true
  const spread = Math.max(...[a, b].map((fault) => ('spread' in fault ? fault.spread ?? 0 : 0)))
  return Math.abs(Math.log(one / other)) <= spread && (a.kind !== 'drifted' || (one > 1) === (other > 1))
}

const example: Record<FaultKind, string> = {
  open: 'open', short: 'short (or short=0.5, in ohms)', leaky: 'leaky=1200 (in ohms)', drifted: 'drifted=2.2 (times its value)',
    reversed: 'reversed',
}

const choices = (kinds: readonly FaultKind[]): string => kinds.map((kind) => example[kind]).join(', ')

/** The places a fault may be limited to; none where the part has one place only. */
const namedPlaces = (part: Part): string[] => placesOf(part).flatMap(({ place }) => (place === null ? [] : [place]))
const placeWord = (part: Part): string => (part.kind === 'ic' ? 'input' : part.kind === 'choke' || part.kind === 'transformer' ? 'winding at pin' : 'junction')

export type FaultParse = { fault: Fault } | { problem: string }

const findPart = (board: BoardType, name: string): { part: Part; pin: string | null } | null => {
  const whole = board.parts.find((part) => part.ref === name)
  if (whole) return { part: whole, pin: null }
  const dot = name.lastIndexOf('.')
  const owner = dot > 0 ? board.parts.find((part) => part.ref === name.slice(0, dot)) : undefined
  return owner ? { part: owner, pin: name.slice(dot + 1) } : null
}

const numberOf = (text: string | undefined): number | null => {
  if (text === undefined || !/^\d+(\.\d+)?([eE][+-]?\d+)?$/.test(text)) return null
  const value = Number(text)
  return Number.isFinite(value) && value > 0 ? value : null
}

const parseBridge = (board: BoardType, text: string, nets: readonly string[], word: string, figure: string | undefined): FaultParse => {
  const [one = '', other = ''] = nets
  const missing = nets.find((net) => !board.nets.includes(net))
  const value = figure === undefined ? usualShortOhms : numberOf(figure)
  if (word !== 'bridge') return { problem: `"${text}": two nets can only be joined. Write ${one}/${other}:bridge.` }
  if (missing !== undefined) return { problem: `"${text}": ${board.name} has no net ${missing}. Its nets are ${board.nets.join(', ')}.` }
  if (one === other) return { problem: `"${text}": a bridge joins two nets, and both are ${one}.` }
  return value !== null ? { fault: { kind: 'bridge', nets: [one, other], ohms: value } }
    : { problem: `"${text}": write bridge, or bridge=2 with ohms above zero.` }
}

/** Reads one fault against the board it is for. A problem names the part and what is allowed there. */
export const parseFault = (board: BoardType, text: string): FaultParse => {
  const match = /^([^:=]+):([a-z]+)(?:=(.+))?$/.exec(text.trim())
  if (!match) return { problem: `"${text}" is not a fault. Write PART:FAULT, such as R4:open or D5:leaky=1200.` }
  const [, name = '', word = '', figure] = match
  const nets = name.split('/')
  if (nets.length === 2) return parseBridge(board, text, nets, word, figure)
  const found = findPart(board, name)
  if (!found) {
    const refs = board.parts.filter((part) => allowed[part.kind].length > 0).map((part) => part.ref)
    return { problem: `"${text}": ${board.name} has no part ${name}. Its parts are ${refs.join(', ')}.` }
  }
  const { part, pin } = found
  const pins = namedPlaces(part)
  if (pin !== null && !pins.includes(pin)) {
    return { problem: pins.length > 0
      ? `"${text}": ${part.ref} has no ${placeWord(part)} ${pin}. Choose from ${pins.join(', ')}.`
      : `"${text}": a fault of ${part.ref} is not limited to a pin. Write ${part.ref}:${word}.` }
  }
  const kinds = allowedAt(part, pin)
  const kind = kinds.find((one) => one === word)
  if (!kind) {
    return { problem: kinds.length === 0
      ? `"${text}": ${part.ref} is a ${part.kind}, which gets no fault on the practice bench.`
      : `"${text}": ${part.ref} is a ${part.kind.replaceAll('-', ' ')}, which cannot be "${word}". Choose from ${choices(kinds)}.` }
  }
  const value = numberOf(figure)
  const at = { ref: part.ref, pin }
  switch (kind) {
    case 'open':
    case 'reversed':
      return figure === undefined ? { fault: { ...at, kind } } : { problem: `"${text}": ${kind} takes no figure. Write ${name}:${kind}.` }
    case 'short':
      if (figure === undefined) return { fault: { ...at, kind, ohms: usualShortOhms } }
      return value !== null ? { fault: { ...at, kind, ohms: value } }
        : { problem: `"${text}": write short, or short=0.5 with ohms above zero.` }
    case 'leaky':
      return value !== null ? { fault: { ...at, kind, ohms: value } }
        : { problem: `"${text}": leaky needs its ohms, above zero, such as ${name}:leaky=1200.` }
    case 'drifted':
      return value !== null ? { fault: { ...at, kind, factor: value } }
        : { problem: `"${text}": drifted needs a factor above zero, such as ${name}:drifted=2.2.` }
  }
}

/** Reads several; all problems at once. */
export const parseFaults = (board: BoardType, texts: readonly string[]): { faults: Fault[] } | { problems: string[] } => {
  const parsed = texts.map((text) => parseFault(board, text))
  const problems = parsed.flatMap((one) => ('problem' in one ? [one.problem] : []))
  return problems.length > 0 ? { problems } : { faults: parsed.flatMap((one) => ('fault' in one ? [one.fault] : [])) }
}

/** The fault as it is typed; `parseFault` reads it back. */
export const faultText = (fault: Fault): string => {
  if (fault.kind === 'bridge') return `${fault.nets.join('/')}:bridge${fault.ohms === usualShortOhms ? '' : `=${fault.ohms}`}`
  const at = fault.pin === null ? fault.ref : `${fault.ref}.${fault.pin}`
  switch (fault.kind) {
    case 'open':
    case 'reversed': return `${at}:${fault.kind}`
    case 'short': return fault.ohms === usualShortOhms ? `${at}:short` : `${at}:short=${fault.ohms}`
    case 'leaky': return `${at}:leaky=${fault.ohms}`
    case 'drifted': return `${at}:drifted=${fault.factor}`
  }
}

/** Rounding an estimated figure may err by this share of its spread, and so widens it by 8 % at most: √(1 + 0.4²). Our choice. */
const roundedWithin = 0.4

/** A stated figure to three digits; an estimated one to the fewest, up to three, that rounding errs little enough in; null: (k = 2) it may as well be twice that. */
const roundedFigure = (value: number, spread: number | undefined): number | null => {
  if (spread !== undefined && 2 * spread > Math.LN2) return null
  const [one, two, three] = [1, 2, 3].map((digits) => Number(value.toPrecision(digits))) as [number, number, number]
  return spread === undefined ? three : [one, two].find((rounded) => Math.abs(rounded - value) <= roundedWithin * spread * value) ?? three
}
const aboutWord = (spread: number | undefined): string => (spread === undefined ? '' : 'about ')

/** " (about 0.5 Ω)"; empty where nothing near it is known. */
const ohmsInWords = ({ ohms, spread }: { ohms: number } & Estimated): string => {
  const rounded = roundedFigure(ohms, spread)
  return rounded === null ? '' : ` (${aboutWord(spread)}${inWords(rounded, 'Ω', null)})`
}

/** From this spread on (k = 2) only one digit is known. */
const coarseSpread = 0.05

/** "to about 1.46 times its value", "up, to about 1.4 times its value", "up": which way alone where the figure (k = 2) may as well be 1. */
const driftInWords = ({ factor, spread }: { factor: number } & Estimated): string => {
  const rounded = roundedFigure(factor, spread)
  const way = factor > 1 ? 'up' : 'down'
  if (rounded === null || (rounded === 1 && factor !== 1) || (spread !== undefined && 2 * spread >= Math.abs(Math.log(factor)))) return way
  return `${(spread ?? 0) > coarseSpread ? `${way}, ` : ''}to ${aboutWord(spread)}${rounded} times its value`
}

/** The fault as one says it: "R4 is open", "input IN of U1 is shorted (1.66 Ω)". */
export const faultInWords = (fault: Fault): string => {
  if (fault.kind === 'bridge') return `a bridge joins nets ${fault.nets.join(' and ')}${ohmsInWords(fault)}`
  const [from, to] = fault.pin?.split('-') ?? []
  const where = fault.pin === null ? fault.ref
    : to === undefined || from === '' || to === '' ? `${fault.ref}, at pin ${fault.pin},` : `${fault.ref}, from ${from} to ${to},`
  switch (fault.kind) {
    case 'open': return `${where} is open`
    case 'short': return `${where} is shorted${ohmsInWords(fault)}`
    case 'leaky': return `${where} leaks${ohmsInWords(fault)}`
    case 'drifted': return `${where} has drifted ${driftInWords(fault)}`
    case 'reversed': return `${where} is fitted the wrong way round`
  }
}
