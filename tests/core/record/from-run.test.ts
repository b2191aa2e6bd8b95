/** What a record says of a run: every value and what became of it, what was skipped, the meter as it was, and no claim that is not earned. */
import { describe, expect, it } from 'vitest'
import { boardType } from '../../../src-core/board/board-type'
import type { Meter } from '../../../src-core/meter/instrument'
import type { CalibratedPoint } from '../../../src-core/meter/register'
import { recordOfRun, refusalToRecord } from '../../../src-core/record/from-run'
import type { StandardCheck } from '../../../src-core/record/meters-of-run'
import { testRecordContent, type TestRecordContent } from '../../../src-core/record/schema'
import type { RunEvent } from '../../../src-core/run/event'
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

const point = { function: 'resistance', range: 600, applied: 220, shown: 220.3, U: 0.1, k: 2 } as const
describe('any board that is accepted', () => {
  const long = (most: number): string => 'the inner end of the part, through the coating, beside the connector '.repeat(9).slice(0, most).trimEnd().padEnd(most, 'x')
  it('can be recorded, with every name and place as long as its file may have them', () => {
    const id = (n: number): string => `${'point'.repeat(8).slice(0, 38)}-${n}`
    const board = smallBoard()
    const at = new Map(board.testPoints.map((point, index) => [point.id, id(index)]))
    const renamed = (point: string): string => at.get(point) ?? point
    const longest = boardType.parse({
      ...board, name: long(80), revision: long(20), cautions: [long(300)], disconnect: [long(300)],
      testPoints: board.testPoints.map((point) => ({ ...point, id: renamed(point.id), words: long(300) })),
      energyStores: board.energyStores.map((store) => ({ ...store, red: renamed(store.red), black: renamed(store.black) })),
      sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => ({
        ...step, title: long(80), where: long(300), caution: long(300), means: long(300), ...(step.kind === 'measure' ? { red: renamed(step.red), black: renamed(step.black) } : { words: long(300) }),
      })) },
    })
    const bench = play(longest)
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 221.4); bench.open('diode')
    const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: bench.state(), board: longest })))
    expect(record.steps.find(({ id: step }) => step === 'r1')?.placement).toMatchObject({ red: { words: long(300) } })
  })
  it('and a serial number with a line break or an escape in it is told on one line, with the place marked', () => {
    const state = passed().state()
    const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: { ...state, started: { ...state.started, serialNumber: 'S-1\nvalid\u001b[2J\u202e' } }, board: smallBoard() })))
    expect(record.item.serialNumber).toBe('S-1 valid\u25a1[2J\u25a1')
  })
})

const certified: Meter = {
  ...checkedMeter, accuracy: { resistance: { percent: 0.5, counts: 3 } },
  register: { ...checkedMeter.register, serialNumber: '0042', assetNumber: 'M-7', certificate: { number: 'C-118', laboratory: 'Fenside Calibration', accreditation: '', calibrated: '2026-01-10', due: '2027-01-10', asFound: 'within specification', asLeft: 'within specification', points: [point] } },
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
      leadCheck: { ohms: 0.1, U: 0.05, resolution: 0.1 }, traceable: { claimed: true, because: '', functions: ['resistance'] }, standardChecks: [{ label: 'A', at: '2026-03-14T08:00:00.000+01:00', good: true }],
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

  it('asks the judge at the moment of every figure', () => {
    const asked: string[] = []
    const bench = whole()
    const figures = bench.events().flatMap((event) => (event.kind === 'captured' && typeof event.value === 'number' ? [event.utc] : []))
    recordOf(bench, { traceable: (_meter, utc) => { asked.push(utc); return { traceable: true } } })
    expect(figures.length).toBeGreaterThan(0)
    expect(asked.sort()).toEqual(figures.sort())
  })

  const measuredWith = (change: Partial<Meter>): TestRecordContent => {
    const bench = play(smallBoard(), { ...certified, ...change })
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 221.4); bench.open('diode')
    return recordOf(bench)
  }
  const points = (all: readonly CalibratedPoint[]): Meter['register'] =>
    ({ ...certified.register, certificate: certified.register.certificate === null ? null : { ...certified.register.certificate, points: [...all] } })

  it.each([
    ['no accuracy is stated', { accuracy: {} }, /^The accuracy of Bench meter in .* is not stated: a usual one stands in\.$/],
    ['the certificate has points in another function only', { register: points([{ ...point, function: 'dc-voltage' }]) }, /^The certificate of Bench meter has no point in /],
    // By hand: 0.5 % of 222 Ω and 3 counts of 0.1 Ω are 1.41 Ω.
    ['a point in its range lies outside the stated accuracy', { register: points([{ ...point, shown: 222 }]) }, /showed 222 Ω for 220 Ω .* outside its stated accuracy/],
  ])('claims nothing of a figure where %s', (_why, change, words) => {
    const record = measuredWith(change)
    const value = record.steps.find(({ id }) => id === 'r1')?.values[0]
    expect(value?.traceable).toMatchObject({ claimed: false, because: expect.stringMatching(words) as string })
    expect(record.traceable).toEqual(value?.traceable)
    expect(record.meters[0]?.traceable).toMatchObject({ claimed: false, functions: [] })
  })

  it('is not held back by a point of another range, nor by one on the edge of the stated accuracy', () => {
    expect(measuredWith({ register: points([{ ...point, range: 6000, shown: 250 }, { ...point, shown: 221.4 }]) }).traceable).toEqual({ claimed: true, because: '' })
  })

  it('of an overload nothing is claimed, and nothing held against it', () => {
    expect(measuredWith({}).steps.find(({ id }) => id === 'd1')?.values[0]?.traceable).toBeNull()
  })

  it('tells two meters of one name apart by their ids', () => {
    const bench = whole()
    const other: Meter = { ...checkedMeter, id: 'second', name: certified.name }
    const events = bench.events()
    const first = events.findIndex((event) => event.kind === 'captured' && event.step === 'r1')
    const swapped = events.flatMap((event, index): RunEvent[] => (index !== first ? [event] : [
      { v: 1, run: event.run, session: event.session, seq: event.seq, utc: event.utc, at: event.at, kind: 'meter-back', same: false, meter: { id: other.id, name: other.name } }, event,
    ])).map((event, index) => ({ ...event, seq: index + 1 }))
    const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: rebuild(swapped), board: smallBoard(), meters: [certified, other] })))
    expect(record.meters.map(({ id, name, certificate }) => [id, name, certificate?.number ?? null])).toEqual([['bench-meter', 'Bench meter', 'C-118'], ['second', 'Bench meter', null]])
    const value = record.steps.find(({ id }) => id === 'r1')?.values[0]
    expect(value).toMatchObject({ meter: 'Bench meter', meterId: 'second', traceable: { claimed: false } })
    expect(record.traceable.claimed).toBe(false)
  })

  it('keeps how the part is marked, where its limits were written so', () => {
    const board = smallBoard()
    const marked = { ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => (step.id === 'r1' && step.kind === 'measure' ? { ...step, limits: { nominal: 220, tolerance: 0.05, marked: '220R J' } } : step)) } }
    const bench = play(marked, certified)
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 221.4); bench.open('diode')
    expect(recordOf(bench, { board: marked }).steps.find(({ id }) => id === 'r1')?.values[0]?.limits).toMatchObject({ marked: '220R J', low: 209, high: 231 })
    expect(recordOf(whole()).steps.find(({ id }) => id === 'r1')?.values[0]?.limits.marked).toBeNull()
  })

  it('says of each value what was taken off for the leads, and why one has no uncertainty', () => {
    const board = smallBoard()
    const low = { ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => (step.id === 'r1' && step.kind === 'measure' ? { ...step, limits: { nominal: 22, tolerance: 0.05 } } : step)) } }
    const bench = play(low, certified)
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 22.1); bench.open('diode')
    const taken = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: bench.state(), board: low }))).steps.find(({ id }) => id === 'r1')?.values[0]
    expect(taken).toMatchObject({ value: 22, leadTakenOff: 0.1, noUncertaintyBecause: null })
    expect(recordOf(whole()).steps.find(({ id }) => id === 'r1')?.values[0]).toMatchObject({ value: 221.4, leadTakenOff: null })
    const bare = whole().events().map((event) => (event.kind === 'captured' && event.step === 'r1' ? { ...event, uncertainty: null, budget: undefined, noBudget: 'One count is not known.' } : event))
    const without = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: rebuild(bare), board: smallBoard() }))).steps.find(({ id }) => id === 'r1')?.values[0]
    expect(without).toMatchObject({ uncertainty: null, noUncertaintyBecause: 'One count is not known.', traceable: { claimed: false } })
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
