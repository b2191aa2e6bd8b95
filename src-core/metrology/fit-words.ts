/** What a fit of a meter's source says, in sentences a technician can act on. */
import { inWords } from '../quantity/engineering'
import type { SourceLine } from './source-line'

export type Foundling = { function: 'diode' | 'resistance'; range: number | null }

const volts = (value: number): string => inWords(Number(value.toPrecision(3)), 'V', null)
const ohms = (value: number): string => inWords(Number(value.toPrecision(3)), 'Ω', null)
const amperes = (value: number): string => inWords(Number(value.toPrecision(3)), 'A', null)
const percent = (part: number): string => `${Math.max(1, Math.round(part * 100))} %`

const functionWords = { diode: 'Diode test', resistance: 'Resistance' } as const
const named = ({ function: fn, range }: Foundling): string => `${functionWords[fn]}${range === null ? '' : `, ${ohms(range)} range`}`

export const resistorWords = (which: 'first' | 'second', read: number, said: number): string =>
  `The ${which} resistor reads ${ohms(read)}; the kit says ${ohms(said)}. Take the right one, or correct the kit, and fit again. Nothing was fitted.`

export const foundWords = {
  plus: (thing: Foundling, plus: 'red' | 'black'): string => `${named(thing)}: plus is at the ${plus} lead.`,
  limit: (thing: Foundling, current: number, upTo: number): string => `${named(thing)}: it drives ${amperes(current)} up to at least ${volts(upTo)}.`,
  source: (thing: Foundling, line: SourceLine, sure: { volts: number; ohms: number }): string => {
    const behind = line.ohmsAtMost ? `at most ${ohms(line.ohms)}` : `${ohms(line.ohms)} (within ${percent(sure.ohms)})`
    const limit = line.amperes === null ? '' : `, never more than ${amperes(line.amperes)}`
    return `${named(thing)}: ${volts(line.volts)} (within ${percent(sure.volts)}) behind ${behind}${limit}.`
  },
}

const measureIt = 'Measure the voltage across its open leads with another meter and enter it on the Meters screen.'

export const openWords = {
  plus: (fn: Foundling['function']): string => `${functionWords[fn]}: the diode conducted neither way, or both ways alike, so it is not known which lead is plus.`
    + (fn === 'resistance' ? ' A source below the diode’s voltage does not open it.' : ' Check the diode and measure it both ways again.'),
  none: (thing: Foundling, because: 'too few' | 'no line' | 'too close'): string => {
    switch (because) {
      case 'too few': return thing.function === 'diode'
        ? 'Diode test: too few resistors gave a figure, so its source is not known. Take resistors that read below its ceiling, such as 470 Ω and 1.5 kΩ.'
        : `${named(thing)}: one point of the diode is not enough, so its source voltage is not known. Measure the diode in series with the second resistor as well, in this range.`
      case 'too close': return `${named(thing)}: the two points lie too close together to tell volts from ohms. Take a second resistor of about three times the first.`
      case 'no line': return `${named(thing)}: the readings fit no source of volts behind ohms, with or without a current limit. Measure them again.`
    }
  },
  voltsBehindLimit: (thing: Foundling): string => `${named(thing)}: the voltage behind its current cannot be seen from what it shows. ${measureIt}`,
  notSure: (thing: Foundling): string => `${named(thing)}: the readings do not tell its source well enough to keep it. ${measureIt}`,
  noCurve: 'Resistance: the source’s voltage is not known, since the diode test gave no curve of the diode. Measure the diode across the first resistor in diode test as well.',
  noResistance: 'Resistance: the source’s voltage is not known. Measure the diode, and the diode in series with the second resistor, in resistance as well.',
  diodeDisagrees: (off: number): string => `The diode reads ${volts(Math.abs(off))} ${off > 0 ? 'more' : 'less'} than its certificate says at that current. Is it the right diode, at room temperature? Nothing was fitted.`,
}
