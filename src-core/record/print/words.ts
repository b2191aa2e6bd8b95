/** The words that a printed record has for what its JSON names by a word of code. */
import { meterFunction, unitOf } from '../../meter/reading'
import { functionWords as wordsOf } from '../../run/result-words'
import type { RecordStep, RecordValue } from '../step-schema'
import { quantity } from './figures'

/** "DC voltage"; a function this version does not know by its own name. */
export const functionWords = (name: string): string => {
  const known = meterFunction.safeParse(name)
  return known.success ? wordsOf[known.data] : name
}

/** "a, b and c". */
export const listed = (names: readonly string[]): string =>
  (names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1) ?? ''}`)

/** The full scale of a range, in the unit of its function. */
export const rangeWords = (name: string, range: number | null): string => {
  const known = meterFunction.safeParse(name)
  return range === null ? 'all ranges' : quantity(range, known.success ? unitOf[known.data] : '')
}

/** What each kind of evidence is, for whoever was not there. */
export const evidenceMeans: Record<RecordValue['evidence'], string> = {
  steady: 'steady: the reading stood still before it was taken',
  moving: 'still moving: taken while it moved, by a press of the technician',
  confirmed: 'confirmed by a press: open and untouched look alike to a meter; the technician confirmed the contact',
  proven: 'proven on a second point: as confirmed, and measured again on another point of the same net',
  typed: 'typed by hand: read from the display by the technician, not sent by the meter',
}

type Placement = NonNullable<RecordStep['placement']>
type Fixture = Extract<Placement, { fixture: unknown }>

const fixtureWords: Record<Fixture['fixture'], string> = {
  'leads-joined': 'leads joined', 'leads-apart': 'leads apart', 'known-diode': 'on the known diode', 'known-source': 'on the known source',
  'check-resistor': 'on the check resistor', 'check-diode': 'on the check diode', 'first-resistor': 'on the first resistor', 'second-resistor': 'on the second resistor',
  'diode-across-first': 'on the diode across the first resistor', 'diode-and-second': 'on the diode and the second resistor in series',
}

type Point = Extract<Placement, { red: unknown }>['red']

/** "J1.2, terminal B". */
const pointWords = ({ point, words }: Point): string => (words === '' || words === point ? point : `${point}, ${words}`)

/** One lead a line. */
export const placementWords = (placement: RecordStep['placement']): string => {
  if (placement === null) return ''
  if ('fixture' in placement) return `${fixtureWords[placement.fixture]}${placement.reversed ? ', leads exchanged' : ''}`
  if ('clipped' in placement) return `red: from point to point\nblack: ${pointWords(placement.clipped)}`
  if ('walked' in placement) return `red: ${placement.words ?? `point ${placement.walked}`}\nblack: ${pointWords(placement.black)}`
  return `red: ${pointWords(placement.red)}\nblack: ${pointWords(placement.black)}`
}

/** "1 to 4, 7", of step numbers in order. */
export const numbersInWords = (numbers: readonly number[]): string => {
  const spans = numbers.reduce<[number, number][]>((all, n) => {
    const last = all.at(-1)
    if (last !== undefined && n === last[1] + 1) last[1] = n
    else all.push([n, n])
    return all
  }, [])
  return spans.map(([from, to]) => (from === to ? `${from}` : to === from + 1 ? `${from}, ${to}` : `${from} to ${to}`)).join(', ')
}
