/** The parts of a reply: units between semicolons, strings in quotes, an error and a function's name. */
import { scpiNames } from './names'

/** Units of a response message (IEEE 488.2-1992, 8.4.1: separated by semicolons; from memory). Null where a quote is never closed. */
export const replyUnits = (text: string): string[] | null => {
  const units: string[] = []
  let from = 0
  let quote = ''
  for (let at = 0; at < text.length; at += 1) {
    const character = text[at]
    if (quote !== '') {
      // A doubled quote closes and opens again, which comes to the same.
      if (character === quote) quote = ''
    } else if (character === '"' || character === '\'') quote = character
    else if (character === ';') {
      units.push(text.slice(from, at))
      from = at + 1
    }
  }
  if (quote !== '') return null
  return [...units, text.slice(from)].map((unit) => unit.trim())
}

/** The text within quotes, doubled ones made single (IEEE 488.2-1992, 8.7.8: string response data; from memory); null without quotes. */
export const quotedText = (unit: string): string | null => {
  const quote = unit[0]
  if (unit.length < 2 || (quote !== '"' && quote !== '\'') || unit.at(-1) !== quote) return null
  const inside = unit.slice(1, -1)
  return inside.replaceAll(quote + quote, '').includes(quote) ? null : inside.replaceAll(quote + quote, quote)
}

export type ScpiError = { code: number; text: string }

/** "-113,\"Undefined header\"" (SCPI-1999, volume 2, 21.8; from memory); the number alone is taken too. Null for anything else. */
export const readError = (unit: string): ScpiError | null => {
  const [, digits = '', rest = ''] = /^([+-]?\d{1,5})(?:,(.*))?$/.exec(unit) ?? []
  if (digits === '') return null
  const text = rest === '' ? '' : quotedText(rest.trim())
  return text === null ? null : { code: Number(digits), text: text.slice(0, 200) }
}

/** Long forms and the short ones that stand for them: every instrument takes both. */
const shortForms: Record<string, string> = {
  VOLTAGE: 'VOLT', CURRENT: 'CURR', RESISTANCE: 'RES', CONTINUITY: 'CONT', DIODE: 'DIOD', CAPACITANCE: 'CAP', FREQUENCY: 'FREQ', TEMPERATURE: 'TEMP',
}

/** "\"VOLT:DC\"", "VOLTage" → VOLT: a key of the description's functions; null for one that SCPI names otherwise. */
export const functionKey = (unit: string): string | null => {
  const name = (quotedText(unit) ?? unit).trim().toUpperCase().replace(/^:?(SENSE?:)?/, '')
  const key = name.split(':').map((node) => shortForms[node] ?? node).filter((node) => node !== 'DC').join(':')
  return key in scpiNames ? key : null
}
