/** How the rounds of all examples are cut: into lines that end alike, or into frames of one length. */
import { bytesOfHex, type Example } from './example'
import { turned } from './still-bytes'

export type CutLines = { kind: 'lines'; delimiter: string; lines: Uint8Array[] }
/** `indexed`: the high nibble of each byte counts from this. `sure`: pauses or indices say where a frame begins. */
export type CutFrames = { kind: 'frames'; frames: Uint8Array[]; indexed: number | null; sure: boolean }
export type Cut = CutLines | CutFrames | { kind: 'none'; because: string }

const isText = (byte: number): boolean => (byte >= 32 && byte < 127) || byte >= 0xa0 || byte === 9

/** The bytes that are no text, as one run around the end of the round; null when there is none, or more than one run. */
const endOf = (round: Uint8Array): { at: number; length: number } | null => {
  const n = round.length
  const starts = Array.from(round.keys()).filter((at) => !isText(round[at] ?? 0) && isText(round[(at + n - 1) % n] ?? 0))
  const [at] = starts
  if (at === undefined || starts.length !== 1) return null
  let length = 0
  while (length < n && !isText(round[(at + length) % n] ?? 0)) length += 1
  return { at, length }
}

const cutLines = (rounds: readonly Uint8Array[]): CutLines | null => {
  const ends = rounds.map(endOf)
  const cut = rounds.map((round, index) => {
    const end = ends[index]
    if (end === undefined || end === null) return null
    const whole = turned(round, end.at + end.length)
    const run = whole.slice(whole.length - end.length)
    // What follows carriage return or line feed begins the next line.
    const last = Math.max(run.lastIndexOf(10), run.lastIndexOf(13))
    const begins = last === -1 ? 0 : run.length - 1 - last
    const line = turned(whole, -begins)
    const length = end.length - begins
    return { delimiter: Array.from(line.slice(line.length - length), (byte) => byte.toString(16).padStart(2, '0')).join(''), line: line.slice(0, line.length - length) }
  })
  const [first] = cut
  if (first === undefined || first === null || first.delimiter.length > 8) return null
  const lines = cut.flatMap((each) => (each !== null && each.delimiter === first.delimiter && each.line.length >= 2 ? [each.line] : []))
  return lines.length === rounds.length ? { kind: 'lines', delimiter: first.delimiter, lines } : null
}

/** The first index of a round whose high nibbles count upwards from `at`; null when they do not. */
const countsFrom = (round: Uint8Array, at: number): number | null => {
  const first = (round[at] ?? 0) >> 4
  const counts = round.every((_, k) => ((round[(at + k) % round.length] ?? 0) >> 4) === first + k)
  return counts ? first : null
}

const cutIndexed = (rounds: readonly Uint8Array[]): CutFrames | null => {
  const [one] = rounds
  if (one === undefined || one.length < 4 || one.length > 16) return null
  const at = Array.from(one.keys()).find((place) => countsFrom(one, place) !== null)
  const indexed = at === undefined ? null : countsFrom(one, at)
  if (indexed === null) return null
  const frames = rounds.flatMap((round) => {
    const place = Array.from(round.keys()).find((each) => countsFrom(round, each) === indexed)
    return place === undefined ? [] : [turned(round, place)]
  })
  return frames.length === rounds.length ? { kind: 'frames', frames, indexed, sure: true } : null
}

const ones = Array.from({ length: 256 }, (_, byte) => [0, 1, 2, 3, 4, 5, 6, 7].filter((bit) => (byte >> bit) & 1).length)
const differing = (a: Uint8Array, b: Uint8Array): number => a.reduce((sum, byte, at) => sum + (ones[byte ^ (b[at] ?? 0)] ?? 0), 0)

const likest = (first: Uint8Array, turns: readonly Uint8Array[]): Uint8Array | undefined =>
  turns.map((round) => ({ round, bits: differing(first, round) })).sort((a, b) => a.bits - b.bits)[0]?.round

const constantBits = (frames: readonly Uint8Array[]): number => {
  const [first] = frames
  if (first === undefined) return 0
  return first.reduce((sum, byte, at) => sum + 8 - (ones[frames.reduce((changed, frame) => changed | (byte ^ (frame[at] ?? 0)), 0)] ?? 0), 0)
}

/** Without pauses the rounds are turned so that most bits never change: one byte that all have begins each of them. */
const aligned = (rounds: readonly Uint8Array[], fixed: readonly boolean[]): Uint8Array[] => {
  const [first] = rounds
  if (first === undefined) return []
  const tried = Array.from(first.keys()).map((anchor) => {
    const start = turned(first, anchor)
    return rounds.map((round, index) => {
      if (index === 0) return start
      if (fixed[index] === true && fixed[0] === true) return turned(round, anchor)
      const turns = Array.from(round.keys()).filter((at) => round[at] === start[0]).map((at) => turned(round, at))
      return likest(start, turns) ?? likest(start, Array.from(round.keys()).map((by) => turned(round, by))) ?? round
    }).map((round) => turned(round, -anchor))
  })
  return tried.map((frames) => ({ frames, score: constantBits(frames) })).sort((a, b) => b.score - a.score)[0]?.frames ?? [...rounds]
}

/** The longest run of bytes that never change begins the frame, where no pause says better. */
const fromConstant = (frames: readonly Uint8Array[]): Uint8Array[] => {
  const [first] = frames
  if (first === undefined) return []
  const n = first.length
  const same = Array.from(first.keys()).map((at) => frames.every((frame) => frame[at] === first[at]))
  const runs = same.map((_, at) => {
    let length = 0
    while (length < n && same[(at + length) % n] === true) length += 1
    return { at, length }
  })
  const longest = runs.reduce((best, run) => (run.length > best.length && run.length < n ? run : best), { at: 0, length: 0 })
  // Carriage return and line feed end a frame.
  const last = first[(longest.at + longest.length - 1) % n] ?? 0
  return frames.map((frame) => turned(frame, last === 10 || last === 13 ? longest.at + longest.length : longest.at))
}

const cutFrames = (rounds: readonly Uint8Array[], begins: readonly boolean[]): CutFrames => {
  const known = begins.indexOf(true)
  if (known === -1) return { kind: 'frames', frames: fromConstant(aligned(rounds, begins)), indexed: null, sure: false }
  if (begins.every(Boolean)) return { kind: 'frames', frames: [...rounds], indexed: null, sure: true }
  // One that shows where it begins leads the others.
  const order = [known, ...rounds.keys()].filter((at, index, all) => all.indexOf(at) === index)
  const turnedRounds = aligned(order.map((at) => rounds[at] ?? new Uint8Array(0)), order.map((at) => begins[at] === true))
  return { kind: 'frames', frames: rounds.map((round, at) => turnedRounds[order.indexOf(at)] ?? round), indexed: null, sure: true }
}

export const findFraming = (examples: readonly Example[]): Cut => {
  const rounds = examples.map(({ round }) => bytesOfHex(round))
  const [first] = rounds
  if (first === undefined) return { kind: 'none', because: 'No display was typed yet.' }
  const lines = cutLines(rounds)
  if (lines !== null) return lines
  const odd = rounds.find(({ length }) => length !== first.length)
  if (odd !== undefined) return { kind: 'none', because: `The frames are ${first.length} bytes long at one display and ${odd.length} at another, and they are no lines. Frames of changing length cannot be taught here.` }
  return cutIndexed(rounds) ?? cutFrames(rounds, examples.map(({ begins }) => begins))
}

/** Lines of one length may also be read as frames that end alike. */
export const asFrames = ({ lines, delimiter }: CutLines): CutFrames | null => {
  const [first] = lines
  if (first === undefined || lines.some(({ length }) => length !== first.length)) return null
  const end = bytesOfHex(delimiter)
  return { kind: 'frames', frames: lines.map((line) => Uint8Array.from([...line, ...end])), indexed: null, sure: true }
}
