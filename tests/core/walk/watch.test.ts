import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { startWatch, watchedUntil, watchReading, isOver, type WatchState } from '../../../src-core/capture/watch'
import type { CaptureTask } from '../../../src-core/capture/task'
import type { MeasuredValue } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { anyValue } from '../../../src-core/run/walk'
import { shown } from '../run/a-run'

const every = 0.2
const task: CaptureTask = {
  step: 'flex', function: 'resistance', limits: anyValue, expectsAir: false, air: [{ function: 'resistance', range: null, apart: 'overload', joined: null }], conversionSeconds: seconds(every), lowestRange: 600,
  counts: 6000, rcSeconds: null, lead: null, anyResolution: false, keepsContact: false, notBefore: null,
}
/** One conversion each 0.2 s, the first at 0.2 s. */
const follow = (values: readonly MeasuredValue[], into: WatchState = startWatch(task, seconds(0))): WatchState =>
  values.reduce((state, value, index) => watchReading(state, shown('resistance', value, (index + 1) * every)).state, into)
const ended = (values: readonly MeasuredValue[]): WatchState => watchedUntil(follow(values), seconds(values.length * every))
const OL = 'overload'
const air: MeasuredValue[] = [OL, OL, OL]
const came = ({ minimum, maximum, conversions, dropouts }: WatchState) => ({
  from: minimum?.value ?? null, to: maximum?.value ?? null, conversions, dropouts: dropouts.map(({ at, seconds: lasted, shows }) => [Number(at.toFixed(6)), Number(lasted.toFixed(6)), shows]),
})

describe('a watch', () => {
  it('begins with the second conversion after the leads were seen apart: the first was in part air', () => {
    const state = ended([...air, 250, 100, 101, 102])
    expect([came(state), state.since]).toEqual([{ from: 100, to: 102, conversions: 3, dropouts: [] }, expect.closeTo(1, 9)])
  })
  it('does not follow leads that still stand on the step before', () => expect(came(ended([100, 100, 100, 100]))).toEqual({ from: null, to: null, conversions: 0, dropouts: [] }))
  it('counts two conversions without contact as a dropout, with its beginning and its time', () =>
    expect(came(ended([...air, 100, 100, 100, 100, OL, OL, 140, 100, 100])).dropouts).toEqual([[0.6, 0.4, 'no-contact']]))
  it('takes two losses with a single conversion in contact between them for one dropout', () =>
    expect(came(ended([...air, 100, 100, 100, OL, OL, 100, OL, 120, 100, 100])).dropouts).toEqual([[0.4, 0.8, 'no-contact']]))
  it('takes one conversion without contact for none, at five conversions a second', () => expect(came(ended([...air, 100, 100, 100, OL, 100, 100, 100])).dropouts).toEqual([]))
  it('leaves out what was measured half in air, on both sides of a dropout', () =>
    expect(came(ended([...air, 100, 100, 101, 180, OL, OL, 190, 99, 100]))).toMatchObject({ from: 99, to: 101 }))
  it('takes a value that jumps by more than half and comes back for a dropout, and keeps its extremes', () =>
    expect(came(ended([...air, 100, 100, 101, 100, 900, 905, 904, 100, 100]))).toEqual({ from: 100, to: 905, conversions: 8, dropouts: [[0.6, 0.6, 'jump']] }))
  it('takes a drift for none, however far it goes', () => {
    const drift = Array.from({ length: 80 }, (_, index) => 100 * 1.02 ** index)
    expect(came(ended([...air, 100, ...drift]))).toMatchObject({ dropouts: [], from: 100, to: drift.at(-1) })
  })
  it('counts a contact that never comes back as a dropout up to the end', () =>
    expect(came(ended([...air, 100, 100, 100, 100, OL, OL, OL, OL])).dropouts).toEqual([[0.6, 0.6, 'no-contact']]))
  it('keeps every frame from the first conversion that counts on, dropouts included', () => expect(ended([...air, 100, 100, 100, OL, OL, 100, 100]).raw).toHaveLength(6))
  it('begins anew where the meter was silent, or showed another function or a mode that lies', () => {
    const before = follow([...air, 100, 100, 100])
    const silent = watchReading(before, shown('resistance', 100, 20)).state
    const other = watchReading(before, shown('diode', 0.5, 1.4)).state
    const hold = watchReading(before, { ...shown('resistance', 100, 1.4), flags: ['hold'] }).state
    expect([silent, other, hold].map(({ since, minimum }) => [since, minimum])).toEqual([[null, null], [null, null], [null, null]])
    expect([other.obstacle?.kind, hold.obstacle?.kind]).toEqual(['wrong-function', 'mode'])
  })
  it('repeated frames are no conversions of their own (rule 1)', () => {
    const state = [0.05, 0.1, 0.15].reduce((now, more) => watchReading(now, { ...shown('resistance', 100, 1 + more), raw: '00' }).state, follow([...air, 100, 100]))
    expect([watchedUntil(state, seconds(1.15)).conversions, state.raw.length]).toEqual([1, 1])
  })
  it('is over after its seconds, counted from the first contact', () => {
    const state = follow([...air, 100, 100, 100])
    expect([isOver(state, 4, seconds(4.9)), isOver(state, 4, seconds(5.1)), isOver(startWatch(task, seconds(0)), 4, seconds(60))]).toEqual([false, true, false])
  })
})

/** The same, said over the whole list at once. No value here jumps. */
const reference = (values: readonly MeasuredValue[]) => {
  const apart = (index: number): boolean => typeof values[index] !== 'number'
  const lifted = values.findIndex((_, index) => values.slice(0, index).filter((value) => typeof value !== 'number').length >= 2)
  const begin = values.findIndex((_, index) => lifted >= 0 && index - 1 >= lifted && !apart(index) && !apart(index - 1))
  if (begin < 0) return { from: null, to: null, conversions: 0, dropouts: [] as unknown[] }
  const counted = values.flatMap((value, index) => (index >= begin && typeof value === 'number' && !apart(index - 1) && (index + 1 >= values.length || !apart(index + 1)) ? [value] : []))
  const dropouts: [number, number, string][] = []
  for (let from = begin; from < values.length; from += 1) {
    if (!apart(from) || apart(from - 1)) continue
    let to = from
    while (to < values.length && apart(to)) to += 1
    // A single conversion in contact between two losses is no return: part of it was air.
    while (to < values.length && (apart(to) || apart(to - 1))) to += 1
    const returned = !apart(to - 1)
    const until = returned ? to - 1 : values.length - 1
    const without = values.slice(from, to).filter((value) => typeof value !== 'number').length
    if (without >= 2) dropouts.push([Number(((from - begin) * every).toFixed(6)), Number(((until - from) * every).toFixed(6)), 'no-contact'])
    from = to
  }
  return { from: counted.length === 0 ? null : Math.min(...counted), to: counted.length === 0 ? null : Math.max(...counted), conversions: counted.length, dropouts }
}

describe('a watch of any length', () => {
  const conversion = fc.oneof({ weight: 5, arbitrary: fc.integer({ min: 900, max: 1100 }) }, { weight: 2, arbitrary: fc.constant<MeasuredValue>('overload') })
  it('finds the smallest and the largest value in contact, and every dropout with its time, as the whole list shows them', () => {
    fc.assert(fc.property(fc.array(conversion, { minLength: 1, maxLength: 60 }), (values) => { expect(came(ended(values))).toEqual(reference(values)) }), { numRuns: 500 })
  })
  it('its smallest value is never above its largest, and both were shown', () => {
    const any = fc.oneof(fc.double({ min: 1, max: 1e6, noNaN: true }), fc.constant<MeasuredValue>('overload'))
    fc.assert(fc.property(fc.array(any, { maxLength: 60 }), (values) => {
      const { from, to } = came(ended(values))
      if (from === null || to === null) return from === to
      return from <= to && values.includes(from) && values.includes(to)
    }))
  })
})
