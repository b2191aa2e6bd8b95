/** How long a meter was away: a silence in which its cable may have been moved, at the pace of the meter itself. */
import { describe, expect, it } from 'vitest'
import { seconds, type Seconds } from '../../../src-core/quantity/units'
import type { Reading } from '../../../src-core/meter/reading'
import { createFrameWatch } from '../../../src-main/service/link/frame-watch'

const reading = (at: number): Reading => ({ at: seconds(at), function: 'resistance', value: 1, unit: 'Ω', resolution: 0.1, range: 600, flags: [], raw: '' })
const watchAt = (times: readonly number[], every?: number) => {
  let now: Seconds = seconds(0)
  const watch = createFrameWatch(() => now)
  watch.restart(every)
  for (const at of times) {
    now = seconds(at)
    watch.reading(reading(at))
  }
  return watch
}

describe('a meter is away', () => {
  it('after 5 s without a reading, and not while a dial is turned', () => {
    const watch = watchAt([1, 1.3, 1.6])
    expect([2, 6.5, 6.7].map((at) => watch.away(seconds(at)))).toEqual([false, false, true])
  })
  it('later, where it measures slowly or is asked seldom', () => {
    expect([20, 30].map((at) => watchAt([1, 5, 9]).away(seconds(at)))).toEqual([false, true])
    expect([70, 190].map((at) => watchAt([1], 60).away(seconds(at)))).toEqual([false, true])
  })
})
