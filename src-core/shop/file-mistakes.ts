/** Mistakes a board file may hold: what each would mean for the circuit, and how it is said. */
import type { BoardType, Part } from '../board/board-type'
import { kindInWords, placesOf } from '../board/part-places'
import type { PartKind } from '../board/part'
import { allowedFaults, type Fault } from '../circuit/faults'
import { inWords } from '../quantity/engineering'
import type { UnitSymbol } from '../meter/reading'

/**
 * As the boards seem to be, against the file. `factor`: times the value of the file. `joined`: two nets of the file are one. `pin`: it lies on another
 * net than the file says. `absent`: the file has a part that the boards have not.
 */
export type FileMistake =
  | { kind: 'value'; ref: string; factor: number } | { kind: 'turned'; ref: string } | { kind: 'model'; ref: string; as: PartKind }
  | { kind: 'absent'; ref: string } | { kind: 'pin'; ref: string; pin: string; net: string } | { kind: 'joined'; nets: [string, string] }

/** The board as it would then be: another file, or the same with what stands for the mistake in its network. */
export type Corrected = { board: BoardType; faults: Fault[] }

const joinOhms = 1e-3

const withPart = (board: BoardType, ref: string, change: (part: Part) => Part): BoardType =>
  ({ ...board, parts: board.parts.map((part) => (part.ref === ref ? change(part) : part)) })

export const corrected = (board: BoardType, mistake: FileMistake): Corrected => {
  switch (mistake.kind) {
    case 'value': return { board, faults: [{ ref: mistake.ref, pin: null, kind: 'drifted', factor: mistake.factor }] }
    case 'turned': return { board, faults: [{ ref: mistake.ref, pin: null, kind: 'reversed' }] }
    case 'absent': return { board, faults: [{ ref: mistake.ref, pin: null, kind: 'open' }] }
    case 'joined': return { board, faults: [{ kind: 'bridge', nets: mistake.nets, ohms: joinOhms }] }
    case 'model': return { board: withPart(board, mistake.ref, (part) => ({ ...part, kind: mistake.as, parameters: undefined })), faults: [] }
    case 'pin': return { board: withPart(board, mistake.ref, (part) => ({ ...part, pins: { ...part.pins, [mistake.pin]: mistake.net } })), faults: [] }
  }
}

/** Kinds that are taken for one another in a parts list: two pins named alike, other junctions. */
const alike: readonly PartKind[] = ['diode', 'rectifier', 'schottky', 'led', 'zener', 'tvs']

export const valueMayBeWrong = (part: Part): boolean => allowedFaults(part.kind).includes('drifted') && placesOf(part).length > 0

/** Every single mistake but that of a value, whose figure is to be found. Nets that only test points are on are no part's. */
export const structuralMistakes = (board: BoardType): FileMistake[] => {
  const nets = [...new Set(board.parts.flatMap(({ pins }) => Object.values(pins)))]
  const perPart = board.parts.flatMap((part): FileMistake[] => {
    const kinds = allowedFaults(part.kind)
    const pins = part.kind === 'connector' ? [] : Object.keys(part.pins)
    return [
      ...(kinds.includes('reversed') ? [{ kind: 'turned' as const, ref: part.ref }] : []),
      ...(kinds.includes('open') ? [{ kind: 'absent' as const, ref: part.ref }] : []),
      ...(alike.includes(part.kind) ? alike.filter((as) => as !== part.kind).map((as) => ({ kind: 'model' as const, ref: part.ref, as })) : []),
      ...pins.flatMap((pin) => nets.filter((net) => !Object.values(part.pins).includes(net)).map((net) => ({ kind: 'pin' as const, ref: part.ref, pin, net }))),
    ]
  })
  const pairs = nets.flatMap((one, at) => nets.slice(at + 1).map((other): FileMistake => ({ kind: 'joined', nets: [one, other] })))
  return [...perPart, ...pairs]
}

/** Parts to look at: the one in question, or those on either net, fewest first. */
export const partsOf = (board: BoardType, mistake: FileMistake): string[] => {
  if (mistake.kind !== 'joined') return [mistake.ref]
  const on = (net: string): string[] => board.parts.filter(({ pins }) => Object.values(pins).includes(net)).map(({ ref }) => ref)
  const [one, other] = mistake.nets.map(on).sort((a, b) => a.length - b.length)
  return [...new Set([...(one ?? []), ...(other ?? [])])]
}

const units: Partial<Record<PartKind, UnitSymbol>> = { capacitor: 'F' }
const rough = (value: number): number => Number(value.toPrecision(2))

/** “R4: the boards read as if it were about 10 kΩ; the file says 1 kΩ.” */
export const mistakeInWords = (board: BoardType, mistake: FileMistake): string => {
  if (mistake.kind === 'joined') return `Nets ${mistake.nets[0]} and ${mistake.nets[1]}: the boards read as if they were one; the file has no connection between them.`
  const part = board.parts.find(({ ref }) => ref === mistake.ref)
  switch (mistake.kind) {
    case 'value': {
      const stated = part?.value
      const unit = units[part?.kind ?? 'resistor'] ?? 'Ω'
      return stated === undefined ? `${mistake.ref}: the boards read as if its ohms were ${rough(mistake.factor)} times what is usual for its kind; the file states no value.`
        : `${mistake.ref}: the boards read as if it were about ${inWords(rough(stated * mistake.factor), unit, null)}; the file says ${inWords(stated, unit, null)}.`
    }
    case 'turned': return `${mistake.ref}: the boards read as if it were the other way round than in the file; look at its anode and cathode.`
    case 'model': return `${mistake.ref}: the boards read as if it were ${kindInWords(mistake.as)}; the file says ${kindInWords(part?.kind ?? mistake.as)}.`
    case 'absent': return `${mistake.ref}: the boards read as if it were not there, or connected elsewhere.`
    case 'pin': return `${mistake.ref}: the boards read as if its pin ${mistake.pin} were on net ${mistake.net}; the file says ${part?.pins[mistake.pin] ?? 'none'}.`
  }
}
