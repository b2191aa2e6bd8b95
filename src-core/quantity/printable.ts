/** Text as people read it: which characters have no place in it, because they move a cursor or turn the direction of reading, and how they are shown. */
import { z } from 'zod'

/** C0 and C1 controls but tab and line feed, line and paragraph separators, and what turns the direction of reading (Unicode, UAX #9). */
const hidden = '\\u0000-\\u0008\\u000b-\\u001f\\u007f-\\u009f\\u061c\\u200e\\u200f\\u2028\\u2029\\u202a-\\u202e\\u2066-\\u2069'

const everyHidden = new RegExp(`[${hidden}]`, 'g')
const everyBreak = new RegExp(`[${hidden}\\t\\n]`, 'g')

/** A name or a title: nothing in it breaks the line. */
export const oneLinePattern = new RegExp(`^[^${hidden}\\t\\n]*$`)
/** Sentences: line feeds and tabs may be among them. */
export const plainPattern = new RegExp(`^[^${hidden}]*$`)

export const oneLineFault = 'must be one line, without control characters'

/** One line of at most so many characters. */
export const oneLine = (most: number) => z.string().max(most).regex(oneLinePattern, oneLineFault)

/** On one line whatever it holds: line ends and tabs as spaces, every other such character as □ (U+25A1), so that it is seen that one was there. */
export const onOneLine = (text: string): string => text.replace(/\r?\n|[\r\t]/g, ' ').replace(everyHidden, '\u25a1')

/** As `onOneLine`, but line feeds and tabs stay. */
export const inPlain = (text: string): string => text.replace(/\r\n?/g, '\n').replace(everyHidden, '\u25a1')

/** For a terminal: each such character as its number, \u001b. */
export const escaped = (text: string): string => text.replace(everyBreak, (each) => `\\u${each.charCodeAt(0).toString(16).padStart(4, '0')}`)
