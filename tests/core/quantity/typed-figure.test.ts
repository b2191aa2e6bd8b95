/** Figures of a form: read as they are written in a data sheet, and shown again with every digit. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { inFullWords } from '../../../src-core/quantity/engineering'
import { typedReader } from '../../../src-core/quantity/typed-figure'

describe('a figure of a form', () => {
  it.each([['600', 600], ['6 k', 6000], ['9.99987123 kΩ', 9999.87123], ['0.5', 0.5], ['10 MΩ', 1e7]])('“%s” is %d Ω', (text, value) => {
    const reader = typedReader()
    expect(reader.si(text, 'Ω', 'Full scale', 'above 0')).toBe(value)
    expect(reader.problem()).toBeNull()
  })
  it.each([
    ['', 'U is missing. Type a figure in V, such as 600 or 6 k.'], ['0', 'U must be above 0; it is “0”.'], ['-1 m', 'U must be above 0; it is “-1 m”.'],
    ['OL', 'U: “OL” is no figure.'], ['1,5', 'U: “1,5”: write the decimal with a point; a comma could mean two things.'],
  ])('“%s” is refused in words that name the field', (text, words) => {
    const reader = typedReader()
    reader.si(text, 'V', 'U', 'above 0')
    expect(reader.problem()).toBe(words)
  })
  it('the first thing wrong is the one that is said', () => {
    const reader = typedReader()
    reader.plain('7', 'k', 1, 5)
    reader.plain('', 'Counts', 0, 1000)
    expect(reader.problem()).toBe('k must be from 1 to 5; it is “7”.')
  })
  it('kept and shown again, no digit is lost or invented', () => {
    fc.assert(fc.property(fc.integer({ min: -999_999_999, max: 999_999_999 }), fc.integer({ min: -12, max: 2 }), (digits, power) => {
      const value = Number(`${digits}e${power}`)
      const reader = typedReader()
      expect(reader.si(inFullWords(value, 'Ω'), 'Ω', 'x', 'any')).toBe(value)
      expect(reader.problem()).toBeNull()
    }), { numRuns: 400, seed: 20_260 })
  })
})
