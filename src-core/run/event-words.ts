/** Every event of a run as a sentence, for the list of what happened and when. */
import type { BoardType } from '../board/board-type'
import { tipName } from '../board/lifted-leg'
import type { DecidedBody, RunEvent } from './event'
import { dialWords, valueInWords } from './words'
import { entryInWords } from '../repair/entry-words'
import { isElsewhere } from './elsewhere'
import { questionedInWords } from './question'
import { watchInWords } from './watch-words'

const nextWords = (next: DecidedBody['next'], title: (step: string) => string): string => {
  if (typeof next !== 'string') return `ends the run: ${next.because}`
  return next === 'end' ? 'that was the last step' : `next ${title(next)}`
}

/** "conditional-pass" as it is said. */
const inPlainWords = (verdict: string): string => verdict.replaceAll('-', ' ')

const meterBackWords = ({ same, meter }: Extract<RunEvent, { kind: 'meter-back' }>): string => {
  if (meter === null) return 'From here on the values are read by eye and typed.'
  return `Meter back, ${same ? 'the same one' : 'another one'}${meter === undefined ? '' : `: ${meter.name}`}.`
}

const expectedElsewhereWords = ({ step, expected: own, celsius: [from, to] }: Extract<RunEvent, { kind: 'elsewhere-computed' }>, title: (step: string) => string): string => ('refused' in own
  ? `${title(step)}: what a good board reads there is not computed: ${own.refused}` : `${title(step)}: what a good board reads there was computed, with ${own.source?.typical === true ? 'a typical meter source' : 'this meter’s own source'}, ${from} °C to ${to} °C.`)

const limitsComputedWords = ({ steps, celsius: [from, to] }: Extract<RunEvent, { kind: 'limits-computed' }>, title: (step: string) => string): string => {
  const made = Object.entries(steps).flatMap(([step, own]) => ('value' in own ? [title(step)] : []))
  const stand = Object.entries(steps).flatMap(([step, own]) => ('madeWith' in own ? [title(step)] : []))
  const good = Object.entries(steps).flatMap(([step, own]) => ('uncomputed' in own ? [` Good boards speak for ${title(step)}: ${own.says}`] : []))
  const none = Object.entries(steps).flatMap(([step, own]) => ('refused' in own ? [` None for ${title(step)}: ${own.refused}`] : []))
  const kept = stand.length === 0 ? '' : ` Limits of the board file hold with this meter’s source: ${stand.join('; ')}.`
  return `Limits computed for a good board from ${from} °C to ${to} °C${made.length === 0 ? '.' : `: ${made.join('; ')}.`}${kept}${good.join('')}${none.join('')}`
}

/** @param title the title of a step by its id. @param board names the legs of its parts; null: it is missing. */
export const eventInWords = (event: RunEvent, title: (step: string) => string, board: Pick<BoardType, 'parts'> | null = null): string => {
  switch (event.kind) {
    case 'started': return `Run begun${event.meter === null ? ', with no meter' : ` with ${event.meter.name}`}${event.follows === undefined ? '' : ', to measure again after a run of this board'}.`
    case 'limits-computed': return limitsComputedWords(event, title)
    case 'captured': return `${title(event.step)}: ${valueInWords(event.value, event.function, event.unit, event.resolution)} recorded, ${event.evidence}, touch ${event.touch}, ${inPlainWords(event.verdict)}.`
    case 'learned': return `${title(event.step)}: ${isElsewhere(event.step) ? 'read and not judged' : `point ${event.point} learned`}, ${valueInWords(event.value, event.function, event.unit, event.resolution)}, ${event.evidence}.`
    case 'compared': return `${title(event.step)}: the good board beside it read ${valueInWords(event.value, event.function, event.unit, event.resolution)}, ${event.evidence}, touch ${event.touch}${event.outcome === 'stands' ? event.limits === null ? '.' : `; what the other is held to: ${event.says}` : event.outcome === 'again' ? '; touched again.' : '; its touches did not agree.'}`
    case 'not-compared': return `${title(event.step)} not measured on the good board: ${event.reason}`
    case 'watched': return `${title(event.step)}: followed${event.ended === 'interrupted' ? ' until it was interrupted' : ''}, ${watchInWords(event)}, ${inPlainWords(event.verdict)}.`
    case 'decided': return `${title(event.step)}: judged ${inPlainWords(event.verdict)}; ${nextWords(event.next, title)}.`
    case 'questioned': return questionedInWords(event, title)
    case 'skipped': return `${title(event.step)} skipped: ${event.reason}`
    case 'done': return `${title(event.step)} done${event.note === undefined ? '' : `: ${event.note}`}.`
    case 'noted': return event.step === null ? `Note on the run: ${event.text}` : `Note on ${title(event.step)}: ${event.text}`
    case 'asked': return `${title(event.step)} asked for next: ${event.because}`
    case 'elsewhere': return `Measured elsewhere before ${title(event.then)}: red ${tipName(board, event.red)}, black ${tipName(board, event.black)}, ${dialWords[event.function]}.`
    case 'elsewhere-computed': return expectedElsewhereWords(event, title)
    case 'inferred': return `Concluded from the readings: ${event.words.join(' ')}`
    case 'undone': return `Stepped back to event ${event.to}: what was decided since no longer stands, values are kept as earlier ones.`
    case 'paused': return 'Paused.'
    case 'resumed': return 'Resumed.'
    case 'meter-lost': return 'Meter lost.'
    case 'meter-back': return meterBackWords(event)
    case 'proof-lapsed': return `Proof that the board is de-energised lapsed: ${event.because}.`
    case 'repaired': return `${event.entry.part} ${entryInWords(event.entry)}, by ${event.entry.by}.`
    case 'struck': return `Entry ${event.entry} of the repair log struck out: ${event.because}`
    case 'closed': return `Board closed, ${inPlainWords(event.as)}, by ${event.by}: ${event.because}`
    case 'ended': return `Run ended, ${inPlainWords(event.verdict)}: ${event.because}`
  }
}
