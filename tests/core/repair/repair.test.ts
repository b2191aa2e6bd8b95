/** The work on one unit: fault found, parts replaced, a leg forgotten, measured again, closed; and what is refused on the way. */
import { describe, expect, it } from 'vitest'
import { checkBoard } from '../../../src-core/board/check'
import { diagnosisRequestOf } from '../../../src-core/run/diagnosis-request'
import { boardType, type BoardType } from '../../../src-core/board/board-type'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { sectionsOf } from '../../../src-core/record/print/pages'
import { recordColumns, recordRows } from '../../../src-core/record/record-table'
import { testRecordContent } from '../../../src-core/record/schema'
import { affectedSteps, coolStep, planOfBoard } from '../../../src-core/repair/again'
import { notCleared, stepsToMakeAgain, type History } from '../../../src-core/repair/cleared'
import { refusalToClose, ruleThatEnded } from '../../../src-core/repair/close'
import { donorBoard, refusalToTestAlone } from '../../../src-core/repair/donor'
import { photographType, type RepairEntry } from '../../../src-core/repair/entry'
import { followsOf, keptBeside, refusalBeside, refusalToFollow } from '../../../src-core/repair/follow'
import { refusalOfDonor, refusalOfEntry, refusalToLog, stateAfterRepairs } from '../../../src-core/repair/log'
import { reportPages } from '../../../src-core/repair/report'
import { firstValuesOf, repairViewOf } from '../../../src-core/repair/show'
import { planOfRun } from '../../../src-core/run/detail'
import { parseRunEvent, type RunEventBody } from '../../../src-core/run/event'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { refusalElsewhere } from '../../../src-core/run/measure-elsewhere'
import { liveView } from '../../../src-core/run/live'
import { placementsRequestOf } from '../../../src-core/run/placements-request'
import { preparationSteps } from '../../../src-core/run/preparation'
import { readingsOf } from '../../../src-core/run/readings-of'
import { benchView } from '../../../src-core/run/show'
import { rebuild, type RunState } from '../../../src-core/run/state'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { lineInput } from '../../bench-tools/lifted-board'
import { sealedRecord, sourcesMade } from '../../bench-tools/made-records'
import { checkedMeter, play, smallBoard, startMs, type Play } from '../run/a-run'

const board = smallBoard({
  prove: {
    unpowered: [{ kind: 'measure', id: 'supply', title: 'Supply', red: 'C1.1', black: 'C1.2', function: 'resistance', limits: { atLeast: 1000 } }],
    powerUp: {
      volts: 24, limitAmperes: 0.1, connect: 'Plus to C1.1, minus to C1.2.', disconnect: ['bus cable'],
      steps: [{ kind: 'measure', id: 'rail', title: 'Rail', red: 'C1.1', black: 'C1.2', function: 'dc-voltage', limits: { between: [4.75, 5.25] }, powered: true }],
      checks: [{ id: 'lamp', title: 'Lamp', words: 'Does the lamp blink?' }],
    },
  },
})

const other = '22222222-2222-4333-8444-555555555555'
const entry = (change: Partial<RepairEntry>): RepairEntry => ({ part: 'R1', pin: null, action: 'replaced', to: null, fitted: null, by: 'M. Rhys', note: '', photographs: [], ...change })
const fitted: RepairEntry['fitted'] = { marking: '220R', same: true, figures: {}, judged: [], origin: { kind: 'new' } }
/** The run with these behind its end, a minute after one another. */
const withEvents = (state: RunState, bodies: RunEventBody[]): RunState => rebuild([...state.events, ...bodies.map((body, at) => ({
  ...body, v: 1 as const, run: state.started.run, seq: state.events.length + 1 + at, session: state.started.session, utc: new Date(startMs + 50_000 + at * 20_000).toISOString(), at: seconds(900),
}))])
const logged = (state: RunState, ...entries: RepairEntry[]): RunState => withEvents(state, entries.map((each) => ({ kind: 'repaired', entry: each })))

const begun = (bench: Play): Play => { bench.confirm(); bench.open('dc-voltage'); return bench }
/** R1 open, D1 good. */
const failed = (): RunState => {
  const bench = begun(play(board))
  bench.confirm(); bench.touch('resistance', 900); bench.touch('resistance', 900); bench.open('diode')
  expect(bench.state().ended?.verdict).toBe('fail')
  return bench.state()
}
const historyOf = (of: BoardType, ...states: RunState[]): History => states.map((state) => { const plan = planOfRun(state, of); if (plan === null) throw new Error('no plan'); return { state, plan } })

/** The run that follows, in another one's name, at its first step. */
const following = (history: History, purpose: 'affected' | 'whole' | 'prove', of = board): Play =>
  play(of, checkedMeter, { kit: usualBenchKit, follows: { ...followsOf(of, history, purpose), run: other } })

describe('the repair log', () => {
  const state = failed()
  const [only] = historyOf(board, state)
  const after = (...entries: RepairEntry[]) => (only === undefined ? [] : stateAfterRepairs(only.plan, logged(state, ...entries)))
  it('begins with the part the failed step points at, until something is logged of it', () => {
    // R1 failed, D1 passed; D1 comes first in this file.
    const turned = { ...board, parts: [...board.parts].reverse() }
    const suggested = (run: RunState) => repairViewOf(turned, historyOf(turned, run), [])?.suggested
    expect([turned.parts[0]?.ref, suggested(state), suggested(logged(state, entry({ fitted })))]).toEqual(['D1', 'R1', null])
  })

  it('begins with no part where several read the same and none is called faulty', () => {
    const several = 'R1 or D1: one of them is open; in-circuit readings cannot say which (99 %).'
    const suggested = (...words: string[]) => repairViewOf(board, historyOf(board, withEvents(state, [{ kind: 'inferred', words }])), [])?.suggested
    expect([suggested(several), suggested('R1 is faulty (97 % likely to be faulty). R1 is open.', several), suggested('Good as far as these readings tell: D1.')]).toEqual([null, 'R1', 'R1'])
  })

  it('says what the board is like now: lifted, removed, jumpered, and whole again', () => {
    const lifted = entry({ part: 'D1', pin: 'anode', action: 'lifted' })
    expect(after(lifted, entry({ action: 'removed' }))).toEqual([{ ref: 'D1', pin: 'anode', is: 'lifted' }, { ref: 'R1', is: 'removed' }])
    expect(after(lifted, entry({ action: 'removed' }), entry({ fitted }))).toEqual([{ ref: 'D1', pin: 'anode', is: 'lifted' }])
    expect(after(lifted, entry({ part: 'D1', pin: 'cathode', action: 'lifted' }), entry({ part: 'D1', pin: 'anode', action: 'resoldered' }))).toEqual([{ ref: 'D1', pin: 'cathode', is: 'lifted' }])
    expect(after(lifted, entry({ part: 'D1', action: 'moved', to: 'pad of TP2' }))).toEqual([])
    expect(after(entry({ action: 'jumpered' }))).toEqual([{ ref: 'R1', is: 'jumpered' }])
  })
  it('an entry struck out counts no more, and is kept', () => {
    const struck = withEvents(logged(state, entry({ part: 'D1', pin: 'anode', action: 'lifted' })), [{ kind: 'struck', entry: state.events.length + 1, because: 'it was D2' }])
    expect(only === undefined ? null : stateAfterRepairs(only.plan, struck)).toEqual([])
    expect(repairViewOf(board, historyOf(board, struck), [])?.entries).toMatchObject([{ part: 'D1', struck: 'it was D2' }])
    expect(rebuild(struck.events.map((event) => parseRunEvent(JSON.parse(JSON.stringify(event)))))).toEqual(struck)
  })
  it('refuses what cannot be, and says what to do', () => {
    const refused = (change: Partial<RepairEntry>) => refusalOfEntry(board, [{ ref: 'D1', is: 'removed' }], entry(change))
    expect(refused({ part: 'R9' })).toMatch(/^R9 is not a part of Soil probe/)
    expect(refused({ action: 'lifted' })).toBe('Say which leg of R1 was lifted.')
    expect(refused({ action: 'lifted', pin: '7' })).toBe('R1 has no pin 7. Its pins are 1, 2.')
    expect(refused({})).toBe('Say what was put in for R1.')
    expect(refused({ action: 'moved' })).toBe('Say which pad R1 was moved to.')
    expect(refused({ part: 'D1', pin: 'anode', action: 'lifted' })).toMatch(/D1 is off the board/)
    expect(refused({ fitted })).toBeNull()
  })
  it('takes a photograph by its whole signature, however short the file', () => {
    const png = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0]
    expect([png, [0xff, 0xd8, 0xff, 0xe0], [], [0x89, 0x50], [...png.slice(0, 4), 0, 0, 0, 0, 0]].map((bytes) => photographType(Uint8Array.from(bytes)))).toEqual(['png', 'jpg', null, null, null])
  })
  it('is kept of a practice board too, and not before a run has ended; once logged, the run is not taken back', () => {
    expect(refusalToLog({ ...state, started: { ...state.started, practice: { seed: 1, faults: [] } } }, only?.plan ?? null)).toBe(refusalToLog(state, only?.plan ?? null))
    expect(refusalToLog({ ...state, ended: null }, only?.plan ?? null)).toMatch(/not ended yet/)
    expect(refusalToLog(state, only?.plan ?? null)).toBeNull()
  })
})

describe('measuring again', () => {
  it('asks for the steps that see the part: by their parts, or by a tip on a net of it that is no supply', () => {
    const of = lineInput([18_000, 31_000])
    expect(affectedSteps(of, [{ part: 'R1' }], [])).toEqual(['r1'])
    expect(affectedSteps(board, [{ part: 'D1' }], [])).toEqual(['r1', 'd1'])
    expect(affectedSteps(board, [], ['d1'])).toEqual(['d1'])
  })
  it('brings along what is done to the board for a step, and leads a branch past steps that are left out', () => {
    const of = lineInput([18_000, 31_000])
    const follows = { run: other, purpose: 'affected' as const, steps: ['pair'], state: [], repairs: [], coolUtc: null }
    expect(planOfBoard(of, follows, () => []).steps.map(({ id }) => id)).toEqual(['repair-clean', 'repair-cool', 'lift', 'open', 'pair', 'back'])
    const branched = boardType.parse({ ...of, sequence: { ...of.sequence, steps: of.sequence.steps.filter(({ kind }) => kind === 'measure').map((step) => ({ ...step, then: step.id === 'pair' ? [{ when: 'fail', goTo: 'r1' }] : [] })) } })
    expect(planOfBoard(branched, follows, () => []).steps.at(-1)).toMatchObject({ id: 'pair', then: [{ goTo: 'end' }] })
  })
  it('counts the minutes after the last joint down, and refuses to measure before; then each value stands beside its first', () => {
    const history = historyOf(board, logged(failed(), entry({ fitted })))
    const follows = { ...followsOf(board, history, 'affected'), run: other, coolUtc: new Date(startMs + 101_000 + 125_000).toISOString() }
    const bench = begun(play(board, checkedMeter, { kit: usualBenchKit, follows }))
    bench.confirm()
    expect(bench.step()).toBe(coolStep)
    expect(liveView(bench.bench(), seconds(bench.at())).state).toMatch(/^cooling: 2:0\d min$|^cooling: 1:5\d min$/)
    expect(bench.confirm().refused).toMatch(/^Still warm: /)
    bench.wait(126)
    expect(bench.confirm().refused).toBeNull()
    expect(bench.step()).toBe('r1')
    const first = firstValuesOf(history)
    expect(first).toMatchObject({ r1: '900.0 Ω, fail', d1: 'open, pass' })
    expect(benchView({ ...bench.bench(), context: { ...bench.bench().context, first } }, null, null).steps.find(({ id }) => id === 'r1')?.first).toBe('900.0 Ω, fail')
    bench.touch('resistance', 220)
    bench.open('diode')
    const both = historyOf(board, ...history.map(({ state }) => state), bench.state())
    expect(repairViewOf(board, both, [])?.values.find(({ id }) => id === 'r1')?.made).toMatchObject([{ value: '900.0 Ω', verdict: 'fail' }, { value: '220.0 Ω', verdict: 'pass' }])
  })
  it('still waits in the run after one that was cut short while the board was warm, and not after one that ended when it was cool', () => {
    const history = historyOf(board, logged(failed(), entry({ fitted })))
    const coolUtc = new Date(startMs + 101_000 + 125_000).toISOString()
    const follows = { ...followsOf(board, history, 'affected'), run: other, coolUtc }
    const behindOne = (waited: number, purpose: 'affected' | 'prove' = 'affected'): string | null => {
      const bench = begun(play(board, checkedMeter, { kit: usualBenchKit, follows }))
      bench.wait(waited)
      bench.give({ kind: 'end', reason: 'the bell rang', at: seconds(bench.at()) })
      return followsOf(board, [...history, ...historyOf(board, bench.state())], purpose).coolUtc
    }
    expect([behindOne(1), behindOne(1, 'prove'), behindOne(300)]).toEqual([coolUtc, null, null])
    const bench = begun(play(board, checkedMeter, { kit: usualBenchKit, follows }))
    bench.give({ kind: 'end', reason: 'the bell rang', at: seconds(bench.at()) })
    const both = [...history, ...historyOf(board, bench.state())]
    expect(repairViewOf(board, both, [])?.again.coolUtc).toBe(coolUtc)
    // Soldered once more since: it is that joint which is waited for.
    const soldered = [...history, ...historyOf(board, logged(bench.state(), entry({ part: 'D1', pin: 'anode', action: 'resoldered' })))]
    expect(followsOf(board, soldered, 'affected').coolUtc).toBe(new Date(startMs + 50_000 + 300_000).toISOString())
  })
  it('asks for limits and other places of its own sequence, not of the one before, though the board file is the same', () => {
    const bare = smallBoard({ sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => { if (step.id !== 'd1' || step.kind !== 'measure') return step; const { limits: _typed, ...rest } = step; return rest }) } })
    const follows = { run: other, steps: ['d1'], state: [], repairs: [], coolUtc: null }
    const keysOf = (ask: (bench: Play) => { key: string } | null, of: BoardType): Set<string | undefined> => new Set([
      play(of), play(of, checkedMeter, { kit: usualBenchKit, follows: { ...follows, purpose: 'affected' } }),
      play(of, checkedMeter, { kit: usualBenchKit, follows: { ...follows, steps: ['r1', 'd1'], purpose: 'affected' } }),
    ].map((bench) => ask(bench)?.key))
    for (const keys of [keysOf((bench) => limitsRequestOf(bench.bench()), bare), keysOf((bench) => placementsRequestOf(bench.bench()), board)]) expect([keys.size, keys.has(undefined)]).toEqual([3, false])
  })
  it('with a part off the board judges by limits computed for it so, and the diagnosis is told', () => {
    const history = historyOf(board, logged(failed(), entry({ part: 'R1', action: 'removed' })))
    const bench = begun(following(history, 'whole'))
    const asked = limitsRequestOf(bench.bench())
    expect(asked).toMatchObject({ found: [{ ref: 'R1', is: 'removed' }] })
    if (asked === null) return
    bench.give({ kind: 'limits-computed', answer: answerLimits(asked), at: seconds(bench.at()) })
    bench.confirm(); bench.wait(500); bench.confirm(); bench.confirm()
    expect(bench.step()).toBe('r1')
    bench.touch('resistance', 900); bench.touch('resistance', 900)
    expect(readingsOf(bench.state(), bench.bench().context.plan)).toMatchObject({ state: [{ ref: 'R1', is: 'removed' }], readings: [{ red: 'J1.1', value: expect.closeTo(900, 0) as number }] })
    expect(diagnosisRequestOf(bench.bench())?.readings.state).toEqual([{ ref: 'R1', is: 'removed' }])
    // A resistor that is gone reads open: that is what is expected now.
    expect(bench.state().limits?.steps.r1).toMatchObject({ limits: 'open' })
    // The clamp reads as it did: the limits of the file stay in force.
    expect([bench.state().limits?.steps.d1, bench.bench().context.plan.steps.find(({ id }) => id === 'd1')]).toEqual([undefined, expect.objectContaining({ limits: 'open' })])
    bench.open('diode')
    expect(benchView(bench.bench(), null, null).result?.next).toContain('Put the board back as it was built (R1 removed), then measure again: no final verdict before that.')
    // A bad part is not put back.
    const concluded = { ...bench.bench(), run: withEvents(bench.state(), [{ kind: 'inferred', words: ['R1 is faulty (97 % likely to be faulty). R1 is open.'] }]) }
    const next = benchView(concluded, null, null).result?.next ?? []
    expect(next).toContain('R1 is faulty: replace it rather than put it back, then measure again: no final verdict before that.')
    expect(next.join(' ')).not.toContain('Put the board back')
  })
})

/** The whole way of one unit, up to its last run. */
const wayOf = (first: RunState, after: (bench: Play) => void): History => {
  const history = historyOf(board, first)
  const bench = begun(following(history, 'whole'))
  bench.confirm(); bench.wait(500); bench.confirm(); bench.confirm()
  after(bench)
  return historyOf(board, first, bench.state())
}
const allGood = (bench: Play): void => { bench.touch('resistance', 220); bench.open('diode') }

describe('closing a board', () => {
  it('as repaired takes a log, a board that is whole, and a pass of every step that failed', () => {
    const first = failed()
    expect(refusalToClose(board, historyOf(board, first), 'repaired')).toBe('Nothing was logged as repaired. Log it first, or close the board as no fault found.')
    const forgotten = logged(first, entry({ part: 'D1', pin: 'anode', action: 'lifted' }), entry({ fitted }))
    expect(refusalToClose(board, historyOf(board, forgotten), 'repaired')).toBe('The board is not whole: the anode of D1 lifted. Put it back, and log that it was.')
    expect(refusalToFollow(board, historyOf(board, forgotten), 'prove')).toMatch(/anode of D1 lifted/)
    const soldered = logged(first, entry({ part: 'D1', pin: 'anode', action: 'lifted' }), entry({ fitted }), entry({ part: 'D1', pin: 'anode', action: 'resoldered' }))
    expect(refusalToClose(board, historyOf(board, soldered), 'repaired')).toBe('It was repaired after its last measurement. Measure it again first.')
    const again = wayOf(soldered, allGood)
    expect([notCleared(board, again), refusalToClose(board, again, 'repaired'), refusalToClose(board, again, 'no-fault-found')]).toEqual([[], null, 'Repairs are logged on this board: close it as repaired.'])
    const still = wayOf(soldered, (bench) => { bench.touch('resistance', 900); bench.touch('resistance', 900); bench.open('diode') })
    expect(refusalToClose(board, still, 'repaired')).toMatch(/^Its last run is not passed: Outside limits: R1/)
  })
  it('a leg left lifted keeps the run behind it from a pass, and is named', () => {
    const history = historyOf(board, logged(failed(), entry({ part: 'D1', pin: 'anode', action: 'lifted' })))
    const bench = begun(following(history, 'whole'))
    const asked = limitsRequestOf(bench.bench())
    if (asked !== null) bench.give({ kind: 'limits-computed', answer: answerLimits(asked), at: seconds(bench.at()) })
    bench.confirm(); bench.wait(500); bench.confirm(); bench.confirm()
    bench.touch('resistance', 220); bench.open('diode')
    expect(bench.state().ended).toMatchObject({ verdict: 'incomplete', because: expect.stringContaining('the board is not whole: the anode of D1 lifted') as string })
  })
  it('the record of the run behind a repair tells what was repaired', () => {
    const again = wayOf(logged(failed(), entry({ fitted, note: 'pulse-rated' })), allGood)
    const state = again.at(-1)?.state
    if (state === undefined) throw new Error('no run')
    const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state, board })))
    expect(record.repairs).toMatchObject([{ part: 'R1', what: 'replaced by “220R”, of the same marking, new. pulse-rated', by: 'M. Rhys' }])
    expect(record.outcome.verdict).toBe('pass')
  })
  it('the record of a run that made part of the sequence claims no more than that part, in its outcome and on its pages', () => {
    const history = historyOf(board, logged(failed(), entry({ part: 'D1', pin: 'anode', action: 'lifted' })))
    const recordOf = (bench: Play) => {
      bench.give({ kind: 'end', reason: 'fetched', at: seconds(bench.at()) })
      return testRecordContent.parse(recordOfRun(sourcesMade({}, { state: bench.state(), board })))
    }
    const partial = recordOf(play(board, checkedMeter, { kit: usualBenchKit, follows: { ...followsOf(board, history, 'affected'), run: other, steps: ['d1'] } }))
    expect(partial.follows).toEqual({
      run: other, purpose: 'affected', steps: ['d1'], of: 3, found: ['the anode of D1 lifted'],
      words: 'Partial: 1 of 3 steps of the sequence, those the repair touches and those that had not passed. This record says nothing of the others. The board was found with the anode of D1 lifted.',
    })
    expect(partial.outcome.because).toContain('Partial: 1 of 3 steps')
    const printed = JSON.stringify(sectionsOf([sealedRecord(partial)], { budgets: false }))
    for (const words of [partial.follows?.words, '1 of 3: d1', other]) expect(printed).toContain(words)
    const whole = recordOf(following(history, 'whole'))
    const runsBefore = (record: typeof whole): unknown[] => [...new Set(recordRows([sealedRecord(record)]).map((row) => row[recordColumns.indexOf('follows_run')]))]
    expect([partial, recordOf(play(board))].map(runsBefore)).toEqual([[other], [null]])
    expect([whole.follows?.steps, whole.outcome.because.includes('Partial')]).toEqual([['look', 'r1', 'd1'], false])
    expect(recordOf(following(history, 'prove')).outcome.because).toContain('Partial: none of the 3 steps')
    expect('follows' in recordOf(play(board))).toBe(false)
  })
  it('beyond repair names the rule and the reading', () => {
    const bench = begun(play(board))
    bench.confirm(); bench.touch('resistance', 200_000); bench.touch('resistance', 200_000)
    const [one] = historyOf(board, bench.state())
    expect(one === undefined ? null : ruleThatEnded(one)).toBe('R1 reads 200.0000 kΩ: the trace under R1 is gone')
  })
})

/** What follows, with the board clean and cool, up to where the sequence is taken up. */
const next = (history: History, purpose: 'affected' | 'whole'): Play => {
  const bench = begun(following(history, purpose))
  bench.confirm(); bench.wait(500); bench.confirm()
  return bench
}
const cutShort = (bench: Play): RunState => { bench.give({ kind: 'end', reason: 'the bell rang', at: seconds(bench.at()) }); return bench.state() }
const behind = (history: History, state: RunState): History => [...history, ...historyOf(board, state)]

describe('what is still to be measured', () => {
  it('is each step that was never made: no power and no closing without it, though the last run is passed', () => {
    const bench = begun(play(board))
    bench.confirm(); bench.touch('resistance', 900); bench.touch('resistance', 900)
    const first = historyOf(board, cutShort(bench))
    expect(stepsToMakeAgain(board, first)).toEqual(['r1'])
    const again = next(first, 'affected')
    again.touch('resistance', 220)
    const both = behind(first, again.state())
    expect(both.at(-1)?.state.ended?.verdict).toBe('pass')
    expect([refusalToFollow(board, both, 'prove'), refusalToClose(board, both, 'no-fault-found')]).toEqual(['No power before every step has passed. Still open: D1 reverse.', 'Not passed since: D1 reverse. Measure it again.'])
    expect(stepsToMakeAgain(board, both)).toEqual(['d1'])
    const rest = next(both, 'affected')
    rest.open('diode')
    expect([refusalToFollow(board, behind(both, rest.state()), 'prove'), refusalToClose(board, behind(both, rest.state()), 'no-fault-found')]).toEqual([null, null])
  })
  it('is each step that sees a repair until it has passed, though a run between was cut short', () => {
    const first = historyOf(board, logged(failed(), entry({ fitted })))
    const short = next(first, 'affected')
    short.touch('resistance', 220)
    const both = behind(first, cutShort(short))
    expect([stepsToMakeAgain(board, both), followsOf(board, both, 'affected').steps, refusalToFollow(board, both, 'affected')]).toEqual([['d1'], ['d1'], null])
    expect(refusalToFollow(board, both, 'prove')).toBe('No power before every step has passed. Still open: D1 reverse.')
    const rest = next(both, 'affected')
    rest.open('diode')
    const all = behind(both, rest.state())
    expect([refusalToFollow(board, all, 'prove'), refusalToClose(board, all, 'repaired')]).toEqual([null, null])
    const whole = behind(all, cutShort(next(all, 'whole')))
    expect([notCleared(board, whole), refusalToFollow(board, whole, 'prove')]).toEqual([[], expect.stringMatching(/^No power before the last run of the sequence has passed\. Ended before the last step/)])
  })
})

describe('beside a good board', () => {
  const beside = (): RunState => {
    const bench = play(board, checkedMeter, { kit: usualBenchKit, beside: true })
    bench.confirm(); bench.open('dc-voltage'); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 219.8)
    bench.touch('resistance', 900); bench.touch('resistance', 900); bench.open('diode'); bench.open('diode')
    expect(bench.state().ended?.verdict).toBe('fail')
    return bench.state()
  }
  const repaired = historyOf(board, logged(beside(), entry({ fitted })))
  it('is measured again what was measured so, with the good one proven and each step made on it first', () => {
    expect([keptBeside(repaired), keptBeside(historyOf(board, failed()))]).toEqual([true, false])
    expect(repairViewOf(board, repaired, [])?.again).toMatchObject({ beside: true, affected: { alone: null }, whole: { alone: null } })
    const bench = play(board, checkedMeter, { kit: usualBenchKit, follows: { ...followsOf(board, repaired, 'affected'), run: other }, beside: true })
    const shown = (): unknown[] => [bench.step(), benchView(bench.bench(), null, null).step?.onBoard?.which]
    bench.confirm(); bench.open('dc-voltage')
    expect(shown()).toEqual(['prepare/good-board/store/C1', 'good'])
    bench.open('dc-voltage'); bench.confirm(); bench.wait(500); bench.confirm()
    expect(shown()).toEqual(['r1', 'good'])
    bench.touch('resistance', 219.8)
    expect(shown()).toEqual(['r1', 'under-test'])
    bench.touch('resistance', 221); bench.open('diode'); bench.open('diode')
    expect(bench.state().ended?.verdict).toBe('pass')
    expect(bench.events().flatMap((event) => (event.kind === 'compared' ? [event.step] : []))).toEqual(['r1', 'd1'])
    expect(keptBeside(behind(repaired, bench.state()))).toBe(true)
    // Once it was said no to, the next one is alone as well; a proof changes nothing.
    expect(keptBeside(behind(repaired, cutShort(next(repaired, 'whole'))))).toBe(false)
    expect(keptBeside(behind(repaired, following(repaired, 'prove').state()))).toBe(true)
  })
  it('is left out, with the reason, where the good one would tell nothing', () => {
    expect(refusalBeside(board, repaired, 'prove')).toBe('That it works is proven on this board alone.')
    const lifted = historyOf(board, logged(beside(), entry({ part: 'D1', pin: 'anode', action: 'lifted' })))
    expect(refusalBeside(board, lifted, 'whole')).toBe('Made on this board alone: the anode of D1 lifted here, and not on a good board.')
    const steps = board.sequence.steps.map((step) => (step.kind === 'measure' ? { ...step, powered: true } : step))
    const powered = { ...board, sequence: { ...board.sequence, steps } }
    expect(refusalBeside(powered, historyOf(powered, beside()), 'whole')).toBe('Made on this board alone: none of its steps is measured with the power off between two test points.')
  })
})

describe('proving that it works', () => {
  const again = wayOf(logged(failed(), entry({ fitted })), allGood)
  it('measures the supply first, cautions before power, and looks at what the board must do', () => {
    expect(refusalToFollow(board, again, 'prove')).toBeNull()
    const plan = planOfBoard(board, followsOf(board, again, 'prove'), (made) => preparationSteps(made, usualBenchKit))
    expect(plan.steps.map(({ id }) => id)).toEqual(['supply', 'power-caution-1', 'power-bare', 'power-up', 'rail', 'lamp', 'power-off'])
    expect(plan.steps.find(({ id }) => id === 'power-up')).toMatchObject({ words: 'Set a supply to 24 V and its current limit to 0.1 A before it is connected. Plus to C1.1, minus to C1.2.' })
    expect(plan.steps.find(({ id }) => id === 'power-caution-1')?.caution).toMatch(/eye protection/)
    const mains = planOfBoard({ ...board, hazard: 'hazardous', mainsReferenced: true }, followsOf(board, again, 'prove'), () => [])
    expect(mains.steps.find(({ id }) => id === 'power-caution-1')?.caution).toMatch(/isolating transformer.*local codes/s)
  })
  it('is a run of its own: power off first, then supplied, and a miss under power fails it', () => {
    const proving = (rail: number): Play => {
      const bench = begun(following(again, 'prove'))
      bench.touch('resistance', 50_000)
      bench.confirm(); bench.confirm(); bench.confirm()
      expect(bench.step()).toBe('rail')
      bench.touch('dc-voltage', rail)
      if (rail < 4.75) bench.touch('dc-voltage', rail)
      bench.confirm(); bench.confirm()
      return bench
    }
    const good = proving(5)
    expect(good.state().ended?.verdict).toBe('pass')
    expect(refusalToClose(board, [...again, ...historyOf(board, good.state())], 'repaired')).toBeNull()
    // A repair behind the proof wants another.
    const repairedAgain = behind(again, logged(good.state(), entry({ fitted })))
    const sound = next(repairedAgain, 'whole')
    sound.confirm()
    allGood(sound)
    expect(refusalToClose(board, behind(repairedAgain, sound.state()), 'repaired')).toBe('It was repaired after the last proof that it works. Prove it again.')
    const low = proving(3.1)
    expect(low.state().ended).toMatchObject({ verdict: 'fail', because: expect.stringContaining('Rail') as string })
    const missed = behind(again, low.state())
    expect(refusalToClose(board, missed, 'repaired')).toMatch(/not passed: Outside limits: Rail/)
    // It may be made anew; until it is passed the board is not closed as repaired.
    expect(refusalToFollow(board, missed, 'prove')).toBeNull()
    const measured = next(missed, 'whole')
    measured.confirm()
    allGood(measured)
    expect(refusalToClose(board, behind(missed, measured.state()), 'repaired')).toMatch(/^The last proof that it works is not passed: Outside limits: Rail/)
    expect(refusalToClose(board, behind(behind(missed, measured.state()), good.state()), 'repaired')).toBeNull()
  })
  it('has nothing measured elsewhere from the moment power is put on until it is off', () => {
    const bench = begun(following(again, 'prove'))
    const offered = (): [string | null, boolean] => [bench.step(), refusalElsewhere(bench.bench()) === null]
    bench.touch('resistance', 50_000)
    expect(offered()).toEqual(['power-caution-1', true])
    bench.confirm(); bench.confirm()
    expect(offered()).toEqual(['power-up', false])
    bench.confirm()
    expect(offered()).toEqual(['rail', false])
    bench.touch('dc-voltage', 5)
    expect(offered()).toEqual(['lamp', false])
    expect(refusalElsewhere(bench.bench())).toBe('The board is under power, or about to be. Measure elsewhere once it is off.')
    bench.confirm()
    expect(offered()).toEqual(['power-off', false])
  })
  it('has the board proven de-energised anew where somebody goes back over power that was put on', () => {
    // It is looked at under power before anything is measured there, so no powered step has made the proof lapse.
    const looked = boardType.parse({ ...board, prove: { ...board.prove, powerUp: { ...board.prove?.powerUp, steps: [{ kind: 'look', id: 'smoke', title: 'Smoke', words: 'Does anything smoke?' }, ...board.prove?.powerUp?.steps ?? []] } } })
    const bench = begun(following(again, 'prove', looked))
    bench.touch('resistance', 50_000)
    bench.confirm(); bench.confirm(); bench.confirm()
    expect(bench.step()).toBe('smoke')
    const back = () => { bench.wait(0.6); bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) }) }
    back(); back(); back(); back()
    expect(bench.events().filter(({ kind }) => kind === 'proof-lapsed')).toMatchObject([{ because: 'the board may still be under power' }])
    expect(bench.step()).toBe('prepare/disconnect')
  })
  it('ends before any power where the supply was measured short, or was not measured', () => {
    const short = following(again, 'prove')
    begun(short)
    short.touch('resistance', 2); short.touch('resistance', 2)
    expect([short.step(), short.state().ended]).toMatchObject([null, { verdict: 'fail', because: expect.stringMatching(/^No power is put on: Supply did not pass\. Outside limits: Supply/) as string }])
    const skipped = begun(following(again, 'prove'))
    skipped.give({ kind: 'skip', reason: 'no room for the tips', at: seconds(skipped.at()) })
    expect([skipped.step(), skipped.state().ended]).toMatchObject([null, { verdict: 'incomplete', because: expect.stringMatching(/^No power is put on: Supply did not pass\. Not judged: Supply/) as string }])
    const led = { ...board, prove: board.prove === undefined ? undefined : { ...board.prove, unpowered: board.prove.unpowered.map((step) => ({ ...step, then: [{ when: 'fail' as const, goTo: 'power-up' }] })) } }
    const past = begun(following(again, 'prove', led))
    past.touch('resistance', 2); past.touch('resistance', 2)
    expect([past.step(), past.state().ended?.verdict]).toEqual([null, 'fail'])
  })
  it('is refused before every step has passed, and where the file says nothing of it', () => {
    expect(refusalToFollow(board, historyOf(board, failed()), 'prove')).toBe('No power before every step has passed. Still open: R1.')
    expect(refusalToFollow(smallBoard(), again, 'prove')).toMatch(/"prove"/)
  })
  it('of a board file is checked at its own places', () => {
    const json = JSON.parse(JSON.stringify(lineInput([18_000, 31_000]))) as Record<string, unknown>
    const steps = [{ kind: 'measure', id: 'pair', title: 'Pair', red: 'J1.1', black: 'J9', function: 'diode', limits: 'open' }]
    const checked = checkBoard({ ...json, prove: { unpowered: steps } }, 'board.json')
    expect('problems' in checked ? checked.problems.map(({ field }) => field) : []).toEqual(['prove.unpowered[0].black', 'prove.unpowered', 'prove'])
    // Behind the power-up the board is supplied, also where the step does not say so.
    const supplied = (what: string): unknown => {
      const own = checkBoard({ ...JSON.parse(JSON.stringify(board)) as object, prove: { ...board.prove, powerUp: { ...board.prove?.powerUp, steps: [{ ...board.prove?.powerUp?.steps[0], function: what, powered: undefined, limits: { atLeast: 1000 } }] } } }, 'board.json')
      return 'problems' in own ? own.problems.flatMap(({ field, message }) => (field.startsWith('prove.powerUp') ? [`${field} ${message}`] : [])) : []
    }
    expect(supplied('resistance')).toEqual(['prove.powerUp.steps[0].function is resistance, which is never measured on a supplied board; move it to unpowered'])
    expect(supplied('dc-voltage')).toEqual([expect.stringMatching(/^prove\.powerUp\.steps\[0\]\.powered .*means something only on a supplied board/)])
  })
})

describe('the page of a closed board', () => {
  it('tells what lies outside its limits apart from what was not judged, and keeps the sign of a value', () => {
    const closed = behind([], withEvents(failed(), [{ kind: 'closed', as: 'returned', because: 'as asked', by: 'M. Rhys' }]))
    const view = repairViewOf(board, closed, [])
    const made = (title: string, value: string, verdict: 'conditional-fail' | 'doubtful' | 'not-judged' | 'pass') => ({ id: title, title, made: [{ value, verdict }, null] })
    const [page, ...shorter] = view === null ? [] : reportPages(board, { ...view, values: [made('B to GND', '-7.00 V', 'conditional-fail'), made('R5', '', 'not-judged'), made('D4', '0.612 V', 'doubtful'), made('R2', '1.0 Ω', 'pass')] }, (utc) => utc)
    const lists = (of: typeof page) => of?.blocks.flatMap((block, at, all) => { const rows = all[at + 1]; return block.kind === 'heading' && rows?.kind === 'facts' ? [[block.text, rows.rows]] : [] })
    expect(lists(page)?.slice(0, 2)).toEqual([['Not within its limits', [['B to GND', '-7.00 V, conditional fail']]], ['Not judged', [['R5', 'not judged'], ['D4', '0.612 V, doubtful']]]])
    expect(JSON.stringify(page)).not.toContain('R2')
    // A shorter page says how many rows it leaves out.
    expect(shorter.at(-1)?.blocks).toContainEqual({ kind: 'text', text: 'And 1 more, kept with the runs.', tone: 'note' })
  })
})

describe('a loose part', () => {
  it('is vouched for by its own test alone: of that part, from that donor, for that revision, and once', () => {
    const test = { board: 'donor-soil-probe', revision: 'A', serialNumber: 'R1 from P-3', verdict: 'pass' }
    const from = (donor: string) => entry({ fitted: { marking: '220R', same: true, figures: {}, judged: [], origin: { kind: 'donor', board: donor, test: other } } })
    expect(refusalOfDonor(board, from('P-3'), test, [])).toBeNull()
    expect(refusalOfDonor(board, from('P-4'), test, [])).toMatch(/^That run did not measure R1 from P-4 for revision A/)
    expect(refusalOfDonor(board, from('P-3'), { ...test, revision: 'B' }, [])).toMatch(/^That run did not measure R1 from P-3/)
    expect(refusalOfDonor(board, from('P-3'), { ...test, verdict: 'fail' }, [])).toMatch(/did not pass/)
    expect(refusalOfDonor(board, from('P-3'), test, [{ entry: from('P-3') }])).toMatch(/^That test vouches for the R1 that is logged already/)
  })
  it('is measured alone by a sequence of its own, and one that a meter cannot judge is refused', () => {
    const [r1, d1] = board.parts
    if (r1 === undefined || d1 === undefined) throw new Error('no parts')
    expect(donorBoard(board, r1).sequence.steps).toMatchObject([{ function: 'resistance', limits: { nominal: 220, tolerance: 0.05 } }])
    expect(donorBoard(board, d1).sequence.steps.map((step) => (step.kind === 'measure' ? [step.red, step.limits ?? null] : []))).toEqual([['anode', null], ['cathode', 'open']])
    expect(boardType.parse(donorBoard(board, d1)).id).toBe('donor-soil-probe')
    expect(refusalToTestAlone({ ref: 'U1', kind: 'ic', pins: { 1: 'A', 2: 'B' } })).toMatch(/cannot tell whether a loose IC/)
  })
})
