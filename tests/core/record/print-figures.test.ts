/** Numbers and units of a printed record, as the SI Brochure asks (9th edition, 2019, 5.4.3 and 5.4.4; clauses and examples from memory). */
import { describe, expect, it } from 'vitest'
import { probabilityInWords } from '../../../src-core/metrology/budget-view'
import { figure, grouped, moment, quantity, valueWithU } from '../../../src-core/record/print/figures'
import type { RecordValue } from '../../../src-core/record/step-schema'
import { numbersInWords } from '../../../src-core/record/print/words'

const thin = '\u2009'

describe('a printed figure', () => {
  it('has its digits in threes from the point where there are more than four; four stay together', () => {
    // 43 279.168 29 is the Brochure's own example; four digits need no space.
    expect(grouped('43279.16829')).toBe(`43${thin}279.168${thin}29`)
    expect(grouped('3279.1683')).toBe('3279.1683')
    expect(grouped('(9.99871 ± 0.00012) kΩ')).toBe(`(9.998${thin}71 ± 0.000${thin}12) kΩ`)
    // Names and versions are no figures.
    expect(grouped('VD-000007 v1.2.34567 R12345')).toBe('VD-000007 v1.2.34567 R12345')
  })

  it('stands a space before its unit, with U+2212 for minus', () => {
    expect([quantity(-0.0031, 'V'), quantity(470, 'Ω'), figure(22.5, '°C'), figure(-5, '°C'), figure(-12345)]).toEqual(['−3.1 mV', '470 Ω', '22.5 °C', '−5 °C', `−12${thin}345`])
  })

  it('of a value goes to the last place of its uncertainty of two digits (JCGM 100:2008, 7.2.6; from memory)', () => {
    const value = (over: Partial<RecordValue>): RecordValue => ({ value: 221.4321, words: '221.4 Ω', unit: 'Ω', uncertainty: { U: 1.2612, k: 2, basis: 'budget', words: '± 1.3 Ω' }, ...over }) as RecordValue
    expect(valueWithU(value({}))).toBe('(221.4 ± 1.3) Ω')
    expect(valueWithU(value({ uncertainty: null }))).toBe('221.4 Ω')
    expect(valueWithU(value({ value: 'overload', words: 'open' }))).toBe('open')
    // A unit that this version does not know is printed as the record has it.
    expect(valueWithU(value({ unit: 'lx', words: '221.4 lx' }))).toBe('221.4 lx ± 1.3 Ω')
  })

  it('never says certain', () => { expect([1, 0.992, 0].map(probabilityInWords)).toEqual(['over 99.9 %', '99.2 %', 'under 0.1 %']) })

  it('of a moment keeps its offset', () => {
    expect([moment('2026-03-14T09:10:00.000+01:00'), moment('2026-03-14T09:10:00.000-05:00'), moment('2026-03-14T09:10:00Z')]).toEqual(['2026-03-14 09:10:00 +01:00', '2026-03-14 09:10:00 −05:00', '2026-03-14 09:10:00 UTC'])
  })
})

it('step numbers are told in spans', () => { expect([numbersInWords([1, 2, 3, 4, 7]), numbersInWords([1, 2]), numbersInWords([5])]).toEqual(['1 to 4, 7', '1, 2', '5']) })
