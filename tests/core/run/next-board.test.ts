/** Two presses at the end of a run: the second was meant for its last step. */
import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { openBench } from '../../../src-core/run/bench'
import { nextBoardAfterSeconds, nextBoardTooSoon } from '../../../src-core/run/next-board'
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
})
