/** A step that the meter's display is too coarse for: said with the step, in the state line, and with a reason to skip it. */
import { describe, expect, it } from 'vitest'
import type { Limits } from '../../../src-core/metrology/limits'
import { seconds } from '../../../src-core/quantity/units'
import { liveView } from '../../../src-core/run/live'
import { skipReasons } from '../../../src-core/run/reasons'
import { fitsBetweenTouches } from '../../../src-core/run/spoken-time'
import { benchView } from '../../../src-core/run/show'
import { coarseThroughout } from '../../../src-core/capture/ranging'
import { play, smallBoard, type Play } from './a-run'

/** Steps on the meter of `play`: 6000 counts, the lowest range 600 Ω, so one count is 0.1 Ω there and 1 Ω up to 6 kΩ. */
const atStep = (limits: Limits): Play => {
  const bench = play(smallBoard({ sequence: { id: 'input', version: 1, steps: [
    { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', limits, parts: ['R1'] },
    { kind: 'measure', id: 'd1', title: 'D1 reverse', red: 'R1.2', black: 'C1.2', function: 'diode', limits: 'open', parts: ['D1'] },
  ] } }))
  bench.confirm()
  bench.open('dc-voltage')
  bench.lift('resistance')
  expect(bench.step()).toBe('r1')
  return bench
}
const caution = (bench: Play): string => benchView(bench.bench(), null, null).step?.caution ?? ''
const line = (bench: Play) => liveView(bench.bench(), seconds(bench.at()))

describe('a meter too coarse for a step', () => {
  it('is said with the step, before anything is touched', () => {
    expect(caution(atStep({ between: [0.3, 1.2] }))).toBe('This meter is too coarse here: one count is 0.1 Ω, and only a value far outside the limits would be taken. Skip the step, or take a finer meter.')
    expect(caution(atStep({ between: [700, 705] }))).toContain('one count is 1 Ω')
  })

  it('is not said where some range shows the limits finely enough, nor of open', () => {
    for (const limits of [{ between: [0.3, 1.4] }, { atMost: 1.2 }, 'short', 'open', { between: [209, 231] }, { between: [595, 640] }] as Limits[]) expect([limits, caution(atStep(limits))]).toEqual([limits, ''])
  })

  it('the line says what can be done, and the reason that fits is one of the usual ones', () => {
    const bench = atStep({ between: [0.3, 1.2] })
    bench.lift('resistance')
    bench.hold('resistance', 0.7, 2)
    expect(line(bench)).toMatchObject({ state: 'meter too coarse: skip, or a finer one', wants: 'skip', skipBecause: 'meter too coarse' })
    expect(skipReasons).toContain('meter too coarse')
    expect(fitsBetweenTouches('meter too coarse, skip, or a finer one')).toBe(true)
    bench.give({ kind: 'skip', reason: line(bench).skipBecause ?? '', step: 'r1', at: seconds(bench.at()) })
    expect(bench.step()).toBe('d1')
    expect(benchView(bench.bench(), null, null).steps.find(({ id }) => id === 'r1')).toMatchObject({ state: 'skipped', skipReason: 'meter too coarse' })
  })

  it('a value ten counts outside is still judged, as the caution says', () => {
    const bench = atStep({ between: [0.3, 1.2] })
    bench.touch('resistance', 5)
    bench.touch('resistance', 5)
    expect(benchView(bench.bench(), null, null).steps.find(({ id }) => id === 'r1')?.verdict).toBe('fail')
  })

  it('nothing is known of a display that no description tells', () => {
    expect(coarseThroughout({ limits: { between: [0.3, 1.2] }, function: 'resistance', lowestRange: null, counts: 6000 })).toBeNull()
    expect(coarseThroughout({ limits: { between: [0.3, 1.2] }, function: 'resistance', lowestRange: 600, counts: 6000 })).toBeCloseTo(0.1, 9)
    expect(coarseThroughout({ limits: { between: [0.3, 1.2] }, function: 'resistance', lowestRange: 60, counts: 6000 })).toBeNull()
  })
})
