/** Letter and digit code of IEC 60062: the letter stands where the point would, so that no print speck loses it: 4K7, R22, 2n2. */

export type PartKind = 'resistor' | 'capacitor' | 'inductor'

const powers: Record<PartKind, Record<string, number>> = {
  resistor: { R: 0, K: 3, k: 3, M: 6, G: 9, T: 12 },
  capacitor: { p: -12, n: -9, µ: -6, μ: -6, u: -6, m: -3, F: 0 },
  inductor: { n: -9, µ: -6, μ: -6, u: -6, m: -3, H: 0 },
}
const printed: Record<PartKind, readonly [letter: string, power: number][]> = {
  resistor: [['R', 0], ['K', 3], ['M', 6], ['G', 9], ['T', 12]],
  capacitor: [['p', -12], ['n', -9], ['µ', -6], ['m', -3], ['F', 0]],
  inductor: [['n', -9], ['µ', -6], ['m', -3], ['H', 0]],
}

/** "4k7", "22R", "R22", "0R22", "100n", "p68". SI value, or null where the text is none. Case tells m from M. */
export const readLetterDigit = (text: string, kind: PartKind): number | null => {
  const found = /^(\d{0,4})([A-Za-zµμ])(\d{0,3})$/.exec(text)
  const [, whole = '', letter = '', parts = ''] = found ?? []
  const power = powers[kind][letter]
  if (found === null || power === undefined || whole + parts === '') return null
  return Number(`${whole}${parts}e${power - parts.length}`)
}

const exponentOf = (value: number): number => Number(value.toExponential(5).split('e')[1])

/**
 * The value as it is printed on a part: at least two digits, four at most, capital K as the standard has it. 4700 is 4K7, 0.22 is R22.
 * @throws RangeError when the value is not above zero, or lies beyond the letters of its kind.
 */
export const printLetterDigit = (value: number, kind: PartKind): string => {
  const steps = printed[kind]
  const first = steps[0]
  const last = steps.at(-1)
  const digits = value > 0 && Number.isFinite(value) ? Number(value.toPrecision(4)) : NaN
  const exponent = exponentOf(digits)
  if (first === undefined || last === undefined || !(exponent >= first[1] - 3) || exponent > last[1] + 3) {
    throw new RangeError(`${value} cannot be printed in letters and digits on a ${kind}.`)
  }
  // 100 to 999 of the smaller letter rather than R1 to R99 of the next: 100n, but what lies below the first letter begins with it.
  const [letter, power] = [...steps].reverse().find((step) => step[1] <= exponent) ?? first
  const [whole = '', parts = ''] = String(Number((digits / Number(`1e${power}`)).toPrecision(12))).split('.')
  const shown = whole === '0' ? '' : whole
  return `${shown}${letter}${parts === '' && shown.length === 1 ? '0' : parts}`
}
