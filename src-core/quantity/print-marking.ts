/** How a value is marked on parts, in every way that can say it: for a hint beside a limit, and to check what was typed. */
import { type Colour, printBands } from './colour-code'
import { type PartKind, printLetterDigit } from './letter-digit-code'
import { isPreferred, nearestPreferred, type Series } from './preferred-values'
import { printDigitCode, printEia96 } from './smd-code'
import { letterOfTolerance, type Tolerance, toleranceInWords } from './tolerance-letters'

/** The series a tolerance goes with, IEC 60063 (from memory): E6 20 %, E12 10 %, E24 5 %, E48 2 %, E96 1 %, E192 closer. */
export const seriesFor = ({ minus, plus }: Tolerance): Series => {
  const widest = Math.max(minus, plus)
  return widest >= 0.2 ? 'E6' : widest >= 0.1 ? 'E12' : widest >= 0.05 ? 'E24' : widest >= 0.02 ? 'E48' : widest >= 0.01 ? 'E96' : 'E192'
}

export type Marked = {
  /** "4K7 J", "4K7 ± 7 %". */
  letters: string
  digits: string[]
  colours: Colour[] | null
  /** Where this is no value of the series that goes with its tolerance: the nearest that is. */
  nearest: number | null
}

/** @throws RangeError as printLetterDigit does. */
export const printMarking = (kind: PartKind, nominal: number, tolerance: Tolerance): Marked => {
  const letter = letterOfTolerance(tolerance, kind === 'capacitor' ? nominal : null)
  const close = Math.max(tolerance.minus, tolerance.plus) <= 0.01
  const digits = [printDigitCode(nominal, 3, kind), close ? printDigitCode(nominal, 4, kind) : null, close && kind === 'resistor' ? printEia96(nominal) : null]
  // Parts closer than 5 % come in E24 values too.
  const preferred = isPreferred(nominal, seriesFor(tolerance)) || isPreferred(nominal, 'E24')
  return {
    letters: `${printLetterDigit(nominal, kind)} ${letter ?? toleranceInWords(tolerance)}`,
    digits: digits.flatMap((each) => each ?? []),
    colours: kind === 'resistor' ? printBands({ ohms: nominal, tolerance, perKelvin: null }, close ? 3 : 2) : null,
    nearest: preferred ? null : nearestPreferred(nominal, seriesFor(tolerance)),
  }
}
