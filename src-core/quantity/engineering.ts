/** Engineering notation: a value in SI as a person at the bench writes it, with exactly the digits the meter showed. */
import type { MeasuredValue, UnitSymbol } from '../meter/reading'

const symbols: Record<number, string> = { [-15]: 'f', [-12]: 'p', [-9]: 'n', [-6]: 'µ', [-3]: 'm', 0: '', 3: 'k', 6: 'M', 9: 'G', 12: 'T' }
/** 3 for k, 0 for none; NaN for what is no prefix here. */
export const powerOfPrefix = (prefix: string): number => Number(Object.keys(symbols).find((power) => symbols[Number(power)] === prefix))

const minus = '\u2212'
const decimalsAtMost = 3

const downToThree = (exponent: number): number => 3 * Math.floor(exponent / 3)
const upToThree = (exponent: number): number => 3 * Math.ceil(exponent / 3)
const within = (exponent: number): number => Math.min(12, Math.max(-15, exponent))

/** Exponent of the decade a resolution lies in; a resolution of one count is a power of ten but for rounding. */
const decadeOf = (resolution: number): number => {
  const exponent = Math.floor(Math.log10(resolution))
  return Number(`1e${exponent + 1}`) <= resolution * (1 + 1e-9) ? exponent + 1 : exponent
}

/** Decimal digits without point or leading zeros ('0' for nothing); the last one stands at 10^last. */
type Digits = { digits: string; last: number }

const roundedTo = (magnitude: number, last: number): Digits => {
  if (last >= 0) return { digits: BigInt(Math.round(magnitude / Number(`1e${last}`))).toString(), last }
  if (magnitude >= 1e21) return { digits: BigInt(magnitude).toString() + '0'.repeat(-last), last }
  return { digits: magnitude.toFixed(-last).replace('.', '').replace(/^0+(?=\d)/, ''), last }
}

/** Power of the prefix for a value whose first digit stands at 10^first, its last at 10^last, with zeros after it or not. */
const prefixPower = (first: number, last: number, mayAddZeros: boolean): number => {
  // Below one unit a meter with up to three decimals shows the unit itself: 0.612 V, not 612 mV.
  if (first === -1 && last >= -decimalsAtMost) return 0
  return within(mayAddZeros ? downToThree(first) : Math.max(downToThree(first), upToThree(last)))
}

const prefixPowerOfZero = (last: number): number =>
  within(last > 0 ? upToThree(last) : last >= -decimalsAtMost ? 0 : downToThree(last + decimalsAtMost))

const place = (digits: string, decimals: number): string => {
  if (decimals <= 0) return digits + '0'.repeat(digits === '0' ? 0 : -decimals)
  const padded = digits.padStart(decimals + 1, '0')
  return `${padded.slice(0, -decimals)}.${padded.slice(-decimals)}`
}

/** The shortest figure that gives the value to so many significant digits. */
const shortest = (magnitude: number, most = 6): Digits => {
  const [mantissa = '0', exponent = '0'] = Number(magnitude.toPrecision(most)).toExponential().split('e')
  const digits = mantissa.replace('.', '')
  return { digits, last: Number(exponent) - (digits.length - 1) }
}

/**
 * A value in SI as figure and prefix: 4700 at a resolution of 10 is { figure: '4.70', prefix: 'k' }.
 * The last digit is the one the resolution stands for: none is invented, no shown zero is dropped. With no
 * resolution, the shortest figure of at most six digits. The minus sign is U+2212.
 * @throws RangeError when the value is not finite, or the resolution is not between 1e-18 and 1e18.
 */
export const engineering = (value: number, resolution: number | null): { figure: string; prefix: string } => {
  if (!Number.isFinite(value)) throw new RangeError(`${value} is not a value a meter can show.`)
  if (resolution !== null && !(resolution >= 1e-18 && resolution <= 1e18)) {
    throw new RangeError(`A resolution of ${resolution} is not one a meter can have.`)
  }
  const magnitude = Math.abs(value)
  if (resolution === null && magnitude === 0) return { figure: '0', prefix: '' }
  const { digits, last } = resolution === null ? shortest(magnitude) : roundedTo(magnitude, decadeOf(resolution))
  const zero = digits === '0'
  const power = zero ? prefixPowerOfZero(last) : prefixPower(last + digits.length - 1, last, resolution === null)
  const figure = place(digits, power - last)
  return { figure: value < 0 && !zero ? minus + figure : figure, prefix: symbols[power] ?? '' }
}

/**
 * "4.70 kΩ", "0.612 V", "OL", "−OL". Where an overload means open, the caller says "open" instead.
 * @throws RangeError as engineering does.
 */
export const inWords = (value: MeasuredValue, unit: UnitSymbol, resolution: number | null): string => {
  if (value === 'overload') return 'OL'
  if (value === 'negative-overload') return `${minus}OL`
  const { figure, prefix } = engineering(value, resolution)
  return `${figure} ${prefix}${unit}`
}

/** As many digits as `typedValue` takes: what was typed from a certificate comes back as it was. */
const mostTypedDigits = 9

/** "9.99987123 kΩ", with every digit of a figure that was typed in. @throws RangeError when the value is not finite. */
export const inFullWords = (value: number, unit: UnitSymbol): string => {
  if (!Number.isFinite(value)) throw new RangeError(`${value} is not a value that can be typed.`)
  if (value === 0) return `0 ${unit}`
  const { digits, last } = shortest(Math.abs(value), mostTypedDigits)
  const power = prefixPower(last + digits.length - 1, last, true)
  return `${value < 0 ? minus : ''}${place(digits, power - last)} ${symbols[power] ?? ''}${unit}`
}
