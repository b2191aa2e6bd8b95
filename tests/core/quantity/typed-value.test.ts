import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { UnitSymbol } from '../../../src-core/meter/reading'
import { inWords } from '../../../src-core/quantity/engineering'
import { typedValue } from '../../../src-core/quantity/typed-value'

const problemOf = (text: string, unit: UnitSymbol): string => {
  const typed = typedValue(text, unit)
  return 'problem' in typed ? typed.problem : `taken as ${JSON.stringify(typed)}`
}

describe('a value typed off a display', () => {
  it.each([
    ['221.4', 'Ω', 221.4, 0.1], ['4.70 k', 'Ω', 4700, 10], ['4.70kΩ', 'Ω', 4700, 10], ['4.70 kohm', 'Ω', 4700, 10], ['0.612 V', 'V', 0.612, 0.001], ['−0.3 mV', 'V', -0.0003, 0.0001],
    ['100.00 nF', 'F', 1e-7, 1e-11], ['47 u', 'F', 4.7e-5, 1e-6], ['2.200 M', 'Ω', 2.2e6, 1000], ['2.2 mΩ', 'Ω', 2.2e-3, 1e-4], ['3.3 mH', 'H', 3.3e-3, 1e-4],
    ['50.0 kHz', 'Hz', 50_000, 100], ['23.5 °C', 'K', 296.65, 0.1], ['296.7 K', 'K', 296.7, 0.1], ['4.0 mA', 'A', 0.004, 0.0001],
  ] as const)('%s in %s', (text, unit, value, resolution) => {
    const typed = typedValue(text, unit)
    if ('problem' in typed) throw new Error(typed.problem)
    expect(typed.value).toBeCloseTo(value, 12)
    expect(typed.resolution).toBeCloseTo(resolution, 15)
  })

  it.each(['OL', 'ol', 'O.L', '0L', '.OL', 'open', ' Over '])('%s is the overload', (text) => {
    expect(typedValue(text, 'Ω')).toEqual({ value: 'overload', resolution: null })
    expect(typedValue(`-${text}`.replace('- ', '-'), 'V')).toEqual({ value: 'negative-overload', resolution: null })
  })

  it('never guesses: what could mean two things is refused with what to do', () => {
    expect(problemOf('0,612', 'V')).toMatch(/with a point/)
    expect(problemOf('1,234', 'Ω')).toMatch(/with a point/)
    expect(problemOf('23.5', 'K')).toMatch(/°C or K/)
    for (const text of ['2.2m', '1e3', '1234567890123', '', '   ', 'abc', '4k7', '1.2.3', '4.7 V', '--3', '5 x', '1e999']) expect(problemOf(text, 'Ω'), text).toMatch(/Type|is no figure|is beyond|mega is a capital M/)
  })

  it('reads back what the app itself would write', () => {
    fc.assert(fc.property(fc.integer({ min: -999_999, max: 999_999 }), fc.integer({ min: -12, max: 6 }), fc.constantFrom<UnitSymbol>('Ω', 'V', 'F', 'H', 'Hz', 'A'), (count, power, unit) => {
      const resolution = Number(`1e${power}`)
      const value = Number(`${count}e${power}`)
      const typed = typedValue(inWords(value, unit, resolution), unit)
      if ('problem' in typed) throw new Error(typed.problem)
      expect(Math.abs((typed.value as number) - value)).toBeLessThanOrEqual(resolution * 1e-9)
      expect(typed.resolution).toBeCloseTo(resolution, 18)
    }))
  })

  it('never throws, whatever is typed', () => {
    fc.assert(fc.property(fc.string({ maxLength: 40 }), fc.constantFrom<UnitSymbol>('Ω', 'V', 'F', 'H', 'Hz', 'K', 'A'), (text, unit) => {
      const typed = typedValue(text, unit)
      if (!('problem' in typed) && typeof typed.value === 'number') expect(Number.isFinite(typed.value)).toBe(true)
    }))
  })
})
