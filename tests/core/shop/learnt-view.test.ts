import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { priorsOf } from '../../../src-core/circuit/fault-priors'
import { summaryOf } from '../../../src-core/metrology/summary'
import { svgText } from '../../../src-core/shop/chart/svg-text'
import { scaleOf } from '../../../src-core/shop/chart/chart'
import { partsChart, valuesChart, yieldChart } from '../../../src-core/shop/chart/charts'
import { historyInWords, noHistory, partPriors, shareOfHistory, weightFactors } from '../../../src-core/shop/fault-history'
import { individualsChart } from '../../../src-core/shop/individuals-chart'
import { historyOf, learntViewOf, type CountedRow } from '../../../src-core/shop/learnt-view'
import { effortInWords, pairInWords, shareInWords } from '../../../src-core/shop/learnt-words'
import { nothingYet, summaryOfRunning, together, withoutValue, withValue } from '../../../src-core/shop/running-summary'
import { goodLimitsInWords, stepValuesOf, type StepValue } from '../../../src-core/shop/step-values'
import { smallBoard } from './divider'

const row = (what: CountedRow['what'], key: string, count: number): CountedRow => ({ what, key, count })
const counts = [
  row('verdict', 'pass', 30), row('verdict', 'fail', 18), row('verdict', 'beyond-repair', 2), row('verdict', 'incomplete', 4), row('month', '2026-10 pass', 10), row('month', '2026-10 other', 5), row('month', '2026-11 pass', 20),
  row('touches', '9', 1), row('touches', '10', 8), row('touches', '30', 1), row('judged', 'r1', 50), row('failed', 'r1', 6), row('part', 'R1', 6), row('part', 'D1', 10), row('pair', 'D1 R1', 5), row('number', '1', 6), row('number', '2', 5), row('open', 'd1', 3), row('judged', 'd1', 50),
]
const running = [4.9e3, 5e3, 5.1e3].reduce(withValue, nothingYet)
const view = learntViewOf({ board: 'divider', revision: 'A', due: 0, counts, steps: [{ step: 'r1', meter: 'One', function: 'resistance', running, low: 4500, high: 5500 }], file: smallBoard })

describe('running sums', () => {
  it('come to what a summary of all values says, and a value taken back was never there', () => {
    fc.assert(fc.property(fc.array(fc.double({ min: -1e4, max: 1e4, noNaN: true }), { minLength: 2, maxLength: 30 }), fc.double({ min: -1e4, max: 1e4, noNaN: true }), (values, other) => {
      const all = values.reduce(withValue, nothingYet)
      const back = withoutValue(withValue(all, other), other)
      const halves = together(values.slice(0, 1).reduce(withValue, nothingYet), values.slice(1).reduce(withValue, nothingYet))
      for (const one of [all, back, halves]) {
        expect(summaryOfRunning(one)?.mean).toBeCloseTo(summaryOf(values).mean, 6)
        expect(summaryOfRunning(one)?.sd).toBeCloseTo(summaryOf(values).sd ?? NaN, 3)
      }
    }))
    expect(withoutValue(withValue(nothingYet, 5), 5)).toEqual(nothingYet)
  })
})

describe('the view of a board type', () => {
  it('has its yield, its months, its effort and what failed, each with what it rests on', () => {
    expect(view.runs).toBe(54)
    expect(view.passed).toMatchObject({ count: 30, of: 50 })
    expect(view.months.map(({ month, passed: { count, of } }) => [month, count, of])).toEqual([['2026-10', 10, 15], ['2026-11', 20, 20]])
    expect(view.touches).toEqual({ median: 10, most: 10 })
    expect(view.minutes).toBeNull()
    expect(view.parts.map(({ ref, share }) => [ref, share.count, share.of])).toEqual([['D1', 10, 20], ['R1', 6, 20]])
    expect(view.steps.map(({ step, values, open, cpk }) => [step, values, open, cpk === null])).toEqual([['r1', 3, 0, false], ['d1', 0, 3, true]])
    expect(shareInWords(view.passed)).toMatch(/^60 % \(30 of 50; likely 45 % to 74 %\)$/)
    expect(effortInWords(view.touches)).toBe('10, nine in ten at most 10')
  })
  it('holds parts that fail together against chance', () => {
    expect(view.pairs).toHaveLength(1)
    expect(view.pairs[0]).toMatchObject({ parts: ['D1', 'R1'], of: 'R1', share: { count: 5, of: 6 }, expected: 0.5 })
    expect(view.pairs.map(pairInWords)).toEqual(['On 5 of the 6 boards with a faulty R1, D1 was faulty too; were they strangers to each other, on 3.0.'])
  })
})

describe('what history does to the priors', () => {
  const usual = new Map(partPriors(smallBoard, noHistory).map((one) => [one.ref, one]))
  it('is nothing without any, by the kinds alone', () => {
    expect([...weightFactors(smallBoard, noHistory).values()]).toEqual([1, 1, 1])
    expect(historyInWords(noHistory)).toBe('')
    const weightOf = (ref: string): number => priorsOf(smallBoard).filter(({ part }) => part.ref === ref).reduce((sum, { weight }) => sum + weight, 0)
    const [r1, r2, d1] = [weightOf('R1'), weightOf('R2'), weightOf('D1')]
    // One, two or all three of the parts, equally often.
    expect(usual.get('D1')?.usual).toBeCloseTo((d1 / (r1 + r2 + d1) + d1 * (r1 + r2) / (d1 * (r1 + r2) + r1 * r2) + 1) / 3, 12)
  })
  it('goes from the kind’s figure to the shop’s own as boards come, and says how far', () => {
    const shares = [5, 40, 4000].map((boards) => partPriors(smallBoard, { byNumber: [boards], faults: { R1: boards * 0.6 } }).find(({ ref }) => ref === 'R1')?.learnt ?? 0)
    const by = usual.get('R1')?.usual ?? NaN
    shares.forEach((share, at) => { expect(share).toBeCloseTo((40 * by + ([3, 24, 2400][at] ?? NaN)) / (40 + ([5, 40, 4000][at] ?? NaN)), 12) })
    expect(shares[2]).toBeCloseTo(0.6, 1)
    expect(historyOf(counts)).toEqual({ faults: { R1: 6, D1: 10 }, byNumber: [6, 5] })
    expect(shareOfHistory({ byNumber: [30, 10], faults: {} })).toBe(0.5)
    expect(historyInWords(historyOf(counts))).toContain('rests to 22 % on the 11 boards of this type that failed here')
  })
})

describe('charts', () => {
  const values = Array.from({ length: 30 }, (_, at) => ({ utc: `2026-11-${String(1 + at % 28).padStart(2, '0')}T08:00:00.000Z`, value: at === 20 ? 1090 : 1000 + 10 * (at % 2), meter: at < 15 ? 'One' : 'Two', passed: at !== 4 }))
  const control = individualsChart(values.filter(({ passed }) => passed).map(({ value }) => value))
  const chart = valuesChart({ title: 'R1 & <R2>', function: 'resistance', low: 950, high: 1150 }, values, control)
  it('mark what stands out by form, name each meter, and stay on their sheet', () => {
    expect(chart.shapes.filter(({ kind }) => kind === 'cross')).toHaveLength(2)
    expect(chart.shapes.filter(({ kind }) => kind === 'dot')).toHaveLength(28)
    const said = chart.shapes.flatMap((shape) => (shape.kind === 'text' ? [shape.words] : []))
    expect(said).toEqual(expect.arrayContaining(['One', 'Two', 'lower limit', 'upper limit']))
    for (const one of [chart, yieldChart(view), partsChart(view)]) {
      for (const shape of one.shapes) {
        expect(shape.x).toBeGreaterThanOrEqual(0)
        expect(shape.x).toBeLessThanOrEqual(one.width)
        expect(shape.y).toBeGreaterThanOrEqual(0)
        expect(shape.y).toBeLessThanOrEqual(one.height)
      }
    }
  })
  it('stand alone as an SVG file, every sign in its place', () => {
    const text = svgText(chart)
    expect(text).toContain('R1 &amp; &lt;R2&gt;')
    expect(text).not.toMatch(/NaN|undefined|Infinity/)
    expect(text).toContain('prefers-color-scheme:dark')
    expect((text.match(/<[a-z]/g) ?? []).length).toBe((text.match(/\/>|<\/[a-z]/g) ?? []).length)
  })
  it('have even, round ticks within their range', () => {
    fc.assert(fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.double({ min: 1e-6, max: 1e6, noNaN: true }), (low, span) => {
      const { ticks } = scaleOf(low, low + span, 0, 100)
      expect(ticks.length).toBeGreaterThanOrEqual(1)
      expect(ticks.length).toBeLessThanOrEqual(7)
      for (const tick of ticks) expect(tick).toBeGreaterThanOrEqual(low - 1e-6 * Math.abs(low) - 1e-9 * span)
    }))
  })
})

describe('the values of a step', () => {
  const value = (at: number, more: Partial<StepValue> = {}): StepValue => ({
    step: 'r1', utc: `2026-11-01T08:00:${String(at).padStart(2, '0')}.000Z`, meter: 'One', function: 'resistance', value: 1000 + at, U: 10, low: 900, high: 1100, verdict: 'pass', run: `run ${at}`, passed: true, serialNumber: `${at}`, ...more,
  })
  it('let one unit count once for the limits, and say what they rest on', () => {
    const twelve = Array.from({ length: 12 }, (_, at) => value(at))
    expect(goodLimitsInWords(twelve, null)).toContain('from 12 of them')
    expect(goodLimitsInWords(twelve.map((one) => ({ ...one, serialNumber: 'VD-7' })), null)).toContain('One good board was measured here')
    expect(stepValuesOf('R1', [], [], '')).toBeNull()
  })
  it('leave overloads out of the charts, and draw none and say so where there is nothing else', () => {
    const open = stepValuesOf('D1 reverse', [value(1, { value: null, function: 'diode', low: null, high: null }), value(2, { value: null, function: 'diode', low: null, high: null })], [], '')
    expect(open).toMatchObject({ values: null, distribution: null, withoutChart: 'Every value was open or over range.', charted: 0 })
    const mixed = stepValuesOf('R1', [value(1), value(2, { value: null }), value(3)], [], '')
    expect(mixed?.values?.shapes.filter(({ kind }) => kind === 'dot')).toHaveLength(2)
    expect(mixed?.withoutChart).toBe('')
    for (const chart of [mixed?.values, mixed?.distribution]) expect(JSON.stringify(chart)).not.toMatch(/null|NaN|undefined/)
  })
  it('have no distribution of good values where no run passed', () => {
    const failed = stepValuesOf('R1', [value(1, { passed: false }), value(2, { passed: false })], [], '')
    expect(failed?.values?.shapes.filter(({ kind }) => kind === 'cross')).toHaveLength(2)
    expect(failed).toMatchObject({ distribution: null, withoutChart: 'No run with a value passed: there is no distribution of good values.' })
  })
})
