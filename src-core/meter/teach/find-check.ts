/** Searches the frames for a check value: a sum, an exclusive or or a CRC that is right in every frame heard. */
import { checkBits, checkBytes, checkOver, type CheckValue } from '../check-value'
import { hexOfBytes } from './example'

type Kind = (place: { from: number; to: number; at: number }) => CheckValue

const sums: Kind[] = ([8, 16] as const).flatMap((bits) => (['none', 'twos', 'ones'] as const).flatMap((complement) =>
  (bits === 8 ? ['high-first'] as const : ['high-first', 'low-first'] as const).map((order): Kind => (place) => ({ kind: 'sum', bits, complement, ...(bits === 8 ? {} : { order }), ...place }))))

/** Polynomials that are in general use, with the registers they start from (catalogues of CRCs list them; from memory). */
const crcs: Kind[] = [
  ...['07', '31', '1d', '9b', '2f', '39', 'd5'].flatMap((polynomial) => ['00', 'ff'].flatMap((initial) => [false, true].map((reflect): Kind => (place) =>
    ({ kind: 'crc', bits: 8, polynomial, initial, reflectIn: reflect, reflectOut: reflect, finalXor: '00', ...place })))),
  ...['1021', '8005', '3d65', '8bb7'].flatMap((polynomial) => ['0000', 'ffff'].flatMap((initial) => [false, true].flatMap((reflect) => ['0000', 'ffff'].flatMap((finalXor) =>
    (['high-first', 'low-first'] as const).map((order): Kind => (place) => ({ kind: 'crc', bits: 16, polynomial, initial, reflectIn: reflect, reflectOut: reflect, finalXor, order, ...place })))))),
]
const kinds: Kind[] = [(place) => ({ kind: 'xor', ...place }), ...sums, ...crcs]

/** More than this by chance, and it is not believed. */
const mostChance = 1e-6
const mostBehind = 3
const farthestStart = 4
const leastCovered = 3

const places = (length: number, bytes: number): { from: number; to: number; at: number }[] =>
  Array.from({ length: mostBehind + 1 }, (_, behind) => length - bytes - behind).flatMap((at) =>
    Array.from({ length: farthestStart + 1 }, (_, from) => ({ from, to: at - 1, at })).filter(({ from, to }) => to - from + 1 >= leastCovered))

export type FoundCheck = { check: CheckValue; bytes: number[] }

/** The last characters of every line: `digits` hex digits of a check value, and `behind` characters after them. */
export type LineCheck = { digits: number; behind: number }

type Prepared = { kind: Kind; over: ReturnType<typeof checkOver>; bytes: number; lowFirst: boolean }
let prepared: Prepared[] | null = null

/** Tables of the CRCs, made when they are first wanted: they depend on nothing. */
const allPrepared = (): Prepared[] => {
  prepared ??= kinds.map((kind) => {
    const sample = kind({ from: 0, to: 0, at: 0 })
    return { kind, over: checkOver(sample), bytes: checkBytes(sample), lowFirst: 'order' in sample && sample.order === 'low-first' }
  })
  return prepared
}

/** Where the check value would have to be right, and is. */
const placesThatHold = ({ kind, over, bytes, lowFirst }: Prepared, frames: readonly Uint8Array[], length: number): CheckValue[] => {
  const sent = (frame: Uint8Array, at: number): number => {
    const [first, second] = [frame[at] ?? 0, frame[at + 1] ?? 0]
    return bytes === 1 ? first : lowFirst ? second * 256 + first : first * 256 + second
  }
  return places(length, bytes).filter(({ from, to, at }) => frames.every((frame) => over(frame, from, to) === sent(frame, at))).map(kind)
}

/** Null when there is none, or too few different frames to tell one from chance. */
export const findCheck = (heard: readonly Uint8Array[]): FoundCheck | null => {
  const frames = [...new Map(heard.map((frame) => [hexOfBytes(frame), frame])).values()]
  const [first] = frames
  if (first === undefined) return null
  const changes = (at: number): boolean => frames.some((frame) => frame[at] !== first[at])
  const found = allPrepared().flatMap((each) => placesThatHold(each, frames, first.length)).filter((check) => {
    const sent = Array.from({ length: checkBytes(check) }, (_, index) => check.at + index)
    return sent.some(changes) && kinds.length * (mostBehind + 1) * (farthestStart + 1) * 2 ** (-checkBits(check) * (frames.length - 1)) < mostChance
  })
  const [best] = found.sort((a, b) => (b.to - b.from) - (a.to - a.from))
  return best === undefined ? null : { check: best, bytes: Array.from({ length: checkBytes(best) }, (_, index) => best.at + index) }
}

const hexTail = /[0-9A-Fa-f]+$/
const mostAfterHex = 1
/** A separator in front of the digits is counted in, or not. */
const mostBeforeHex = 1

/** Null when the lines end in no hex digits that are their check value, or too few different lines tell one from chance. */
export const findLineCheck = (heard: readonly Uint8Array[]): LineCheck | null => {
  const lines = [...new Map(heard.map((line) => [hexOfBytes(line), line])).values()]
  const sentIn = (line: Uint8Array, digits: number, behind: number): string | null => {
    const text = String.fromCharCode(...line.slice(Math.max(0, line.length - behind - digits), line.length - behind))
    return text.length === digits && hexTail.exec(text)?.[0].length === digits ? text : null
  }
  const holds = ({ over, bytes, lowFirst }: Prepared, behind: number, from: number, before: number): boolean => lines.every((line) => {
    const sent = sentIn(line, bytes * 2, behind)
    const to = line.length - behind - bytes * 2 - 1 - before
    if (sent === null || to - from + 1 < leastCovered) return false
    return over(line, from, to) === Number.parseInt(lowFirst ? sent.slice(2) + sent.slice(0, 2) : sent, 16)
  })
  const froms = Array.from({ length: farthestStart + 1 }, (_, from) => from)
  for (let behind = 0; behind <= mostAfterHex; behind += 1) {
    for (const each of allPrepared()) {
      const chance = kinds.length * (mostAfterHex + 1) * (mostBeforeHex + 1) * froms.length * 2 ** (-8 * each.bytes * lines.length)
      const changes = new Set(lines.map((line) => sentIn(line, each.bytes * 2, behind))).size > 1
      if (!changes || chance >= mostChance) continue
      if (froms.some((from) => [0, mostBeforeHex].some((before) => holds(each, behind, from, before)))) return { digits: each.bytes * 2, behind }
    }
  }
  return null
}
