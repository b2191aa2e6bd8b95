/** What came of recognising, in words: the descriptions that fit, or that none does and what was heard. */
import { z } from 'zod'
import { dialWords, valueInWords } from '../../run/words'
import { portSettings, type PortSettings } from '../description'
import type { Reading } from '../reading'
import { better, recognised, type Candidate, type Recognised } from './confidence'
import { formatWords } from './line-format'
import type { Place } from './places'

export const recogniseOutcome = z.strictObject({
  /** The best first; empty when none fits. */
  found: z.array(recognised),
  words: z.string(),
  /** What to ask the technician before any byte is sent; null when there is nothing to ask. */
  ask: z.string().nullable(),
  seconds: z.number(),
  /** How the port was set when it spoke most like a meter; null when nothing did. */
  heardAt: portSettings.nullable(),
})
export type RecogniseOutcome = z.infer<typeof recogniseOutcome>

/** How long recognising may take, listening and asking each. */
export const withinSeconds = 9.3

export const readingWords = ({ function: f, value, unit, resolution }: Reading): string => `${dialWords[f]} ${valueInWords(value, f, unit, resolution)}`

const counted = (count: number, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`

export const candidateWords = ({ description, settings, confidence, score: { readings, rejects } }: Candidate): string =>
  `“${description}” at ${settings.baud} baud, ${formatWords(settings)}: ${counted(readings, 'reading')} of ${counted(readings + rejects, 'frame')}, ${confidence}`

export const asRecognised = (candidate: Candidate): Recognised => {
  const { description, settings, confidence, score: { readings, rejects, share, sample } } = candidate
  return {
    description, settings, confidence, readings, rejects, share: Math.min(1, share), sample, words: candidateWords(candidate),
    sampleWords: sample === null ? '' : readingWords(sample),
  }
}

/** The best of each description, the best first. */
export const ranked = (candidates: readonly Candidate[]): Candidate[] => {
  const sorted = [...candidates].sort(better)
  return sorted.filter(({ description }, index) => sorted.findIndex((other) => other.description === description) === index)
}

const percent = (share: number): string => `${Math.round(share * 100)} %`

export const foundWords = (found: readonly Recognised[]): string => {
  const [best, second] = found
  if (best === undefined) return ''
  const few = best.readings < 3 ? `Only ${counted(best.readings, 'frame')} came` : `Only ${percent(best.share)} of the bytes fit`
  const doubt = best.confidence === 'sure' ? '' : ` ${few}; compare the reading with the display before you rely on it.`
  const other = second !== undefined && second.confidence === best.confidence && best.share - second.share <= 0.02
    ? ` “${second.description}” fits as well: compare the reading with the display.` : ''
  return `${best.words}.${doubt}${other}`
}

/** What was heard in one place. */
export type Heard = Place & { bytes: number; seconds: number; printable: number }

const toTeach = 'Teach the app this meter, or write a description and put its file into the folder “meters” of the data folder.'

/** Ninety of a hundred bytes being letters, figures and line ends is no accident. */
const isText = 0.9

const likestText = (heard: readonly Heard[]): Heard | undefined => heard.filter(({ bytes }) => bytes >= 16).sort((a, b) => b.printable - a.printable)[0]

/** Where what was heard looks like text, though no description fits it. */
export const textHeardAt = (heard: readonly Heard[]): PortSettings | null => {
  const text = likestText(heard)
  return text !== undefined && text.printable >= isText ? { baud: text.baud, ...text.format } : null
}

export const noneWords = (heard: readonly Heard[], seconds: number): string => {
  const spoken = heard.filter(({ bytes }) => bytes > 0)
  if (spoken.length === 0) return `Nothing speaks on this port by itself: no byte in ${seconds.toFixed(1)} s at ${heard[0]?.baud ?? 0} baud. Is the meter on, and its output turned on?`
  const fullest = [...spoken].sort((a, b) => b.bytes / b.seconds - a.bytes / a.seconds)
  const rates = fullest.slice(0, 4).map(({ baud, bytes, seconds: lasted }) => `${Math.round(bytes / lasted)} bytes a second at ${baud} baud`)
  const text = likestText(spoken)
  const looks = text !== undefined && text.printable >= isText ? `At ${text.baud} baud they look like text.` : 'At no speed do they look like text.'
  const speeds = [...new Set(heard.map(({ baud }) => baud))].length
  return `Bytes arrive, but no description fits them at any of ${counted(speeds, 'speed')}. Heard: ${rates.join(', ')}. ${looks} ${toTeach}`
}

/** Letters, figures, tab and line ends, whatever the highest bit: it may be a parity bit. */
export const isPrintable = (byte: number): boolean => {
  const seven = byte & 127
  return (seven >= 32 && seven < 127) || seven === 13 || seven === 10 || seven === 9
}
