/** Finds the segments of a display in the bits of its frames: a bit is a segment when it is on with every figure that has it. */
import type { SegmentPlaces, ValueField } from '../framing'
import { bitName, fits, isConstant, type Columns, type Wanted } from './bit-columns'
import { segmentLetters, shapeSets, type SegmentLetter, type Shapes } from './segment-shapes'

/** Digits at each example from left to right, blanks in front; null where the display shows no figure. */
export type Digits = readonly (string | null)[]

export type FoundSegments = {
  field: Extract<ValueField, { kind: 'segments' }>
  /** Every bit of the digits, and what it is. */
  meaning: Map<number, string>
  /** Segments that two bits or more could still be, or that were never seen to change. */
  open: { digit: number; segment: SegmentLetter }[]
}

type Sought = { digit: number; segment: SegmentLetter; candidates: number[]; seen: boolean }

const wantedAt = (digits: Digits, shapes: Shapes, digit: number, segment: SegmentLetter, inverted: boolean): Wanted =>
  digits.map((text) => (text === null ? null : (shapes[text[digit] ?? ' '] ?? '').includes(segment) !== inverted))

/** A segment with one bit takes it from the others, until nothing more follows. */
const settled = (sought: readonly Sought[]): Sought[] => {
  let present = [...sought]
  for (;;) {
    const taken = new Set(present.flatMap(({ candidates }) => (candidates.length === 1 ? candidates : [])))
    const next = present.map((each) => (each.candidates.length === 1 ? each : { ...each, candidates: each.candidates.filter((bit) => !taken.has(bit)) }))
    if (next.every((each, at) => each.candidates.length === present[at]?.candidates.length)) return next
    present = next
  }
}

const reachable = (digit: number, mostFirst: number): number[] => Array.from({ length: (digit === 0 ? mostFirst : 9) + 1 }, (_, figure) => figure)

/** Segments that are on together with every figure this digit can show need not be told apart: each takes one of their bits. */
const sharedOut = (sought: readonly Sought[], shapes: Shapes, mostFirst: number): Sought[] => sought.map((each) => {
  if (each.candidates.length < 2) return each
  const signature = (segment: SegmentLetter): string => reachable(each.digit, mostFirst).map((figure) => (shapes[figure] ?? '').includes(segment)).join()
  const group = sought.filter((other) => other.digit === each.digit && signature(other.segment) === signature(each.segment) && other.candidates.join() === each.candidates.join())
  const own = each.candidates[group.indexOf(each)]
  return group.length === each.candidates.length && own !== undefined ? { ...each, candidates: [own] } : each
})

const figuresToSettle = 16
const timesEach = 2

/** Every figure this digit can show was seen often: what still looks the same says the same, such as a piece of a bar. */
const seenThrough = (digits: Digits, digit: number, mostFirst: number): boolean => {
  const shown = digits.flatMap((text) => (text === null ? [] : [text[digit] ?? ' ']))
  return shown.length >= figuresToSettle && reachable(digit, mostFirst).every((figure) => shown.filter((each) => each === String(figure)).length >= timesEach)
}

/** A segment that never changed with the figures is found nowhere: a bit that did not change either stands in for it, but rather none of a start or end. */
const soughtFor = (columns: Columns, free: readonly number[], marks: ReadonlySet<number>, digits: Digits, width: number, shapes: Shapes, inverted: boolean): Sought[] => {
  const rank = (bit: number): number => (marks.has(bit >> 3) ? 2 : isConstant(columns[bit] ?? '') ? 0 : 1)
  return Array.from({ length: width }, (_, digit) => segmentLetters.map((segment): Sought => {
    const wanted = wantedAt(digits, shapes, digit, segment, inverted)
    const seen = wanted.includes(true) && wanted.includes(false)
    const candidates = free.filter((bit) => fits(columns[bit] ?? '', wanted) && (!seen || !isConstant(columns[bit] ?? '')))
    return { digit, segment, seen, candidates: seen ? candidates : [...candidates].sort((a, b) => rank(a) - rank(b)).slice(0, 1) }
  })).flat()
}

const nearest = (candidates: readonly number[], others: readonly number[]): number | undefined =>
  [...candidates].sort((a, b) => {
    const far = (bit: number): number => others.reduce((sum, other) => sum + Math.abs(bit - other), 0)
    return far(a) - far(b)
  })[0]

const shapeOf = (shapes: Shapes, character: string, inverted: boolean): string =>
  segmentLetters.filter((letter) => (shapes[character] ?? '').includes(letter) !== inverted).join('')

/** A segment that was never seen to change, though the figures this digit can show differ in it. */
const unseen = ({ digit, segment, seen }: Sought, shapes: Shapes, mostFirst: number): boolean =>
  !seen && new Set(reachable(digit, mostFirst).map((figure) => (shapes[figure] ?? '').includes(segment))).size > 1

const fieldFrom = (sought: readonly Sought[], digits: Digits, width: number, shapes: Shapes, inverted: boolean, mostFirst: number): FoundSegments | null => {
  const meaning = new Map<number, string>()
  const places = Array.from({ length: width }, (_, digit): SegmentPlaces | null => {
    const own = sought.filter((each) => each.digit === digit)
    const sure = own.flatMap(({ seen, candidates }) => (seen && candidates.length === 1 ? candidates : []))
    const place = (segment: SegmentLetter): string | null => {
      const each = own.find((one) => one.segment === segment)
      const bit = each === undefined ? undefined : nearest(each.candidates, sure)
      if (bit === undefined) return null
      if (each?.seen === true) meaning.set(bit, `digit ${digit + 1}, ${segment}`)
      return bitName(bit)
    }
    const [a, b, c, d, e, f, g] = segmentLetters.map(place)
    if (a === undefined || b === undefined || c === undefined || d === undefined || e === undefined || f === undefined || g === undefined) return null
    return a === null || b === null || c === null || d === null || e === null || f === null || g === null ? null : { a, b, c, d, e, f, g }
  })
  const whole = places.flatMap((each) => (each === null ? [] : [each]))
  if (whole.length < width) return null
  const characters = new Set(digits.flatMap((text) => (text === null ? [] : [...text])))
  const map = Object.fromEntries([...characters].sort().map((character) => [shapeOf(shapes, character, inverted), character]))
  return {
    field: { kind: 'segments', digits: whole, map }, meaning,
    open: sought.filter((each) => (each.candidates.length > 1 && !seenThrough(digits, each.digit, mostFirst)) || unseen(each, shapes, mostFirst)).map(({ digit, segment }) => ({ digit, segment })),
  }
}

/**
 * Null when the bits are no picture of a seven-segment display. At least three figures, or anything would fit.
 * @param marks bytes that may be the start or the end of every frame
 * @param mostFirst largest figure the first digit can show
 */
export const segmentsInBits = (columns: Columns, free: readonly number[], marks: ReadonlySet<number>, digits: Digits, width: number, mostFirst: number): FoundSegments | null => {
  const figures = new Set(digits.filter((text) => text !== null))
  if (figures.size < 3) return null
  const found = [false, true].flatMap((inverted) => shapeSets.flatMap((shapes) => {
    const first = soughtFor(columns, free, marks, digits, width, shapes, inverted)
    if (first.some(({ candidates }) => candidates.length === 0)) return []
    const sought = sharedOut(settled(first), shapes, mostFirst)
    if (sought.some(({ candidates }) => candidates.length === 0)) return []
    const each = fieldFrom(sought, digits, width, shapes, inverted, mostFirst)
    return each === null ? [] : [each]
  }))
  return found.sort((a, b) => a.open.length - b.open.length)[0] ?? null
}
