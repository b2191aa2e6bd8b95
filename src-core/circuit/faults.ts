/** Faults of a practice board as a person types them: "R4:open", "D5:leaky=1200", "U2.A:short". */
import type { BoardType, Part } from '../board/board-type'
import { inWords } from '../quantity/engineering'

/** `pin` limits the fault to one input of an IC or one winding of a choke (named by the pin it begins at). */
export type Fault = { ref: string; pin: string | null } & (
  | { kind: 'open' }
  | { kind: 'short'; ohms: number }
  | { kind: 'leaky'; ohms: number }
  | { kind: 'drifted'; factor: number }
  | { kind: 'reversed' }
)
export type FaultKind = Fault['kind']

export const usualShortOhms = 0.2

const allowed: Record<Part['kind'], FaultKind[]> = {
  resistor: ['open', 'short', 'leaky', 'drifted'],
  capacitor: ['open', 'short', 'leaky', 'drifted'],
  coil: ['open', 'short', 'leaky', 'drifted'],
  choke: ['open', 'short', 'leaky', 'drifted'],
  diode: ['open', 'short', 'leaky', 'reversed'],
  zener: ['open', 'short', 'leaky', 'reversed'],
  'two-way-protector': ['open', 'short', 'leaky'],
  fuse: ['open', 'short', 'leaky', 'drifted'],
  contact: ['short', 'leaky'],
  connector: [],
  ic: ['open', 'short', 'leaky', 'drifted'],
}

/** The kinds of fault a part of this kind can be given. */
export const allowedFaults = (kind: Part['kind']): readonly FaultKind[] => allowed[kind]

const example: Record<FaultKind, string> = {
  open: 'open', short: 'short (or short=0.5, in ohms)', leaky: 'leaky=1200 (in ohms)', drifted: 'drifted=2.2 (times its value)',
    reversed: 'reversed',
}

const choices = (part: Part): string => allowed[part.kind].map((kind) => example[kind]).join(', ')

/** The pins a fault may be limited to: inputs of an IC, first pins of a choke's windings. */
const pinsOf = (part: Part): string[] => {
  const pins = Object.keys(part.pins)
  if (part.kind === 'ic') return pins.filter((pin) => !negativeSupplyPins.includes(pin.toUpperCase()))
  if (part.kind === 'choke') return pins.filter((_, at) => at % 2 === 0)
  return []
}

/** Pin names that mean an IC's negative supply. */
export const negativeSupplyPins: readonly string[] = ['GND', 'VSS', 'VEE', '0V', 'V-', '-']

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

/** Reads one fault against the board it is for. A problem names the part and what is allowed there. */
export const parseFault = (board: BoardType, text: string): FaultParse => {
  const match = /^([^:=]+):([a-z]+)(?:=(.+))?$/.exec(text.trim())
  if (!match) return { problem: `"${text}" is not a fault. Write PART:FAULT, such as R4:open or D5:leaky=1200.` }
  const [, name = '', word = '', figure] = match
  const found = findPart(board, name)
  if (!found) {
    const refs = board.parts.filter((part) => allowed[part.kind].length > 0).map((part) => part.ref)
    return { problem: `"${text}": ${board.name} has no part ${name}. Its parts are ${refs.join(', ')}.` }
  }
  const { part, pin } = found
  if (pin !== null && !pinsOf(part).includes(pin)) {
    const pins = pinsOf(part)
    return { problem: pins.length > 0
      ? `"${text}": ${part.ref} has no ${part.kind === 'ic' ? 'input' : 'winding at pin'} ${pin}. Choose from ${pins.join(', ')}.`
      : `"${text}": a fault of ${part.ref} is not limited to a pin. Write ${part.ref}:${word}.` }
  }
  const kind = allowed[part.kind].find((one) => one === word)
  if (!kind) {
    return { problem: allowed[part.kind].length === 0
      ? `"${text}": ${part.ref} is a ${part.kind}, which gets no fault on the practice bench.`
      : `"${text}": ${part.ref} is a ${part.kind.replaceAll('-', ' ')}, which cannot be "${word}". Choose from ${choices(part)}.` }
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
  const at = fault.pin === null ? fault.ref : `${fault.ref}.${fault.pin}`
  switch (fault.kind) {
    case 'open':
    case 'reversed': return `${at}:${fault.kind}`
    case 'short': return fault.ohms === usualShortOhms ? `${at}:short` : `${at}:short=${fault.ohms}`
    case 'leaky': return `${at}:leaky=${fault.ohms}`
    case 'drifted': return `${at}:drifted=${fault.factor}`
  }
}

/** The fault as one says it: "R4 is open", "input IN of U1 is shorted (1.66 Ω)". */
export const faultInWords = (fault: Fault): string => {
  const where = fault.pin === null ? fault.ref : `${fault.ref}, at pin ${fault.pin},`
  switch (fault.kind) {
    case 'open': return `${where} is open`
    case 'short': return `${where} is shorted (${inWords(Number(fault.ohms.toPrecision(3)), 'Ω', null)})`
    case 'leaky': return `${where} leaks (${inWords(Number(fault.ohms.toPrecision(3)), 'Ω', null)})`
    case 'drifted': return `${where} has drifted to ${Number(fault.factor.toPrecision(3))} times its value`
    case 'reversed': return `${where} is fitted the wrong way round`
  }
}
