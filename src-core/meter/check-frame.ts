/** What speaks against a description of frames: places outside the frame, check values that cannot be right, noise that would pass as a frame. */
import { textProblems } from './check-frame-texts'
import { checkBits, checkBytes, type CheckValue } from './check-value'
import type { MeterDescription } from './description'
import { bitPlace } from './frame-bits'
import { knownBits, leastMarked, surelyWhole } from './frame-marks'
import { fieldPlaces, leastFrame, markPlaces, markWidths } from './frame-places'
import type { FrameFraming } from './framing'

type Found = { field: string; message: string }

/** Bytes that no frame is longer than. */
const mostBytes = (framing: FrameFraming): number => {
  switch (framing.kind) {
    case 'frames': case 'indexed-frames': return framing.length
    case 'counted-frames': case 'delimited-frames': return framing.maxBytes
  }
}

const placeProblems = (framing: FrameFraming): Found[] => {
  const bytes = mostBytes(framing)
  const inside = (at: number): boolean => at < bytes && at >= -bytes
  const found = [...markPlaces(framing), ...fieldPlaces(framing)].flatMap(({ field, from, to }) => {
    if (!inside(from) || !inside(to)) return [{ field, message: `"${field}" lies outside the frame of ${bytes} bytes; bytes count from 0, and from −1 backwards.` }]
    const backwards = from >= 0 === to >= 0 ? to < from : from < 0
    return backwards ? [{ field, message: `"${field}" ends before it begins, or runs over the end of the frame.` }] : []
  })
  const least = leastFrame(framing)
  return found.length > 0 || least <= bytes ? found
    : [{ field: 'framing', message: `"framing" needs frames of at least ${least} bytes for its fields between the start and the end, and allows ${bytes}; a field lies on the start, the check value or the end, or the length is wrong.` }]
}

const countProblems = (framing: FrameFraming): Found[] =>
  framing.kind === 'counted-frames' && framing.countAt < framing.start.length / 2
    ? [{ field: 'framing.countAt', message: '"framing.countAt" lies in "framing.start"; it is the byte that says how long the frame is, counted from 0.' }] : []

const startProblems = (framing: FrameFraming): Found[] =>
  framing.kind === 'frames' && (framing.start ?? '').length / 2 + (framing.end ?? '').length / 2 >= framing.length
    ? [{ field: 'framing.length', message: `"framing.length" leaves nothing between "start" and "end"; it counts every byte of a frame, these too.` }] : []

/** The high nibble counts the bytes: it says nothing of the display. */
const indexProblems = (framing: FrameFraming): Found[] => {
  if (framing.kind !== 'indexed-frames') return []
  const { fixed, fields } = framing
  const named = new Set<string>()
  JSON.stringify([fixed ?? {}, fields], (key, value: unknown) => {
    if (/^-?\d+\.[0-7]$/.test(key)) named.add(key)
    if (typeof value === 'string' && /^-?\d+\.[0-7]$/.test(value)) named.add(value)
    return value
  })
  const { value } = fields
  const highs = value.kind !== 'bcd' ? [] : value.digits.flatMap(({ nibble }, at) => (nibble === 'low' ? [] : [{
    field: `framing.fields.value.digits.${at}`, message: `"framing.fields.value.digits.${at}" is the index that counts the bytes; the digits are in the low nibbles.`,
  }]))
  return [...highs, ...[...named].filter((bit) => bitPlace(bit).bit > 3).map((bit) => ({
    field: 'framing.fields', message: `"${bit}" is a bit of the index that counts the bytes; bits 0 to 3 of each byte hold the display.`,
  }))]
}

/** Hex numbers of a check value, by name. */
const checkNumbers = (check: CheckValue): [string, string][] => {
  const initial: [string, string][] = check.initial === undefined ? [] : [['initial', check.initial]]
  return check.kind === 'crc' ? [...initial, ['polynomial', check.polynomial], ['finalXor', check.finalXor]] : initial
}

/** A check value that stands on bytes that never change could never be right, or says nothing. */
const onMark = (framing: FrameFraming, { at, last }: { at: number; last: number }): 'start' | 'end' | null => {
  const { start, end } = markWidths(framing)
  const fromStart = (place: number): number | null => (place >= 0 ? place : framing.kind === 'frames' ? framing.length + place : null)
  const fromEnd = (place: number): number | null => (place < 0 ? place : framing.kind === 'frames' ? place - framing.length : null)
  const [first, back] = [fromStart(at), fromEnd(last)]
  return first !== null && first < start ? 'start' : back !== null && end > 0 && back >= -end ? 'end' : null
}

const checkProblems = (framing: FrameFraming): Found[] => {
  const { check } = framing
  if (check === undefined) return []
  const digits = checkBits(check) / 4
  const wide = checkNumbers(check).filter(([, hex]) => hex.length !== digits).map(([name, hex]) => ({
    field: `framing.check.${name}`, message: `"framing.check.${name}" must have ${digits} hex digits for a check value of ${digits * 4} bits; it is "${hex}".`,
  }))
  const last = check.at + checkBytes(check) - 1
  const mark = onMark(framing, { at: check.at, last })
  const within = (at: number): boolean => at >= 0 === check.from >= 0 && at >= check.from && (at >= 0 === check.to >= 0 ? at <= check.to : check.to < 0)
  const itself = within(check.at) || within(last) || (check.from >= 0 && check.at < 0 && check.to < 0 && check.at <= check.to)
  return [
    ...wide,
    ...(itself ? [{ field: 'framing.check', message: '"framing.check" is made over its own place; let "from" and "to" leave out the bytes from "at" on.' }] : []),
    ...(mark === null ? [] : [{
      field: 'framing.check.at', message: `"framing.check.at" puts the check value on "framing.${mark}", whose bytes are always the same; it stands ${mark === 'end' ? 'before the end' : 'after the start'}.`,
    }]),
  ]
}

/** Without a mark that every frame carries, any bytes would be frames. */
const structureProblems = (framing: FrameFraming): Found[] => {
  const { all, inside } = knownBits(framing)
  if (all < leastMarked) return [{ field: 'framing', message: '"framing" has nothing to tell a frame from noise: give "start", "end", "check" or at least eight bits in "fixed".' }]
  return framing.poll !== undefined && inside < surelyWhole
    ? [{ field: 'framing', message: '"framing" has nothing to tell whether an answer is whole: give "check", or at least eight bits in "end" and "fixed".' }] : []
}

/** Everything found wrong with the frames of a description whose shape is right. */
export const frameProblems = (framing: FrameFraming, description: MeterDescription): Found[] => [
  ...structureProblems(framing), ...placeProblems(framing), ...countProblems(framing), ...startProblems(framing), ...indexProblems(framing),
  ...checkProblems(framing), ...textProblems(framing, description),
]
