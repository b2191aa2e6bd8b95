/** Two presses at the end of a run: the second was meant for its last step. And a board with something loose on it, over which no other is begun. */
import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import type { RepairEntry } from '../../../src-core/repair/entry'
import { absorb, openBench, type Bench } from '../../../src-core/run/bench'
import type { RunEventBody } from '../../../src-core/run/event'
import { nextBoardAfterSeconds, nextBoardTooSoon, refusalOfNextBoard } from '../../../src-core/run/next-board'
import { benchView } from '../../../src-core/run/show'
import { liftedSeconds, nextFollows } from '../../../src-core/shop/hands-free'
import { play, type Play } from './a-run'

const atTheEnd = (): Play => {
  const bench = play()
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  bench.touch('resistance', 221.4); bench.open('diode')
  expect(bench.state().status).toBe('ended')
  return bench
}

describe('the next board', () => {
  it('does not follow within 1.5 s of the end, and does after it', () => {
    const bench = atTheEnd()
    const end = bench.at()
    expect(nextBoardTooSoon(bench.bench(), seconds(end + 0.15))).toMatch(/no board was started/)
    bench.wait(1)
    expect(nextBoardTooSoon(bench.bench(), seconds(end + nextBoardAfterSeconds - 0.01))).toMatch(/no board was started/)
    expect(nextBoardTooSoon(bench.bench(), seconds(end + nextBoardAfterSeconds))).toBeNull()
  })

  it('does not follow at once on a record that was opened with the same key, whatever the clock said when it ended', () => {
    const { context, run } = atTheEnd().bench()
    const record = openBench(context, run, seconds(3), 0)
    expect(nextBoardTooSoon(record, seconds(3.2))).toMatch(/no board was started/)
    expect(nextBoardTooSoon(record, seconds(5))).toBeNull()
  })

  const entry = (change: Partial<RepairEntry>): RepairEntry => ({ part: 'D1', pin: 'anode', action: 'lifted', to: null, fitted: null, by: 'M. Rhys', note: '', photographs: [], ...change })
  const behind = (bench: Bench, body: RunEventBody): Bench => {
    const last = bench.run.events.at(-1)
    if (last === undefined) throw new Error('no event')
    const { v, run, session, utc, at, seq } = last
    return absorb(bench, [{ v, run, session, utc, at, seq: seq + 1, ...body }], at)
  }
  const offered = (bench: Bench): unknown[] => { const view = benchView(bench, null, null); return [view.keys.some(({ action }) => action === 'next-board'), view.result?.noNext ?? null] }

  it('does not follow over a leg that is left lifted, which is named; it does once that is soldered back, or the board is closed', () => {
    const whole = atTheEnd().bench()
    const loose = behind(whole, { kind: 'repaired', entry: entry({}) })
    const why = 'The board is not whole: the anode of D1 lifted. Put it back, and log that it was. Then the next one follows.'
    expect([offered(whole), refusalOfNextBoard(loose), offered(loose)]).toEqual([[true, null], why, [false, why]])
    expect(offered(behind(loose, { kind: 'repaired', entry: entry({ action: 'resoldered' }) }))).toEqual([true, null])
    expect(offered(behind(loose, { kind: 'struck', entry: loose.run.events.length, because: 'wrong board' }))).toEqual([true, null])
    expect(offered(behind(loose, { kind: 'closed', as: 'returned', because: 'as asked', by: 'M. Rhys' }))).toEqual([true, null])
    // Read from the records, no board lies there.
    expect(refusalOfNextBoard({ ...loose, record: true })).toBeNull()
    // Nor does it follow by itself.
    const apart = { run: whole.run.started.run, apartSince: seconds(0) }
    const at = seconds(whole.shown.since + liftedSeconds + nextBoardAfterSeconds)
    expect([nextFollows(apart, whole, at), nextFollows(apart, loose, at)]).toEqual([true, false])
  })
})
