/** From the displays typed so far to a description, what is known of it, and what to show next. */
import { z } from 'zod'
import { checkDescription } from '../check'
import { meterDescription, type MeterDescription } from '../description'
import { ask, askNext, leftOut, type Lacks } from './ask-next'
import type { Known } from './common-parts'
import { difference, roundReader } from './compare'
import type { Example } from './example'
import { asFrames, findFraming, type Cut, type CutFrames } from './find-framing'
import { proposeFrame } from './propose-frame'
import { proposeLine } from './propose-line'
import type { TeachSetup } from './setup'
import { readShown } from './shown'

export const proposal = z.strictObject({
  /** How the bytes are cut, in words. */
  framing: z.string(),
  /** Of frames: how many bytes each has. */
  length: z.number().int().nullable(),
  description: meterDescription.nullable(),
  /** Why there is none yet, or why the one there is cannot be kept. */
  because: z.string().nullable(),
  /** "3.7" and what that bit is. */
  meaning: z.array(z.tuple([z.string(), z.string()])),
  check: z.string().nullable(),
  /** Displays it reads otherwise than they were typed, and how. */
  disagree: z.array(z.strictObject({ example: z.number().int(), words: z.string() })),
  ask: ask.nullable(),
  left: z.array(z.string()),
})
export type Proposal = z.infer<typeof proposal>

type Made = { description: MeterDescription | null; because: string | null; meaning: [string, string][]; check: string | null; open: number; frames: CutFrames | null }

const knownOf = (examples: readonly Example[]): Known[] => examples.flatMap(({ shown }) => {
  const read = readShown(shown)
  return 'problem' in read ? [] : [{ shown, read }]
})

const disagreeing = (description: MeterDescription, examples: readonly Example[]): Proposal['disagree'] => {
  const read = roundReader(description)
  return examples.flatMap((each, example) => {
    const words = difference(read(each), each.shown, description.flags)
    return words === null ? [] : [{ example, words }]
  })
}

const fromFrames = (cut: CutFrames, known: readonly Known[], setup: TeachSetup): Made => {
  const result = proposeFrame(cut, known, setup)
  return 'because' in result
    ? { description: null, because: result.because, meaning: [], check: null, open: 0, frames: cut }
    : { description: result.description, because: null, meaning: result.meaning, check: result.check, open: result.open, frames: cut }
}

const make = (cut: Cut, examples: readonly Example[], known: readonly Known[], setup: TeachSetup): Made => {
  const nothing = { description: null, meaning: [], check: null, open: 0, frames: null }
  if (cut.kind === 'none') return { ...nothing, because: cut.because }
  if (cut.kind === 'frames') return fromFrames(cut, known, setup)
  const line = proposeLine(cut, known, setup, (description) => disagreeing(description, examples).length === 0)
  if ('description' in line) return { ...nothing, description: line.description, because: null }
  const frames = asFrames(cut)
  const other = frames === null ? null : fromFrames(frames, known, setup)
  return other !== null && other.description !== null && disagreeing(other.description, examples).length === 0 ? other : { ...nothing, because: line.because }
}

const framingWords = (cut: Cut, frames: CutFrames | null): string => {
  if (cut.kind === 'none') return cut.because
  if (cut.kind === 'lines' && frames === null) return `Lines, each ended by ${cut.delimiter.replace(/../g, '$& ').trim()}.`
  const own = frames ?? (cut.kind === 'frames' ? cut : null)
  const length = own?.frames[0]?.length ?? 0
  if (own?.indexed !== null && own !== null) return `Frames of ${length} bytes; the first half of each byte counts them.`
  return `Frames of ${length} bytes${own?.sure === true ? ', with a pause between them' : '; where one begins is taken from the bytes that never change'}.`
}

/** Where nothing says where a frame begins, two halves of different displays could pass for one. */
const straddling = (made: Made): string[] => (made.frames === null || made.frames.sure || made.check !== null ? [] : [
  'No pause was heard between frames, and they have no check value: one that straddles a change of the display could be read as a figure that was never shown.',
])

const noOverload = 'How it shows that it is out of range is not known, and without that nobody can tell when the leads are apart: show it with the leads apart, and type OL.'

const leastToDoubt = 6
const mostToDoubt = 60
const everyFew = 4

/** Displays without which a description fits all others: one of them was probably typed wrong. */
const doubted = (examples: readonly Example[], setup: TeachSetup): Proposal['disagree'] => {
  if (examples.length < leastToDoubt || examples.length > mostToDoubt) return []
  // Mostly it is the last one; all of them are gone through now and then.
  const suspects = [...examples.keys()].filter((example) => example === examples.length - 1 || examples.length % everyFew === 0)
  const alone = suspects.filter((example) => {
    const others = examples.filter((_, at) => at !== example)
    const { description } = make(findFraming(others), others, knownOf(others), setup)
    return description !== null && disagreeing(description, others).length === 0
  })
  return alone.length > 2 ? [] : alone.map((example) => ({ example, words: 'Without this display a description fits all others. Was it typed right? If not, take it out.' }))
}

/**
 * @param cannot keys of asks the meter has no display for
 * @param clock milliseconds, monotonic: times the pattern of lines
 */
export const propose = (examples: readonly Example[], setup: TeachSetup, cannot: readonly string[], clock: () => number): Proposal => {
  const known = knownOf(examples)
  const cut = findFraming(examples)
  const made = make(cut, examples, known, setup)
  const disagree = made.description === null ? doubted(examples, setup) : disagreeing(made.description, examples)
  const checked = made.description === null || disagree.length > 0 ? null : checkDescription(made.description, '', clock)
  const problems = checked !== null && 'problems' in checked ? checked.problems : []
  const because = made.because ?? (disagree.length > 0 ? 'The description does not read every display as it was typed.' : problems.length === 0 ? null : problems.map(({ field, message }) => (field === 'overload' ? noOverload : message)).join(' '))
  const lacks: Lacks = { frames: cut.kind === 'frames' || made.frames !== null, because, open: made.open }
  const description = checked !== null && 'description' in checked ? checked.description : null
  return {
    framing: framingWords(cut, made.frames), length: made.frames?.frames[0]?.length ?? null, description, because,
    meaning: made.meaning, check: made.check, disagree, ask: askNext(known, setup, cannot, lacks), left: examples.length === 0 ? [] : [...leftOut(known, setup, lacks), ...straddling(made)],
  }
}
