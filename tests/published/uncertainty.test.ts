/** Uncertainty against the worked examples of JCGM 100:2008. Figures and clause numbers are quoted from memory. */
import { describe, expect, it } from 'vitest'
import { expandedUncertainty } from '../../src-core/metrology/uncertainty'

/** Standard uncertainty to two significant digits, as the Guide states it (7.2.6). */
const twoDigits = (u: number): number => Number(u.toPrecision(2))

describe('JCGM 100:2008', () => {
  it('4.3.7, example 2: a voltmeter of 14 ppm of reading and 2 µV, at 0.928 571 V: half-width 15 µV, u = 8.7 µV', () => {
    const found = expandedUncertainty(0.928571, 1e-6, 0, { percent: 14e-4, counts: 2 })
    expect(twoDigits((found?.U ?? NaN) / 2)).toBe(8.7e-6)
  })
  it('5.1.5: the same with a Type A uncertainty of 12 µV: combined 15 µV', () => {
    const found = expandedUncertainty(0.928571, 1e-6, 12e-6, { percent: 14e-4, counts: 2 })
    expect(twoDigits((found?.U ?? NaN) / 2)).toBe(15e-6)
    expect(found?.k).toBe(2)
  })
  it('4.3.7, example 1: bounds of ± 0.40 about 16.52: u = 0.23', () => {
    const found = expandedUncertainty(16.52, 1e-9, 0, { percent: 100 * 0.40 / 16.52, counts: 0 })
    expect(twoDigits((found?.U ?? NaN) / 2)).toBe(0.23)
  })
  it('F.2.2.1: resolution alone: u = 0.29 of one count', () => {
    const found = expandedUncertainty(0, 0.1, 0, { percent: 0, counts: 0 })
    expect(twoDigits((found?.U ?? NaN) / 2)).toBe(0.029)
  })
})
