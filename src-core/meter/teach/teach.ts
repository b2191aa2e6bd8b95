/** Teaching one meter, from the first byte to a description that was tried: (state, input) → state. */
import type { MeterDescription } from '../description'
import { difference, roundReader } from './compare'
import { hexOfBytes, type Example } from './example'
import type { Proposal } from './propose'
import type { TeachSetup } from './setup'
import { inShownWords, isFigure, readShown, type ReadShown, type Shown } from './shown'
import { lastRound, type Heard } from './still-bytes'

/** A display typed while there was a description: whether it read the same. */
export type Tried = { shown: Shown; says: string | null }

export type Teaching = {
  setup: TeachSetup
  heard: readonly Heard[]; bytes: number
  /** Displays typed and taken since the start. */
  typed: number
  examples: readonly Example[]; cannot: readonly string[]; tried: readonly Tried[]
  proposal: Proposal | null
  /** Counts the changes a proposal must follow; one made for an earlier state is not taken. */
  revision: number
  proposedFor: number
}

export type TeachInput =
  | { kind: 'bytes'; at: number; bytes: Uint8Array }
  | { kind: 'shown'; at: number; shown: Shown }
  | { kind: 'cannot'; key: string }
  /** One example, or all. */
  | { kind: 'forget'; example: number | null }
  | { kind: 'setup'; setup: TeachSetup }
  | { kind: 'proposed'; proposal: Proposal; revision: number }
  | { kind: 'silence' }

export type Taught = { state: Teaching; refused: string | null }

/** Long enough for three frames of a slow meter. */
const heardSeconds = 12
const mostBytes = 1536
const mostExamples = 120
/** No byte for this long: the meter is silent, and what it showed before is over. */
const silentAfter = 5
/** Tries that are kept; older ones are forgotten. */
const mostTried = 20
/** More than any meter can be asked for. */
const mostCannot = 200
/** Different figures that must be read the same before a description counts as tried. */
export const triesWanted = 2

export const startTeaching = (setup: TeachSetup): Teaching =>
  ({ setup, heard: [], bytes: 0, typed: 0, examples: [], cannot: [], tried: [], proposal: null, revision: 1, proposedFor: 0 })

const hear = (state: Teaching, at: number, bytes: Uint8Array): Teaching => {
  let heard = [...state.heard, { at, bytes }].filter((each) => at - each.at <= heardSeconds)
  let total = heard.reduce((sum, each) => sum + each.bytes.length, 0)
  while (total > mostBytes && heard.length > 1) {
    total -= heard[0]?.bytes.length ?? 0
    heard = heard.slice(1)
  }
  return { ...state, heard, bytes: state.bytes + bytes.length }
}

const changed = (state: Teaching): Teaching => ({ ...state, revision: state.revision + 1 })
const refuse = (state: Teaching, refused: string): Taught => ({ state, refused })
const accept = (state: Teaching): Taught => ({ state, refused: null })

const sameShown = (a: Shown, b: Shown): boolean => a.function === b.function && a.text.trim() === b.text.trim() && a.mark.trim() === b.mark.trim() && [...a.flags].sort().join() === [...b.flags].sort().join()

const tryOut = (description: MeterDescription, round: string, shown: Shown): Tried => ({ shown, says: difference(roundReader(description)({ round }), shown, description.flags) })

/** Why a display that is read right says nothing new of the description; null when it does. */
const provesNothing = ({ examples, tried }: Teaching, hex: string, shown: Shown, read: ReadShown): string | null => {
  if (!isFigure(read.figure)) return 'Out of range is read right, but it tries no digit. Show a figure, and type it.'
  const before = examples.some((each) => each.round === hex || sameShown(each.shown, shown)) || tried.some((each) => sameShown(each.shown, shown))
  return before ? `${inShownWords(shown)} was shown before, and is read right. Show another figure, and type it.` : null
}

const takeShown = (state: Teaching, at: number, shown: Shown): Taught => {
  const read = readShown(shown)
  if ('problem' in read) return refuse(state, read.problem)
  const last = state.heard.at(-1)
  if (last === undefined || at - last.at > silentAfter) return refuse(state, 'The meter sends nothing. Is it on, and its output turned on? Are the port settings right?')
  const round = lastRound(state.heard)
  if (round === null) return refuse(state, 'The bytes do not repeat yet. Let the display stand still for a few seconds, then type it again.')
  const hex = hexOfBytes(round.bytes)
  const twin = state.examples.findIndex((each) => each.round === hex && !sameShown(each.shown, shown))
  const other = state.examples[twin]
  if (other !== undefined) return refuse(state, `The meter sends the same bytes as at display ${twin + 1}, ${inShownWords(other.shown)}. Wait until it shows the new figure; if display ${twin + 1} was typed wrong, take it out.`)
  if (state.examples.length >= mostExamples) return refuse(state, `There are ${mostExamples} displays already. Take some out before typing more.`)
  const { description = null, ask = null } = state.proposal ?? {}
  const tried = description === null || state.proposedFor !== state.revision ? null : tryOut(description, hex, shown)
  const old = tried?.says === null ? provesNothing(state, hex, shown, read) : null
  if (old !== null && ask === null) return refuse(state, old)
  const withTry = { ...state, typed: state.typed + 1, tried: tried === null || old !== null ? state.tried : [...state.tried, tried].slice(-mostTried) }
  // Enough was seen and this one is read right: it tells nothing new.
  if (tried?.says === null && ask === null) return accept(withTry)
  return accept(changed({ ...withTry, examples: [...state.examples, { round: hex, begins: round.begins, shown }] }))
}

export const teach = (state: Teaching, input: TeachInput): Taught => {
  switch (input.kind) {
    case 'bytes': return accept(hear(state, input.at, input.bytes))
    case 'shown': return takeShown(state, input.at, input.shown)
    case 'cannot':
      if (state.cannot.includes(input.key)) return accept(state)
      if (state.cannot.length >= mostCannot) return refuse(state, 'More was said to be impossible than can be asked for. Take all displays out and begin again.')
      return accept(changed({ ...state, cannot: [...state.cannot, input.key] }))
    case 'forget': {
      const { example } = input
      if (example === null) return accept(changed({ ...state, examples: [], cannot: [], tried: [], proposal: null }))
      if (state.examples[example] === undefined) return refuse(state, 'That display is no longer in the list.')
      return accept(changed({ ...state, tried: [], examples: state.examples.filter((_, at) => at !== example) }))
    }
    case 'setup': return accept(changed({ ...state, setup: input.setup }))
    case 'proposed': {
      if (input.revision !== state.revision) return accept(state)
      // What was tried speaks for the description it was tried on.
      const same = JSON.stringify(state.proposal?.description ?? null) === JSON.stringify(input.proposal.description)
      return accept({ ...state, proposal: input.proposal, proposedFor: input.revision, tried: same ? state.tried : [] })
    }
    case 'silence': return accept({ ...state, heard: [] })
  }
}

/** Displays in a row that the present description read as they were typed. */
export const triedInARow = ({ tried }: Teaching): number => {
  const wrong = tried.findLastIndex(({ says }) => says !== null)
  return tried.length - 1 - wrong
}
