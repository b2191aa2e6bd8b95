/** Colour code of resistors, IEC 60062:2016, four, five and six bands, both ways (from memory). */
import type { Tolerance } from './tolerance-letters'

export const colours = ['black', 'brown', 'red', 'orange', 'yellow', 'green', 'blue', 'violet', 'grey', 'white', 'gold', 'silver', 'pink'] as const
export type Colour = (typeof colours)[number]

const digit = (colour: Colour): number | null => {
  const at = colours.indexOf(colour)
  return at < 10 ? at : null
}
const multiplier = (colour: Colour): number => digit(colour) ?? { gold: -1, silver: -2, pink: -3 }[colour as 'gold' | 'silver' | 'pink']

/** In percent. The standard of 2016 gave orange, yellow and grey new ones. */
const tolerances: Partial<Record<Colour, number>> = {
  brown: 1, red: 2, orange: 0.05, yellow: 0.02, green: 0.5, blue: 0.25, violet: 0.1, grey: 0.01, gold: 5, silver: 10,
}
/** Temperature coefficient, 10⁻⁶ per kelvin. */
const coefficients: Partial<Record<Colour, number>> = {
  black: 250, brown: 100, red: 50, orange: 15, yellow: 25, green: 20, blue: 10, violet: 5, grey: 1,
}

export type Banded = { ohms: number; tolerance: Tolerance; /** 10⁻⁶/K; null: no band for it. */ perKelvin: number | null }

const both = (percent: number): Tolerance => ({ minus: Number(`${percent}e-2`), plus: Number(`${percent}e-2`) })

/**
 * From the band nearest an end inwards. Three bands: 20 %. A single black one is a link of 0 Ω.
 * @returns a sentence in `problem` that names the band that cannot be.
 */
export const readBands = (bands: readonly Colour[]): Banded | { problem: string } => {
  if (bands.length === 1 && bands[0] === 'black') return { ohms: 0, tolerance: both(0), perKelvin: null }
  if (bands.length < 3 || bands.length > 6) return { problem: `A resistor has three to six bands, not ${bands.length}.` }
  const figures = bands.slice(0, bands.length <= 4 ? 2 : 3)
  const rest = bands.slice(figures.length)
  const [times, tolerance, coefficient] = rest
  const wrong = figures.find((colour) => digit(colour) === null)
  const turned = 'Read the bands from the other end.'
  if (wrong !== undefined) return { problem: `Band ${figures.indexOf(wrong) + 1} cannot be ${wrong}: it stands for no digit. ${turned}` }
  const percent = tolerance === undefined ? 20 : tolerances[tolerance]
  if (percent === undefined || times === undefined) return { problem: `Band ${figures.length + 2} cannot be ${String(tolerance)}: it stands for no tolerance. ${turned}` }
  const perKelvin = coefficient === undefined ? null : coefficients[coefficient]
  if (perKelvin === undefined) return { problem: `Band 6 cannot be ${String(coefficient)}: it stands for no temperature coefficient. ${turned}` }
  const figure = figures.reduce((sum, colour) => 10 * sum + (digit(colour) ?? 0), 0)
  return { ohms: Number(`${figure}e${multiplier(times)}`), tolerance: both(percent), perKelvin }
}

const named = (table: Partial<Record<Colour, number>>, value: number): Colour | undefined => colours.find((colour) => table[colour] === value)

/** Four bands for two figures, five for three, six with a temperature coefficient. Null: no colours stand for it. */
export const printBands = ({ ohms, tolerance, perKelvin }: Banded, figures: 2 | 3): Colour[] | null => {
  if (ohms === 0) return ['black']
  if (!(ohms > 0 && Number.isFinite(ohms)) || (perKelvin !== null && figures === 2)) return null
  const [mantissa = '', exponent = '0'] = ohms.toExponential(figures - 1).split('e')
  if (Math.abs(Number(`${mantissa}e${exponent}`) / ohms - 1) > 1e-9) return null
  const power = Number(exponent) - (figures - 1)
  const times = colours.find((colour) => multiplier(colour) === power)
  const percent = Number((100 * tolerance.plus).toPrecision(6))
  const spread = tolerance.plus === tolerance.minus ? named(tolerances, percent) : undefined
  const none = figures === 2 && percent === 20
  const coefficient = perKelvin === null ? undefined : named(coefficients, perKelvin)
  if (times === undefined || (spread === undefined && !none) || (perKelvin !== null && coefficient === undefined)) return null
  const digits = [...mantissa.replace('.', '')].flatMap((each) => colours[Number(each)] ?? [])
  return [...digits, times, ...(spread === undefined ? [] : [spread]), ...(coefficient === undefined ? [] : [coefficient])]
}

/** "red violet orange gold", "Red, Violet-Orange Gold"; `gray` too. Null: one of the words is no colour of the code. */
export const coloursIn = (text: string): Colour[] | null => {
  const words = text.trim().toLowerCase().split(/[\s,/-]+/).map((word) => (word === 'gray' ? 'grey' : word === 'purple' ? 'violet' : word))
  const found = words.flatMap((word) => colours.find((colour) => colour === word) ?? [])
  return found.length === words.length ? found : null
}
