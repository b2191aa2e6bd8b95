import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { nextBoardAfterSeconds } from '../../../src-core/run/next-board'
import { liftedSeconds, nextFollows, watchLift, type LiftWatch } from '../../../src-core/shop/hands-free'
import { jobInWords, jobViewOf, mostUnits, serialsIn, serialsRefused, splitJob, type Job, type UnitRun } from '../../../src-core/shop/job'
import { play } from '../run/a-run'

const unit = (n: number): string => `00000000-0000-4000-8000-${String(n).padStart(12, '0')}`
const job: Job = {
  id: unit(900), customer: 'Greenhouse Co-operative', name: 'GC-2207', received: null, conditionAsReceived: '', opened: '2026-11-30T08:00:00.000Z', paused: false, handsFree: true,
  units: [1, 2, 3].map((n) => ({ unit: unit(n), board: 'soil-relay', revision: 'A', serialNumber: `S-${n}` })),
}
const run = (n: number, verdict: UnitRun['verdict'], more: Partial<UnitRun> = {}): UnitRun => ({ unit: unit(n), run: `run ${n}`, startedUtc: '2026-11-30T09:00:00.000Z', verdict, minutes: verdict === null ? null : 4, record: null, ...more })
const named = (): string => 'Soil relay'

describe('serial numbers', () => {
  it('are taken one a line, or as a spreadsheet or a list has them', () => {
    expect(serialsIn(' S-1\r\nS-2;S-3,\tS-4\n\n')).toEqual({ serials: ['S-1', 'S-2', 'S-3', 'S-4'], repeated: [] })
    expect(serialsIn('S-1\nS-2\nS-1').repeated).toEqual(['S-1'])
  })
  it('are refused in words: none, one twice, one that is there, too many, too long', () => {
    expect(serialsRefused(' \n', [])).toMatch(/There is no serial number/)
    expect(serialsRefused('A\nB\nA', [])).toMatch(/^A stands there twice/)
    expect(serialsRefused('S-2\nS-9', job.units)).toMatch(/^S-2 is in this job already/)
    expect(serialsRefused('x'.repeat(81), [])).toMatch(/longer than the 80/)
    expect(serialsRefused(Array.from({ length: mostUnits + 1 }, (_, n) => `U${n}`).join('\n'), [])).toMatch(/at most 500/)
    expect(serialsRefused('S-4', job.units)).toBeNull()
  })
})

describe('a job', () => {
  it('brings the first board that waits, counts those that are done, and adds up the minutes of all runs of a board', () => {
    const view = jobViewOf(job, [run(1, 'fail', { minutes: 6 }), run(1, 'pass', { run: 'again' }), run(2, null)], named)
    expect(view.units.map(({ state, run: of, minutes }) => [state, of, minutes])).toEqual([['pass', 'again', 10], ['under-way', 'run 2', null], ['waiting', null, null]])
    expect(view).toMatchObject({ done: 1, next: unit(3), minutes: { total: 10, mean: 10 } })
    expect(jobInWords(view)).toBe('GC-2207, Greenhouse Co-operative: 1 of 3 boards done, 10 minutes each.')
    expect(jobViewOf(job, [run(1, 'pass'), run(2, 'pass'), run(3, 'incomplete')], named).next).toBeNull()
  })
  it('is split into two that each have a board', () => {
    const split = splitJob(job, [unit(2)], { id: unit(901), name: 'GC-2207 b', opened: job.opened })
    expect(split?.stays.units.map(({ serialNumber }) => serialNumber)).toEqual(['S-1', 'S-3'])
    expect(split?.goes).toMatchObject({ id: unit(901), name: 'GC-2207 b', customer: job.customer, units: [{ serialNumber: 'S-2' }] })
    expect(splitJob(job, [], { id: unit(901), name: 'b', opened: job.opened })).toBeNull()
    expect(splitJob(job, job.units.map((one) => one.unit), { id: unit(901), name: 'b', opened: job.opened })).toBeNull()
  })
})

describe('the next board follows by itself', () => {
  const ended = (): ReturnType<typeof play> => {
    const bench = play()
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 221.4); bench.open('diode')
    return bench
  }
  const finished = ended().bench()
  const from = Number(finished.shown.since)
  const reads = (value: number | 'overload') => (finished.lastReading === null ? null : { ...finished.lastReading, function: 'resistance' as const, value, resolution: value === 'overload' ? null : 0.1, range: null })
  /** Readings a tenth of a second apart from the end on; the time at which the next board follows, s after the end, or null. */
  const followsAt = (readings: readonly (number | 'overload')[], bench = finished): number | null => {
    let watch: LiftWatch | null = null
    for (const [index, value] of readings.entries()) {
      const at = seconds(from + index / 10)
      const shown = { ...bench, lastReading: reads(value) }
      watch = watchLift(watch, shown, at)
      if (nextFollows(watch, shown, at)) return index / 10
    }
    return null
  }
  const open = (count: number): 'overload'[] => Array<'overload'>(count).fill('overload')

  it('once the leads have been off for a while, and never with a press too early', () => {
    expect(finished.run.ended?.verdict).toBe('pass')
    expect(followsAt(open(60))).toBeCloseTo(Math.max(liftedSeconds, nextBoardAfterSeconds), 1)
    expect(followsAt(Array<number>(60).fill(221))).toBeNull()
  })
  it('not after a slip: the air must be unbroken', () => {
    expect(followsAt([...open(15), 221, ...open(15)])).toBeNull()
    expect(followsAt([...open(15), 221, ...open(30)])).toBeCloseTo(1.6 + liftedSeconds, 1)
  })
  it('not after a board that did not pass, nor while a run goes on', () => {
    expect(followsAt(open(60), { ...finished, run: { ...finished.run, ended: finished.run.ended === null ? null : { ...finished.run.ended, verdict: 'fail' } } })).toBeNull()
    expect(followsAt(open(60), play().bench())).toBeNull()
  })
})
