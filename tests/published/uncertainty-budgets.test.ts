/**
 * Combination, degrees of freedom, coverage factors and rounding against the worked examples of the guides. All figures and clause
 * numbers are quoted from memory, none was at hand; each example reproduces from its own inputs, which a figure remembered wrongly
 * would not.
 */
import { describe, expect, it } from 'vitest'
import { budgetOf } from '../../src-core/metrology/budget'
import { standardUncertainty, type Component, type Spread } from '../../src-core/metrology/component'
import { boundedFactor, coverageOf, effectiveDegrees, wholeDegrees } from '../../src-core/metrology/coverage'
import { groupOf, pooledRepeatability } from '../../src-core/metrology/pooled'
import { reported } from '../../src-core/metrology/rounding'
import { studentFactor, studentQuantile, varianceRatioTail } from '../../src-core/metrology/student'

const part = (what: string, spread: Spread, degrees: number | null = null): Component =>
  ({ what, from: '', kind: degrees === null ? 'B' : 'A', spread, sensitivity: 1, degrees, unit: 'V' })
const normal = (what: string, standard: number, degrees: number | null = null): Component => part(what, { shape: 'normal', standard }, degrees)
const flat = (what: string, halfWidth: number): Component => part(what, { shape: 'rectangular', halfWidth })
const about = { value: 0, unit: 'V', basis: 'budget', remarks: [] } as const

describe('JCGM 100:2008, table G.2: Student’s t (from memory)', () => {
  it.each([
    [1, 12.71, 63.66], [2, 4.30, 9.92], [3, 3.18, 5.84], [4, 2.78, 4.60], [5, 2.57, 4.03], [6, 2.45, 3.71], [7, 2.36, 3.50], [8, 2.31, 3.36],
    [9, 2.26, 3.25], [10, 2.23, 3.17], [12, 2.18, 3.05], [15, 2.13, 2.95], [16, 2.12, 2.92], [19, 2.09, 2.86], [20, 2.09, 2.85], [25, 2.06, 2.79],
    [30, 2.04, 2.75], [40, 2.02, 2.70], [50, 2.01, 2.68],
  ])('%i degrees of freedom: 95 %% within %d, 99 %% within %d', (degrees, t95, t99) => {
    expect(studentFactor(0.95, degrees)).toBeCloseTo(t95, 2)
    expect(studentFactor(0.99, degrees)).toBeCloseTo(t99, 2)
  })
  it('100: 1.984 and 2.626; infinitely many: 1.960 and 2.576', () => {
    expect([100, Infinity].map((v) => [studentFactor(0.95, v), studentFactor(0.99, v)].map((t) => t.toFixed(3)))).toEqual([['1.984', '2.626'], ['1.960', '2.576']])
  })
  it.each([[1, 13.97], [2, 4.53], [3, 3.31], [4, 2.87], [5, 2.65], [6, 2.52], [7, 2.43], [8, 2.37], [10, 2.28], [20, 2.13], [50, 2.05]])(
    'and the factors of EA-4/02 M:2022, table E.1, for 95.45 %%: %i degrees, k = %d', (degrees, k) => {
      expect(studentFactor(0.9545, degrees)).toBeCloseTo(k, 2)
    })
})

describe('NIST/SEMATECH e-Handbook, 1.3.6.7.2: upper critical values of Student’s t (from memory)', () => {
  it.each([[1, 6.314, 12.706, 31.821, 63.657], [5, 2.015, 2.571, 3.365, 4.032], [10, 1.812, 2.228, 2.764, 3.169], [30, 1.697, 2.042, 2.457, 2.750]])(
    '%i degrees of freedom', (degrees, ...critical) => {
      expect([0.95, 0.975, 0.99, 0.995].map((p) => studentQuantile(p, degrees).toFixed(3))).toEqual(critical.map((t) => t.toFixed(3)))
    })
})

describe('JCGM 100:2008, H.1: end-gauge calibration (from memory)', () => {
  it('d: 5.8 nm (24), 3.9 nm (5) and 6.7 nm (8) are 9.7 nm with 25.6 degrees of freedom', () => {
    const found = budgetOf([normal('repeated observations', 5.8, 24), normal('random effects of the comparator', 3.9, 5), normal('systematic effects of the comparator', 6.7, 8)], about)
    expect(found.combined).toBeCloseTo(9.7, 1)
    // The guide puts the rounded 9.7 into its formula; 9.64 unrounded gives 25.4.
    expect((found.effectiveDegrees ?? NaN) * (9.7 / found.combined) ** 4).toBeCloseTo(25.6, 1)
  })
  it('l: 25 nm (18), 9.7 nm (25.6), 2.9 nm (50), 16.6 nm (2) are 32 nm with 16 degrees; t₉₉ = 2.92, U₉₉ = 93 nm', () => {
    const parts = [normal('standard', 25, 18), normal('difference', 9.7, 25.6), normal('expansion', 2.9, 50), normal('temperature', 16.6, 2)]
    const found = budgetOf(parts, about, 0.99)
    expect(Math.round(found.combined)).toBe(32)
    expect(wholeDegrees(found.effectiveDegrees ?? NaN)).toBe(16)
    expect(found.coverage.k.toFixed(2)).toBe('2.92')
    expect(Math.round(found.U)).toBe(93)
  })
})

describe('JCGM 100:2008, G.4.1: a product of three, relative 0.25 % (n 10), 0.57 % (n 5), 0.82 % (n 15) (from memory)', () => {
  it('is 1.03 % with 19.0 degrees of freedom; t₉₅ = 2.09, U₉₅ = 2.2 %', () => {
    const found = budgetOf([normal('x1', 0.25, 9), normal('x2', 0.57, 4), normal('x3', 0.82, 14)], about)
    expect(found.combined.toFixed(2)).toBe('1.03')
    expect(found.effectiveDegrees?.toFixed(1)).toBe('19.0')
    expect(found.coverage.k.toFixed(2)).toBe('2.09')
    expect(found.U.toFixed(1)).toBe('2.2')
  })
})

describe('JCGM 100:2008, H.5: Zener voltage standard, ten days of five readings (from memory)', () => {
  const microvolts = [172, 116, 13, 144, 106, 31, 60, 125, 163, 41]
  const sds = [60, 77, 111, 101, 67, 93, 80, 73, 88, 86]
  const within = pooledRepeatability(sds.map((sd) => ({ sd, count: 5 })))
  const between = groupOf(microvolts)
  it('pools to 85 µV within a day, with 40 degrees of freedom; the means of days scatter by 57 µV', () => {
    expect(Math.round(within?.sd ?? NaN)).toBe(85)
    expect(within?.degrees).toBe(40)
    expect(Math.round(between.sd)).toBe(57)
  })
  it('F = 2.25 lies between F₀.₉₅(9, 40) = 2.12 and F₀.₉₇₅(9, 40) = 2.45', () => {
    const F = (Math.sqrt(5) * between.sd / (within?.sd ?? NaN)) ** 2
    expect(Math.abs(F - 2.25)).toBeLessThan(0.02)
    expect(varianceRatioTail(2.12, 9, 40)).toBeCloseTo(0.05, 3)
    expect(varianceRatioTail(2.45, 9, 40)).toBeCloseTo(0.025, 3)
  })
})

describe('JCGM 100:2008, 7.2: stating a result (from memory)', () => {
  it('7.2.4: u_c = 0.35 mg with 9 degrees of freedom: k = 2.26, U = 0.79 mg, (100.021 47 ± 0.000 79)', () => {
    const found = budgetOf([normal('all', 0.35e-3, 9)], about)
    expect(found.coverage.k.toFixed(2)).toBe('2.26')
    expect(reported(100.02147, found.U, 'V').words).toBe('(100.02147 ± 0.00079) V')
  })
  it('7.2.6: 10.057 62 Ω with 27 mΩ is 10.058 Ω', () => {
    expect(reported(10.05762, 0.027, 'Ω').words).toBe('(10.058 ± 0.027) Ω')
  })
})

describe('EA-4/02 M:2022, S9: calibration of a hand-held digital multimeter at 100 V (from memory)', () => {
  // Indicated 100.1 V: the calibrator 0.001 V (normal), its drift and so on ± 0.011 V, the resolution of the meter ± 0.05 V.
  const parts = [normal('calibrator', 0.001), flat('corrections of the calibrator', 0.011), flat('resolution of the meter', 0.05)]
  const found = budgetOf(parts, { ...about, value: 0.1 })
  it('standard uncertainties 0.0064 V and 0.029 V, together 0.030 V', () => {
    expect(parts.map(({ spread }) => Number(standardUncertainty(spread).toPrecision(2)))).toEqual([0.001, 0.0064, 0.029])
    expect(found.combined.toFixed(3)).toBe('0.030')
  })
  it('the resolution dominates: a rectangle has k = 1.65, and E = (0.10 ± 0.05) V', () => {
    // The example takes the rectangle alone; ours counts the two small parts too, which here changes no printed digit of U.
    expect(coverageOf([flat('resolution of the meter', 0.05)]).k.toFixed(2)).toBe('1.65')
    expect((boundedFactor({ kind: 'rectangles', a: 0.05, b: 0 }, 0.95) * found.combined).toFixed(2)).toBe('0.05')
    expect(found.coverage.by).toBe('dominated')
    expect(found.coverage.part).toEqual({ what: ['resolution of the meter'], shape: 'rectangular', k: 0.95 * Math.sqrt(3) })
    expect(found.U.toFixed(2)).toBe('0.05')
  })
})

describe('EA-4/02 M:2022, S10: calibration of a vernier caliper (from memory)', () => {
  // Resolution ± 25 µm and mechanical effects ± 50 µm; the rest (gauge blocks 0.46 µm, temperature 1.7 µm) hardly matters.
  const found = budgetOf([flat('resolution', 25), flat('mechanical effects', 50), normal('gauge block', 0.46), normal('temperature', 1.7)], about)
  it('u = 33 µm; two rectangles make a trapezoid of edge β = 0.33: k = 1.83, U = 0.06 mm', () => {
    expect(Math.abs(found.combined - 33)).toBeLessThan(1)
    expect((found.coverage.part?.k ?? NaN).toFixed(2)).toBe('1.83')
    expect(found.coverage.k.toFixed(2)).toBe('1.83')
    expect((found.U / 1000).toFixed(2)).toBe('0.06')
  })
})

describe('JCGM 101:2008, 9.2: a sum of four (from memory)', () => {
  it('9.2.2: four normal ones of 1: u = 2.0, 95 % within ± 3.92', () => {
    const found = budgetOf(['a', 'b', 'c', 'd'].map((what) => normal(what, 1)), about)
    expect([found.combined.toFixed(2), found.U.toFixed(2)]).toEqual(['2.00', '3.92'])
  })
  it('9.2.3: four rectangular ones of 1: 95 % within ± 2√3·(2 − (3/5)^¼) = ± 3.88, where a normal one says 3.92', () => {
    const exact = 2 * Math.sqrt(3) * (2 - (3 / 5) ** 0.25)
    expect(exact.toFixed(2)).toBe('3.88')
    const { U } = budgetOf(['a', 'b', 'c', 'd'].map((what) => flat(what, Math.sqrt(3))), about)
    // Two of the four are taken as normal: half of the way to 3.92 at most.
    expect(Math.abs(U - exact)).toBeLessThan(0.02)
  })
  it('9.2.4: one of them ten times as wide: u = 10.1, 95 % within ± 17.0, where a normal one says 19.9', () => {
    const found = budgetOf([...['a', 'b', 'c'].map((what) => flat(what, Math.sqrt(3))), flat('d', 10 * Math.sqrt(3))], about)
    expect(Math.abs(found.combined - 10.1)).toBeLessThan(0.1)
    expect(found.U.toFixed(1)).toBe('17.0')
    expect((studentFactor(0.95, Infinity) * found.combined).toFixed(1)).toBe('19.9')
  })
})

describe('Welch–Satterthwaite', () => {
  it('G.4.1, note: the effective degrees never exceed the sum, nor fall under the least', () => {
    const parts = [{ u: 3, degrees: 4 }, { u: 1, degrees: 9 }, { u: 2, degrees: 6 }]
    expect(effectiveDegrees(parts)).toBeLessThanOrEqual(19)
    expect(effectiveDegrees(parts)).toBeGreaterThanOrEqual(4)
    // Equality of the sum where every u² is as its degrees of freedom.
    expect(effectiveDegrees([4, 9, 6].map((degrees) => ({ u: Math.sqrt(degrees), degrees })))).toBeCloseTo(19, 10)
  })
})
