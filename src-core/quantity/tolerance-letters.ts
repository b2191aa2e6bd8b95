/** Tolerance letters of IEC 60062, as printed behind a value (from memory). */

/** Both relative, and at least 0: 0.05 is 5 %. */
export type Tolerance = { minus: number; plus: number }

const percent = (minus: number, plus = minus): Tolerance => ({ minus: Number(`${minus}e-2`), plus: Number(`${plus}e-2`) })

const letters: Record<string, Tolerance> = {
  E: percent(0.005), L: percent(0.01), P: percent(0.02), W: percent(0.05), B: percent(0.1), C: percent(0.25), D: percent(0.5), F: percent(1),
  G: percent(2), H: percent(3), J: percent(5), K: percent(10), M: percent(20), N: percent(30),
  Q: percent(10, 30), T: percent(10, 50), S: percent(20, 50), Z: percent(20, 80),
}

/** On capacitors under 10 pF some letters are farads, not a share: ± 0.1 pF and so on. */
const picofarads: Record<string, number> = { B: 0.1, C: 0.25, D: 0.5, F: 1, G: 2 }
const smallFarads = 10e-12

/** Null: no tolerance letter. `farads` of the capacitor it stands on; null on anything else. */
export const toleranceOfLetter = (letter: string, farads: number | null): Tolerance | null => {
  const absolute = picofarads[letter]
  if (farads !== null && farads < smallFarads * (1 - 1e-9) && absolute !== undefined) {
    const share = Number((absolute * 1e-12 / farads).toPrecision(12))
    return { minus: share, plus: share }
  }
  return letters[letter] ?? null
}

const same = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-9 * Math.max(a, b)

/** The letter for a tolerance; null where none stands for it. For capacitors under 10 pF the letters in farads come first. */
export const letterOfTolerance = (tolerance: Tolerance, farads: number | null): string | null =>
  Object.keys(letters).find((letter) => {
    const found = toleranceOfLetter(letter, farads)
    return found !== null && same(found.minus, tolerance.minus) && same(found.plus, tolerance.plus)
  }) ?? null

/** "5 %", "+80 % −20 %". */
export const toleranceInWords = ({ minus, plus }: Tolerance): string => {
  const figure = (share: number): string => String(Number((100 * share).toPrecision(6)))
  return same(minus, plus) ? `± ${figure(plus)} %` : `+${figure(plus)} % \u2212${figure(minus)} %`
}
