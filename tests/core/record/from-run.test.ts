/** What a record says of a run: every value and what became of it, what was skipped, the meter as it was, and no claim that is not earned. */
import { describe, expect, it } from 'vitest'
import type { Meter } from '../../../src-core/meter/instrument'
import { recordOfRun, refusalToRecord } from '../../../src-core/record/from-run'
import type { StandardCheck } from '../../../src-core/record/meters-of-run'
import { testRecordContent, type TestRecordContent } from '../../../src-core/record/schema'
import { rebuild } from '../../../src-core/run/state'
import { sourcesMade, runMade } from '../../bench-tools/made-records'
import { checkedMeter, play, smallBoard } from '../run/a-run'
import { seconds } from '../../../src-core/quantity/units'

const recordOf = (bench: ReturnType<typeof play>, change: Partial<Parameters<typeof recordOfRun>[0]> = {}): TestRecordContent =>
  testRecordContent.parse(recordOfRun(sourcesMade({}, { state: bench.state(), board: smallBoard(), ...change })))

/** The preparation of the small board, up to its first measured part. */
const prepared = (): ReturnType<typeof play> => {
  const bench = play()
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  return bench
}

const passed = (): ReturnType<typeof play> => {
  const bench = prepared()
  bench.touch('resistance', 221.4); bench.open('diode')
  return bench
}

describe('the values of a record', () => {
  it('stand with their readings, limits and where these come from, times with the offset of the place', () => {
    const record = recordOf(passed())
    const value = record.steps.find(({ id }) => id === 'r1')?.values[0]
    expect(value).toMatchObject({
      stands: true, replacedBecause: null, unit: 'Ω', evidence: 'steady', verdict: 'pass', meter: 'Bench meter',
      limits: { kind: 'tolerance', low: 209, high: 231, nominal: 220, tolerance: 0.05, from: 'board file of Soil probe revision A, sequence input version 1' }, rule: { words: 'simple acceptance', r: null },
    })
    expect(value?.value).toBe(221.4)
    expect(value?.readings.raw.length).toBe(value?.readings.conversions)
    expect(value?.at).toMatch(/^2026-03-14T09:\d\d:\d\d\.\d{3}\+01:00$/)
    expect(record.steps.find(({ id }) => id === 'd1')?.values).toMatchObject([{ value: 'overload', words: 'open', limits: { kind: 'open', low: null, high: null } }])
    expect(record).toMatchObject({ outcome: { verdict: 'pass' }, notJudged: [], opinion: [], deEnergised: { proven: true, steps: ['prepare/disconnect', 'prepare/store/C1'] }, run: { events: passed().state().events.length } })
  })

  it('that were taken back stay, with why; so do those measured again after the proof lapsed', () => {
    const bench = prepared()
    bench.touch('resistance', 244)
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    bench.touch('resistance', 221.4); bench.open('diode')
    const { steps } = recordOf(bench)
    const values = steps.find(({ id }) => id === 'r1')?.values ?? []
    expect(values.map(({ stands }) => stands)).toEqual([...values.slice(1).map(() => false), true])
    expect(values[0]?.replacedBecause).toMatch(/^Taken back: the technician stepped back at event \d+\.$/)
  })

  it('a skipped step has its reason, and counts as not judged', () => {
    const bench = prepared()
    bench.give({ kind: 'skip', reason: 'cannot reach it', at: seconds(bench.at()) })
    bench.open('diode')
    const record = recordOf(bench)
    expect(record.steps.find(({ id }) => id === 'r1')).toMatchObject({ verdict: 'not-judged', skipped: { because: 'cannot reach it' }, values: [] })
    expect(record).toMatchObject({ outcome: { verdict: 'incomplete' }, notJudged: [{ step: 'r1', because: 'Skipped: cannot reach it' }] })
  })

  it('a step that was never reached is told as such', () => {
    const bench = prepared()
    bench.give({ kind: 'end', reason: 'put aside', at: seconds(bench.at()) })
    expect(recordOf(bench).notJudged).toEqual([{ step: 'r1', because: 'The run ended before this step.' }, { step: 'd1', because: 'The run ended before this step.' }])
  })
})

const certified: Meter = {
  ...checkedMeter,
  register: { ...checkedMeter.register, serialNumber: '0042', assetNumber: 'M-7', certificate: { number: 'C-118', laboratory: 'Fenside Calibration', accreditation: '', calibrated: '2026-01-10', due: '2027-01-10', asFound: 'within specification', asLeft: 'within specification', points: [] } },
}
const check = (utc: string, good: boolean): StandardCheck =>
  ({ utc, meter: certified.id, standard: { kind: 'resistor', label: 'A', certificateNumber: 'S-1', value: 470, U: 0.2, due: '2027-01-01' }, value: 470.1, U: 1, limit: 1.02, good, words: `checked at ${utc}` })

describe('the meter of a record', () => {
  const run = () => play(smallBoard(), certified)
  const whole = (): ReturnType<typeof play> => {
    const bench = run()
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 221.4); bench.open('diode')
    return bench
  }

  it('is as it was at the start, with its certificate, its lead check and the newest check before its values', () => {
    const later = check('2026-03-14T20:00:00.000Z', true)
    const checks = [check('2026-03-14T06:00:00.000Z', true), check('2026-03-14T07:00:00.000Z', true), later]
    const [meter] = recordOf(whole(), { checks }).meters
    expect(meter).toMatchObject({
      name: 'Bench meter', serialNumber: '0042', assetNumber: 'M-7', identity: 'confirmed', certificate: { number: 'C-118', laboratory: 'Fenside Calibration', due: '2027-01-10' },
      leadCheck: { ohms: 0.1, U: 0.05, resolution: 0.1 }, traceable: { claimed: true, because: '' }, standardChecks: [{ label: 'A', at: '2026-03-14T08:00:00.000+01:00', good: true }],
    })
  })

  it.each([
    ['the judge says no', { traceable: () => ({ traceable: false as const, because: 'There is no good check.' }) }, 'There is no good check.'],
    ['which meter it was, was assumed', { identity: 'assumed' as const }, /was assumed/],
    ['a later check failed', { underReview: true }, /under review/],
  ])('claims nothing where %s, and says why', (_why, change, words) => {
    const record = recordOf(whole(), change)
    expect(record.traceable).toMatchObject({ claimed: false, because: typeof words === 'string' ? words : expect.stringMatching(words) as string })
    expect(record.meters[0]?.traceable.claimed).toBe(false)
  })

  it('asks the judge at its first value and at its last', () => {
    const asked: string[] = []
    const bench = whole()
    const captured = bench.events().filter(({ kind }) => kind === 'captured').map(({ utc }) => utc)
    recordOf(bench, { traceable: (_meter, utc) => { asked.push(utc); return { traceable: true } } })
    expect(asked).toEqual([captured[0], captured.at(-1)])
  })

  it('of typed values is none, and they are never traceable', () => {
    const typed = runMade({ meter: null }).map((event) => (event.kind === 'captured' ? { ...event, evidence: 'typed' as const, raw: [] } : event))
    const record = recordOfRun(sourcesMade({}, { state: rebuild(typed) }))
    expect(record.meters).toMatchObject([{ name: 'read by eye', certificate: null }])
    expect(record.traceable).toEqual({ claimed: false, because: 'Values read by eye and typed in are not traceable.' })
  })
})

describe('no record is made', () => {
  it('of practice, of a run that has not ended, nor without its board file', () => {
    const ended = rebuild(runMade())
    const { practice: _none, ...started } = ended.started
    expect(refusalToRecord({ ...ended, started: { ...started, practice: { seed: 1, faults: [] } } }, smallBoard())).toMatch(/practice run/)
    expect(refusalToRecord(prepared().state(), smallBoard())).toMatch(/has not ended/)
    expect(refusalToRecord(ended, null)).toMatch(/board file of this run is no longer/)
    expect(refusalToRecord(ended, smallBoard())).toBeNull()
  })
})
