/** A substitute held against the part it stands in for: what is as good, what is worse, and what nobody knows. */
import { describe, expect, it } from 'vitest'
import type { Part } from '../../../src-core/board/part'
import { judgeSubstitute } from '../../../src-core/repair/substitute'

const r3: Part = { ref: 'R3', kind: 'resistor', value: 220, tolerance: 0.02, pins: { 1: 'B_IN', 2: 'B' }, ratings: { watts: 0.25, volts: 200, package: '0805' } }
const f1: Part = { ref: 'F1', kind: 'fuse', value: 0.25, tolerance: 0.2, pins: { 1: 'A', 2: 'B' }, ratings: { amperes: 0.5, seconds: 0.1 } }
const wordsOf = (part: Part, figures: Parameters<typeof judgeSubstitute>[1]) => Object.fromEntries(judgeSubstitute(part, figures).map(({ what, is, words }) => [what, `${is} | ${words}`]))

describe('a substitute', () => {
  it('that is better everywhere is as good, and what is not known of either is said', () => {
    expect(wordsOf(r3, { value: 220, tolerance: 0.01, watts: 0.5, package: ' 0805 ' })).toEqual({
      value: 'as-good | value: 220 Ω for 220 Ω', tolerance: 'as-good | tolerance: ± 1 % for ± 2 %', volts: 'unknown | voltage rating: not known of the substitute',
      amperes: 'unknown | current rating: not known of the original', watts: 'as-good | power rating: 0.5 W for 0.25 W', package: 'as-good | package: 0805 for 0805',
    })
  })
  it('of another value, a looser tolerance, less power or another package is named so', () => {
    expect(wordsOf(r3, { value: 240, tolerance: 0.05, watts: 0.125, volts: 100, package: '0603' })).toMatchObject({
      value: expect.stringMatching(/^unlike .*9\.1 % off$/) as string, tolerance: expect.stringMatching(/^worse .*looser$/) as string, watts: expect.stringMatching(/^worse /) as string,
      volts: expect.stringMatching(/^worse /) as string, package: expect.stringMatching(/^unlike .*creepage/) as string,
    })
  })
  it('for a fuse is no better for being larger, and opens as fast as the one before', () => {
    expect(wordsOf(f1, { amperes: 1, seconds: 0.1 })).toMatchObject({ amperes: expect.stringMatching(/^unlike .*a larger fuse protects nothing$/) as string, speed: expect.stringMatching(/^as-good/) as string })
    expect(wordsOf(f1, { amperes: 0.5, seconds: 0.01 })).toMatchObject({ amperes: expect.stringMatching(/^as-good/) as string, speed: expect.stringMatching(/^unlike/) as string })
  })
  it('for a diode may be faster, not slower; a resistor has no speed', () => {
    const d2: Part = { ref: 'D2', kind: 'rectifier', pins: { anode: 'A', cathode: 'B' }, ratings: { seconds: 5e-7 } }
    expect(wordsOf(d2, { seconds: 3.5e-8 }).speed).toMatch(/^as-good/)
    expect(wordsOf(d2, { seconds: 2e-6 }).speed).toMatch(/^worse .*slower$/)
    expect(wordsOf(r3, {})).not.toHaveProperty('speed')
  })
})
