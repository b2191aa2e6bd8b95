/** What is said of a record's claim of traceability: function by function, never of one that the certificate does not cover. */
import { expect, it } from 'vitest'
import { claimInWords, claimOfRecord } from '../../../src-core/record/claim-words'
import { fullRecord } from '../../bench-tools/full-record'

const because = 'The certificate of Bench meter has no point in diode test.'

it('a certificate with points in resistance and continuity alone covers no diode step of the record', () => {
  const whole = fullRecord(10)
  expect(claimOfRecord(whole)).toBe('It claims traceable values in resistance, continuity and diode test.')
  const steps = whole.steps.map((step) => ({ ...step, values: step.values.map((value) => (value.function === 'diode' && value.traceable !== null ? { ...value, traceable: { claimed: false, because } } : value)) }))
  expect(claimOfRecord({ ...whole, steps, traceable: { claimed: false, because } })).toBe(`It claims traceable values in resistance and continuity only. ${because}`)
})

it('a list that does not tell the functions names none', () => {
  expect([claimInWords(true, null), claimInWords(false, null), claimInWords(false, [])]).toEqual(['It claims traceable values.', 'It claims no traceability.', 'It claims no traceability.'])
})
