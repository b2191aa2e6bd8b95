/**
 * Preferred values against IEC 60063 and markings against IEC 60062. The tables are quoted from memory, none was at hand; the series are
 * held to the rule that makes them as well, and to the places where the standard leaves it.
 */
import { describe, expect, it } from 'vitest'
import { readBands, type Colour } from '../../src-core/quantity/colour-code'
import { readLetterDigit } from '../../src-core/quantity/letter-digit-code'
import { decade } from '../../src-core/quantity/preferred-values'
import { readDigitCode, readEia96, readPointCode } from '../../src-core/quantity/smd-code'
import { toleranceOfLetter } from '../../src-core/quantity/tolerance-letters'

const figures = (text: string): number[] => text.trim().split(/\s+/).map(Number)

describe('IEC 60063: preferred number series (from memory)', () => {
  it('E3 to E24', () => {
    expect(decade.E3).toEqual(figures('10 22 47'))
    expect(decade.E6).toEqual(figures('10 15 22 33 47 68'))
    expect(decade.E12).toEqual(figures('10 12 15 18 22 27 33 39 47 56 68 82'))
    expect(decade.E24).toEqual(figures('10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91'))
  })
  it('E24 leaves 10·10^(i/24) in eight places', () => {
    const byRule = decade.E24.map((_, i) => Math.round(10 * 10 ** (i / 24)))
    expect(decade.E24.filter((value, i) => value !== byRule[i])).toEqual([27, 30, 33, 36, 39, 43, 47, 82])
  })
  it('E48', () => {
    expect(decade.E48).toEqual(figures(`
      100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301
      316 332 348 365 383 402 422 442 464 487 511 536 562 590 619 649 681 715 750 787 825 866 909 953`))
  })
  it('E96', () => {
    expect(decade.E96).toEqual(figures(`
      100 102 105 107 110 113 115 118 121 124 127 130 133 137 140 143 147 150 154 158 162 165 169 174
      178 182 187 191 196 200 205 210 215 221 226 232 237 243 249 255 261 267 274 280 287 294 301 309
      316 324 332 340 348 357 365 374 383 392 402 412 422 432 442 453 464 475 487 499 511 523 536 549
      562 576 590 604 619 634 649 665 681 698 715 732 750 768 787 806 825 845 866 887 909 931 953 976`))
  })
  it('E192 has 920 where its rule says 919, and is otherwise the rule', () => {
    expect(decade.E192).toHaveLength(192)
    const byRule = decade.E192.map((_, i) => Math.round(100 * 10 ** (i / 192)))
    expect(decade.E192.flatMap((value, i) => (value === byRule[i] ? [] : [[byRule[i], value]]))).toEqual([[919, 920]])
    expect(decade.E192.slice(0, 12)).toEqual(figures('100 101 102 104 105 106 107 109 110 111 113 114'))
    expect(decade.E192.slice(-12)).toEqual(figures('866 876 887 898 909 920 931 942 953 965 976 988'))
  })
  it('each series from E48 up holds the one below it', () => {
    for (const value of decade.E48) expect(decade.E96).toContain(value)
    for (const value of decade.E96) expect(decade.E192).toContain(value)
  })
})

describe('IEC 60062: letter and digit code (from memory)', () => {
  it.each([['R10', 0.1], ['R332', 0.332], ['1R0', 1], ['3R32', 3.32], ['10R', 10], ['33R2', 33.2], ['100R', 100], ['1K0', 1000], ['3K32', 3320], ['10K', 10_000], ['332K', 332_000], ['1M0', 1e6], ['3M32', 3.32e6], ['1G0', 1e9], ['1T0', 1e12]])(
    'resistance %s: %d Ω', (code, ohms) => { expect(readLetterDigit(code, 'resistor')).toBe(ohms) })
  it.each([['p10', 1e-13], ['p332', 3.32e-13], ['1p0', 1e-12], ['3p32', 3.32e-12], ['100p', 1e-10], ['1n0', 1e-9], ['33n2', 3.32e-8], ['1µ0', 1e-6], ['3µ32', 3.32e-6], ['1m0', 1e-3], ['1F0', 1]])(
    'capacitance %s: %d F', (code, farads) => { expect((readLetterDigit(code, 'capacitor') ?? NaN) / farads).toBeCloseTo(1, 12) })
})

describe('IEC 60062: tolerance letters (from memory)', () => {
  it.each([['B', 0.1], ['C', 0.25], ['D', 0.5], ['F', 1], ['G', 2], ['H', 3], ['J', 5], ['K', 10], ['M', 20], ['N', 30], ['W', 0.05], ['P', 0.02], ['L', 0.01], ['E', 0.005]])(
    '%s: ± %d %%', (letter, percent) => { expect(toleranceOfLetter(letter, null)).toEqual({ minus: Number(`${percent}e-2`), plus: Number(`${percent}e-2`) }) })
  it.each([['Q', 10, 30], ['T', 10, 50], ['S', 20, 50], ['Z', 20, 80]])('%s: −%d % +%d %', (letter, minus, plus) => {
    expect(toleranceOfLetter(letter, null)).toEqual({ minus: minus / 100, plus: plus / 100 })
  })
  it.each([['B', 0.1], ['C', 0.25], ['D', 0.5], ['F', 1], ['G', 2]])('%s on a capacitor under 10 pF: ± %d pF', (letter, picofarads) => {
    expect((toleranceOfLetter(letter, 4e-12)?.plus ?? NaN) * 4).toBeCloseTo(picofarads, 10)
  })
})

describe('IEC 60062:2016: colour code (from memory)', () => {
  const bands = (text: string): Colour[] => text.split(' ') as Colour[]
  it.each<[string, number, number, number | null]>([
    ['brown black silver silver', 0.1, 10, null], ['red red black gold', 22, 5, null], ['yellow violet red gold', 4700, 5, null], ['orange orange yellow', 330_000, 20, null],
    ['brown black green gold', 1e6, 5, null], ['green blue gold gold', 5.6, 5, null], ['red yellow pink brown', 0.024, 1, null],
    ['brown black black red brown', 10_000, 1, null], ['yellow white white black violet', 499, 0.1, null], ['orange orange red brown green', 3320, 0.5, null],
    ['red orange violet orange brown brown', 237_000, 1, 100], ['brown black black orange blue yellow', 100_000, 0.25, 25], ['violet grey violet silver red red', 7.87, 2, 50],
  ])('%s: %d Ω ± %d %%, %d', (text, ohms, percent, perKelvin) => {
    const found = readBands(bands(text))
    expect(found).toEqual({ ohms: expect.closeTo(ohms, 9) as number, tolerance: { minus: percent / 100, plus: percent / 100 }, perKelvin })
  })
  it.each<[Colour, number]>([['brown', 1], ['red', 2], ['orange', 0.05], ['yellow', 0.02], ['green', 0.5], ['blue', 0.25], ['violet', 0.1], ['grey', 0.01], ['gold', 5], ['silver', 10]])(
    'fourth band %s: ± %d %%', (colour, percent) => { expect(readBands(['red', 'red', 'black', colour])).toMatchObject({ tolerance: { plus: Number(`${percent}e-2`) } }) })
})

describe('codes on surface-mount parts (IEC 60062 and EIA-96, from memory)', () => {
  it.each([['101', 100], ['473', 47_000], ['220', 22], ['1001', 1000], ['4992', 49_900], ['1542', 15_400]])('%s: %d Ω', (code, ohms) => { expect(readDigitCode(code, 'resistor')).toBe(ohms) })
  it.each([['4R7', 4.7], ['R47', 0.47], ['0R22', 0.22], ['R005', 0.005]])('%s: %d Ω', (code, ohms) => { expect(readPointCode(code, 'resistor')).toBe(ohms) })
  it.each([['104', 1e-7], ['473', 4.7e-8], ['222', 2.2e-9], ['100', 1e-11]])('capacitor %s: %d F', (code, farads) => { expect((readDigitCode(code, 'capacitor') ?? NaN) / farads).toBeCloseTo(1, 12) })
  it.each([['01C', 10_000], ['01A', 100], ['68X', 49.9], ['68S', 49.9], ['30B', 2000], ['30H', 2000], ['96D', 976_000], ['47Y', 3.01], ['12Z', 0.13], ['66E', 4.75e6], ['01F', 1e7]])(
    'EIA-96 %s: %d Ω', (code, ohms) => { expect((readEia96(code) ?? NaN) / ohms).toBeCloseTo(1, 12) })
  it('97 and 00 are no EIA-96 numbers', () => { expect([readEia96('97A'), readEia96('00A')]).toEqual([null, null]) })
})
