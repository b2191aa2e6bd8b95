import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { printBands } from '../../../src-core/quantity/colour-code'
import { printLetterDigit, readLetterDigit, type PartKind } from '../../../src-core/quantity/letter-digit-code'
import { parseMarking } from '../../../src-core/quantity/marking'
import { decade, isPreferred, nearestPreferred, type Series } from '../../../src-core/quantity/preferred-values'
import { printMarking } from '../../../src-core/quantity/print-marking'
import { printDigitCode, printEia96, readDigitCode, readEia96, readPointCode } from '../../../src-core/quantity/smd-code'
import { letterOfTolerance, toleranceInWords, toleranceOfLetter } from '../../../src-core/quantity/tolerance-letters'

const close = (value: number): unknown => expect.closeTo(value, 12 - Math.floor(Math.log10(value)))
const even = (share: number) => ({ minus: share, plus: share })

describe('a marking with its tolerance', () => {
  it.each<[string, PartKind | null, RegExp]>([
    ['220 G', 'resistor', /is 220 GΩ, and also 220 Ω with 2 %\. Write the one you mean: “220GΩ”, or “220 Ω 2 %”\.$/],
    ['100 K', null, /is 100 kΩ, and also 100 Ω with 10 %/], ['4.7 M', 'resistor', /is 4\.7 MΩ, and also 4\.7 Ω with 20 %/],
    ['96F', null, /is 97\.6 MΩ as the code printed on a resistor, and 96 F as a figure/], ['96 F', null, /Write the one you mean: the ohms, or “96\.0 F”\.$/],
  ])('%s could be two things, and is asked for', (text, hint, words) => {
    expect(parseMarking(text, hint)).toEqual({ problem: expect.stringMatching(words) as string })
    // What it offers instead means one thing.
    for (const offered of ['220GΩ', '220 Ω 2 %', '100KΩ', '100 Ω 10 %', '4.7MΩ', '4.7 Ω 20 %', '96.0 F', '97.6 MΩ']) expect(parseMarking(offered, null)).not.toHaveProperty('problem')
  })
  it.each<[string, PartKind | null, PartKind, number, number | null]>([
    ['4k7 5 %', null, 'resistor', 4700, 0.05], ['4k7 5%', 'resistor', 'resistor', 4700, 0.05], ['4K7±5%', null, 'resistor', 4700, 0.05],
    ['4k7 +-5 %', null, 'resistor', 4700, 0.05], ['22R J', null, 'resistor', 22, 0.05], ['22RJ', null, 'resistor', 22, 0.05],
    ['22R', null, 'resistor', 22, null], ['0R22', null, 'resistor', 0.22, null], ['R22F', null, 'resistor', 0.22, 0.01],
    ['R005 F', 'resistor', 'resistor', 0.005, 0.01], ['4K7J', null, 'resistor', 4700, 0.05], ['1M0', null, 'resistor', 1e6, null],
    ['01C', null, 'resistor', 10_000, 0.01], ['01C', 'resistor', 'resistor', 10_000, 0.01], ['68X', null, 'resistor', 49.9, 0.01],
    ['01C 0.5 %', null, 'resistor', 10_000, 0.005], ['473', 'resistor', 'resistor', 47_000, null], ['473J', 'resistor', 'resistor', 47_000, 0.05],
    ['4702', 'resistor', 'resistor', 47_000, null], ['104', 'resistor', 'resistor', 100_000, null], ['100K', 'resistor', 'resistor', 100_000, null],
    ['100 k', null, 'resistor', 100_000, null], ['4.7M', 'resistor', 'resistor', 4.7e6, null], ['47 K 5 %', null, 'resistor', 47_000, 0.05], ['1F', null, 'capacitor', 1, null], ['96.0 F', null, 'capacitor', 96, null], ['4.7 kΩ 1 %', null, 'resistor', 4700, 0.01],
    ['47 ohm', null, 'resistor', 47, null], ['100 Ω', null, 'resistor', 100, null], ['5 mΩ', null, 'resistor', 0.005, null], ['0.0000001 F', null, 'capacitor', 1e-7, null], ['47', 'resistor', 'resistor', 47, null],
    ['0.22', 'resistor', 'resistor', 0.22, null], ['000', 'resistor', 'resistor', 0, null], ['4.7kJ', null, 'resistor', 4700, 0.05], ['47kF', 'resistor', 'resistor', 47_000, 0.01],
    ['104K', 'capacitor', 'capacitor', 1e-7, 0.1], ['104', 'capacitor', 'capacitor', 1e-7, null], ['4n7', null, 'capacitor', 4.7e-9, null],
    ['100n K', null, 'capacitor', 1e-7, 0.1], ['100nK', null, 'capacitor', 1e-7, 0.1], ['100nF', null, 'capacitor', 1e-7, null], ['100 nF 10 %', null, 'capacitor', 1e-7, 0.1],
    ['µ33', 'capacitor', 'capacitor', 3.3e-7, null], ['0.1 uF M', null, 'capacitor', 1e-7, 0.2], ['4p7 C', null, 'capacitor', 4.7e-12, 0.25 / 4.7],
    ['47', 'capacitor', 'capacitor', 4.7e-11, null], ['4R7', 'capacitor', 'capacitor', 4.7e-12, null], ['229', 'capacitor', 'capacitor', 2.2e-12, null],
    ['104F', 'capacitor', 'capacitor', 1e-7, 0.01], ['2m2', 'capacitor', 'capacitor', 2.2e-3, null],
    ['10 µH', null, 'inductor', 1e-5, null], ['100', 'inductor', 'inductor', 1e-5, null], ['4R7', 'inductor', 'inductor', 4.7e-6, null], ['4µ7 M', 'inductor', 'inductor', 4.7e-6, 0.2],
    ['yellow violet red gold', null, 'resistor', 4700, 0.05], ['Brown, Black, Black, Red, Brown', null, 'resistor', 10_000, 0.01],
  ])('“%s” (%s) is a %s of %d, tolerance %d', (text, hint, kind, nominal, tolerance) => {
    const found = parseMarking(text, hint)
    expect(found).toMatchObject({ kind, nominal: nominal === 0 ? 0 : close(nominal), tolerance: tolerance === null ? null : even(close(tolerance) as number) })
    expect('how' in found && found.how.length).toBeGreaterThan(3)
  })
  it('may be uneven', () => {
    for (const text of ['10µ Z', '10 µF +80 % -20 %', '10µ +80/-20 %', '10µF +80% \u221220%']) {
      expect(parseMarking(text, 'capacitor')).toMatchObject({ nominal: close(1e-5), tolerance: { minus: 0.2, plus: 0.8 } })
    }
  })
})

describe('a marking that means two things, or none, says so', () => {
  it.each<[string, PartKind | null, RegExp]>([
    ['100', 'resistor', /“100” is 10 Ω as the code printed on a part, and 100 Ω as a plain figure\. Write the one you mean/],
    ['221', 'resistor', /220 Ω .* 221 Ω/], ['1000', 'resistor', /100 Ω .* 1 kΩ/], ['473', null, /could be ohms, farads or henries/],
    ['104K', null, /could be ohms, farads or henries/], ['', null, /Write the value/], ['4,7k', null, /with a point/], ['5 %', 'resistor', /a tolerance and no value/],
    ['4m7', 'resistor', /no value of a resistor/], ['4.7m', 'resistor', /mega is a capital M/], ['100nF', 'resistor', /is in F, and a resistor is in Ω/],
    ['0.1', 'capacitor', /says no unit/], ['47', 'inductor', /says no unit/], ['99C', 'resistor', /no value of a resistor/], ['hello', null, /could be ohms|no value/],
    ['red violet', null, /three to six bands/], ['gold violet red gold', null, /Band 1 cannot be gold/], ['yellow violet red black', null, /Band 4 cannot be black/],
    ['yellow violet red gold', 'capacitor', /for resistors only/], ['4k7k', 'resistor', /no value/], ['100n', 'resistor', /no value of a resistor/], ['4.7k', 'capacitor', /no value of a capacitor/],
  ])('“%s” (%s)', (text, hint, words) => {
    const found = parseMarking(text, hint)
    expect('problem' in found ? found.problem : JSON.stringify(found)).toMatch(words)
  })
  it('never throws, whatever is typed', () => {
    const letter = fc.constantFrom(...'0123456789.RkKMnpµuFHΩJ %±+-CZ'.split(''))
    fc.assert(fc.property(fc.array(letter, { maxLength: 9 }), fc.constantFrom<PartKind | null>(null, 'resistor', 'capacitor', 'inductor'), (letters, hint) => {
      const found = parseMarking(letters.join(''), hint)
      if ('problem' in found) expect(found.problem.length).toBeGreaterThan(10)
      else expect(Number.isFinite(found.nominal) && found.nominal >= 0).toBe(true)
    }), { numRuns: 3_000 })
  })
})

const series = fc.constantFrom<Series>('E3', 'E6', 'E12', 'E24', 'E48', 'E96', 'E192')
const preferred = (from: number, to: number) => fc.tuple(series, fc.nat(), fc.integer({ min: from, max: to })).map(([s, at, exponent]) => {
  const values = decade[s]
  return Number(`${values[at % values.length] ?? 0}e${exponent}`)
})

describe('what is printed is read again', () => {
  const same = (found: number | null, value: number): void => { expect(Math.abs((found ?? NaN) / value - 1)).toBeLessThan(1e-9) }
  it('in letters and digits', () => {
    fc.assert(fc.property(preferred(-2, 9), (ohms) => { same(readLetterDigit(printLetterDigit(ohms, 'resistor'), 'resistor'), ohms) }))
    fc.assert(fc.property(preferred(-13, -6), (farads) => { same(readLetterDigit(printLetterDigit(farads, 'capacitor'), 'capacitor'), farads) }))
    fc.assert(fc.property(preferred(-10, -4), (henries) => { same(readLetterDigit(printLetterDigit(henries, 'inductor'), 'inductor'), henries) }))
    expect([4700, 22, 0.22, 1, 10_000, 1e6, 4.99, 1005].map((ohms) => printLetterDigit(ohms, 'resistor'))).toEqual(['4K7', '22R', 'R22', '1R0', '10K', '1M0', '4R99', '1K005'])
    expect([1e-7, 4.7e-12, 6.8e-13, 2.2e-6].map((farads) => printLetterDigit(farads, 'capacitor'))).toEqual(['100n', '4p7', 'p68', '2µ2'])
    expect(() => printLetterDigit(0, 'resistor')).toThrow(RangeError)
    expect(() => printLetterDigit(1e-7, 'resistor')).toThrow(RangeError)
  })
  it('in digits, and in EIA-96', () => {
    fc.assert(fc.property(preferred(-1, 6), (ohms) => {
      const code = printDigitCode(ohms, 4, 'resistor')
      if (code !== null) same(readDigitCode(code, 'resistor') ?? readPointCode(code, 'resistor'), ohms)
    }))
    expect([47_000, 4.7, 0.47, 1e13].map((ohms) => printDigitCode(ohms, 3, 'resistor'))).toEqual(['473', '4R7', 'R47', null])
    expect([49_900, 49.9, 499].map((ohms) => printDigitCode(ohms, 4, 'resistor'))).toEqual(['4992', '49R9', '4990'])
    expect(printDigitCode(499, 3, 'resistor')).toBeNull()
    for (const value of decade.E96) for (const exponent of [-3, -2, -1, 0, 1, 2, 3, 4, 5]) same(readEia96(printEia96(Number(`${value}e${exponent}`)) ?? ''), Number(`${value}e${exponent}`))
    expect(printEia96(101)).toBeNull()
    expect(printEia96(1e9)).toBeNull()
  })
  it('as a whole marking', () => {
    fc.assert(fc.property(preferred(0, 5), fc.constantFrom(0.001, 0.01, 0.02, 0.05, 0.1, 0.2), (ohms, share) => {
      const printed = printMarking('resistor', ohms, even(share))
      expect(parseMarking(printed.letters, 'resistor')).toMatchObject({ nominal: close(ohms), tolerance: even(close(share) as number) })
      if (printed.colours !== null) expect(parseMarking(printed.colours.join(' '), null)).toMatchObject({ nominal: close(ohms), tolerance: even(close(share) as number) })
    }))
    expect(printMarking('resistor', 4700, even(0.05))).toEqual({ letters: '4K7 J', digits: ['472'], colours: ['yellow', 'violet', 'red', 'gold'], nearest: null })
    expect(printMarking('resistor', 10_000, even(0.01)).digits).toEqual(['103', '1002', '01C'])
    expect(printMarking('resistor', 4800, even(0.07))).toMatchObject({ letters: '4K8 ± 7 %', colours: null, nearest: 4700 })
  })
})

describe('tolerance letters', () => {
  it('come back, and are farads on capacitors under 10 pF', () => {
    for (const letter of 'ELPWBCDFGHJKMNQTSZ') expect(letterOfTolerance(toleranceOfLetter(letter, null) ?? even(NaN), null)).toBe(letter)
    expect(toleranceOfLetter('C', 5e-12)?.plus).toBeCloseTo(0.05, 12)
    expect(toleranceOfLetter('C', 10e-12)?.plus).toBe(0.0025)
    expect(toleranceOfLetter('A', null)).toBeNull()
  })
  it('are said in percent', () => {
    expect(toleranceInWords(even(0.05))).toBe('± 5 %')
    expect(toleranceInWords({ minus: 0.2, plus: 0.8 })).toBe('+80 % \u221220 %')
  })
})

describe('preferred values', () => {
  it('the nearest is the one of its series, across decades, by ratio', () => {
    expect(nearestPreferred(4800, 'E24')).toBe(4700)
    expect(nearestPreferred(9.7, 'E12')).toBe(10)
    expect(nearestPreferred(98_000, 'E6')).toBe(100_000)
    expect(nearestPreferred(1.02e-7, 'E96')).toBe(1.02e-7)
    expect(() => nearestPreferred(0, 'E24')).toThrow(RangeError)
    fc.assert(fc.property(fc.double({ min: 1e-12, max: 1e9, noNaN: true }), series, (value, s) => {
      const found = nearestPreferred(value, s)
      expect(isPreferred(found, s)).toBe(true)
      const steps = decade[s].length
      expect(Math.abs(Math.log10(found / value))).toBeLessThan(1 / steps)
    }))
  })
})

describe('colours', () => {
  it('are none where a value needs more figures than there are bands, or a tolerance has no colour', () => {
    expect(printBands({ ohms: 4990, tolerance: even(0.01), perKelvin: null }, 2)).toBeNull()
    expect(printBands({ ohms: 4700, tolerance: even(0.07), perKelvin: null }, 2)).toBeNull()
    expect(printBands({ ohms: 0, tolerance: even(0), perKelvin: null }, 2)).toEqual(['black'])
  })
})
