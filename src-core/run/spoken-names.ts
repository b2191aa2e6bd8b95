/** Designators and values as a speech engine reads them well: "J1.2" is "J 1 pin 2", 4700 Ω is "4.7 kilo ohm". */
import { isLeg } from '../board/lifted-leg'
import type { MeasuredValue, MeterFunction, UnitSymbol } from '../meter/reading'
import { engineering } from '../quantity/engineering'
import { valueInWords } from './words'

/** Letters of a designator one by one, its number as a number; a word of more than three letters stays one. */
const spelled = (text: string): string =>
  (text.replace(/[_.+-]+/g, ' ').match(/[A-Za-z]+|\d+/g) ?? []).map((piece) =>
    (/^[A-Z]{1,3}$/.test(piece) ? [...piece].join(' ') : piece)).join(' ')

/** A test point by its id, a lifted leg as such; a pin with a name of its own, such as anode, is not called one. */
export const pointSpoken = (id: string): string => {
  if (isLeg(id)) return `lifted ${pointSpoken(id.slice(1))}`
  const [part = id, ...pin] = id.split('.')
  if (pin.length === 0) return spelled(part)
  const name = spelled(pin.join(' '))
  return /^[a-z]{3,}/.test(name) ? `${spelled(part)} ${name}` : `${spelled(part)} pin ${name}`
}

/** A title with the designators in it spelled. */
export const titleSpoken = (title: string): string =>
  title.replace(/\b([A-Z]{1,3}\d+)(\.\w+)?\b/g, (found) => pointSpoken(found)).replace(/[:;–—]/g, ',').replace(/\s+/g, ' ').trim()

const prefixWords: Record<string, string> = {
  f: 'femto', p: 'pico', n: 'nano', µ: 'micro', m: 'milli', '': '', k: 'kilo', M: 'mega', G: 'giga', T: 'tera',
}
const unitWords: Record<UnitSymbol, string> = { V: 'volt', Ω: 'ohm', F: 'farad', H: 'henry', Hz: 'hertz', K: 'kelvin', A: 'ampere' }

/** Three digits are as many as an ear keeps; the screen has them all. */
const digitsSpoken = 3

export const valueSpoken = (value: MeasuredValue, fn: MeterFunction, unit: UnitSymbol): string => {
  if (typeof value !== 'number') return valueInWords(value, fn, unit, null)
  const { figure, prefix } = engineering(Number(value.toPrecision(digitsSpoken)), null)
  return [figure.replace('−', 'minus '), prefixWords[prefix] ?? '', unitWords[unit]].filter((each) => each !== '').join(' ')
}
