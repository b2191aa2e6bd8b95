/** A placement of the technician's own choice: made as a step of the run by every rule of capture, recorded without a verdict, and then the sequence goes on. */
import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { pointsUsed } from '../../../src-core/record/points-used'
import { sectionsOf } from '../../../src-core/record/print/pages'
import { recordColumns, recordRows } from '../../../src-core/record/record-table'
import { testRecordContent } from '../../../src-core/record/schema'
import { diagnosisRequestOf } from '../../../src-core/run/diagnosis-request'
import { answerElsewhere, elsewhereRequestOf } from '../../../src-core/run/elsewhere-request'
import { eventInWords } from '../../../src-core/run/event-words'
import { liveView } from '../../../src-core/run/live'
import { readingsOf } from '../../../src-core/run/readings-of'
import { runDetailOf } from '../../../src-core/run/detail'
import { benchView } from '../../../src-core/run/show'
import { tableColumns, tableRows } from '../../../src-core/run/value-table'
import type { Chosen } from '../../../src-core/run/measure-elsewhere'
import { sealedRecord, sourcesMade } from '../../bench-tools/made-records'
import { play, smallBoard, type Play } from './a-run'

const ask = (bench: Play, red = 'J1.1', black = 'C1.2', what: Chosen['function'] = 'resistance') => bench.give({ kind: 'elsewhere', red, black, function: what, at: seconds(bench.at()) })
const view = (bench: Play) => benchView(bench.bench(), null, null)
const keys = (bench: Play) => view(bench).keys.map(({ key, action }) => `${key} ${action}`)
/** Proven, looked at, and at R1. */
const atR1 = (change: Record<string, unknown> = {}): Play => {
  const bench = play(smallBoard(change))
  bench.confirm(); bench.open('dc-voltage'); bench.confirm(); bench.lift('resistance')
  expect(bench.step()).toBe('r1')
  return bench
}

describe('a measurement elsewhere', () => {
  it('is an event that makes it the step now, captured by the usual rules, without a verdict, and the sequence goes on where it was', () => {
    const bench = atR1()
    expect(keys(bench)).toContain('M elsewhere')
    expect(ask(bench).events).toEqual([{ kind: 'elsewhere', step: 'elsewhere:1', red: 'J1.1', black: 'C1.2', function: 'resistance', then: 'r1' }])
    const { step } = view(bench)
    expect([step?.title, step?.red?.testPoint, step?.black?.testPoint, step?.limits, step?.scale]).toEqual(['Elsewhere J1.1, C1.2', 'J1.1', 'C1.2', '', null])
    bench.touch('resistance', 1220)
    expect(bench.events().slice(-2)).toMatchObject([
      { kind: 'learned', step: 'elsewhere:1', value: 1220, evidence: 'steady', uncertainty: { basis: 'generic' } }, { kind: 'decided', step: 'elsewhere:1', verdict: 'not-judged', next: 'r1' }])
    expect(bench.step()).toBe('r1')
    expect(view(bench).steps.map(({ id, value, verdict }) => [id, value, verdict]).slice(-3)).toEqual([['elsewhere:1', '1.2200 kΩ', 'not-judged'], ['r1', '', null], ['d1', '', null]])
    expect(view(bench).spoken.find(({ kind }) => kind === 'result')?.sentences).toEqual(['1.22 kilo ohm'])
    bench.touch('resistance', 221)
    bench.open('diode')
    // Nothing is left unjudged of the sequence, so it passes.
    expect(bench.state().ended?.verdict).toBe('pass')
  })

  it('air is recorded only by a press, as everywhere', () => {
    const bench = atR1()
    ask(bench)
    bench.hold('resistance', 'overload', 3)
    expect(bench.step()).toBe('elsewhere:1')
    expect(liveView(bench.bench(), seconds(bench.at())).state).toBe('touch both, or confirm open')
    bench.confirm()
    expect(bench.events().at(-2)).toMatchObject({ kind: 'learned', value: 'overload', evidence: 'confirmed' })
    expect(bench.step()).toBe('r1')
  })

  it('after it the leads are lifted before the next value, and a value that stands under the leads is not taken for it', () => {
    const bench = atR1()
    bench.hold('resistance', 221, 0.6)
    expect(ask(bench).refused).toContain('The leads touch something')
    bench.lift('resistance')
    ask(bench)
    bench.lift('resistance')
    bench.hold('resistance', 221, 4)
    expect(bench.step()).toBe('r1')
    // Held on: R1 has nothing yet.
    expect(bench.state().steps['r1']).toBeUndefined()
    bench.lift('resistance')
    bench.touch('resistance', 221)
    expect(bench.state().steps['r1']?.decided?.verdict).toBe('pass')
  })

  it('needs the proof as any other step: it lapses, the preparation comes first, then it is asked for again', () => {
    const bench = atR1()
    ask(bench, 'R1.2', 'C1.2', 'diode')
    bench.hold('diode', -0.3, 0.6)
    expect(bench.events().at(-1)).toMatchObject({ kind: 'proof-lapsed' })
    expect(bench.step()).toBe('prepare/disconnect')
    expect(ask(bench).refused).toContain('preparation comes first')
    bench.confirm(); bench.open('dc-voltage')
    expect(bench.step()).toBe('elsewhere:1')
  })

  it('leaving a step under power for it has the board proven anew first', () => {
    const bench = atR1({ sequence: { id: 'input', version: 1, steps: [{ kind: 'look', id: 'look', title: 'Look', words: 'Burnt?' },
      { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 } },
      { kind: 'measure', id: 'rail', title: 'Rail', red: 'C1.1', black: 'C1.2', function: 'dc-voltage', limits: { between: [3, 4] }, powered: true }] } })
    bench.touch('resistance', 221)
    expect(bench.step()).toBe('rail')
    expect(ask(bench).events.map(({ kind }) => kind)).toEqual(['elsewhere', 'proof-lapsed'])
    expect(bench.step()).toBe('prepare/disconnect')
  })

  it('survives a restart, can be taken back before and after its value, and can be skipped', () => {
    const bench = atR1()
    ask(bench)
    bench.kill()
    bench.confirm(); bench.open('dc-voltage')
    expect(bench.step()).toBe('elsewhere:1')
    bench.touch('resistance', 1220)
    expect(bench.step()).toBe('r1')
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    expect(bench.step()).toBe('elsewhere:1')
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    // Taken back is all that came since, the proof that was made anew as well: it is made once more.
    expect(bench.step()).toBe('prepare/disconnect')
    bench.confirm(); bench.open('dc-voltage')
    expect(bench.step()).toBe('r1')
    expect(view(bench).steps.some(({ id }) => id.startsWith('elsewhere'))).toBe(false)
    ask(bench)
    bench.touch('resistance', 1220)
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    expect([bench.step(), bench.state().steps['elsewhere:2']?.learned ?? []]).toEqual(['elsewhere:2', []])
    expect(view(bench).steps.find(({ id }) => id === 'elsewhere:2')?.earlier).toEqual(['1.2200 kΩ'])
    bench.give({ kind: 'skip', reason: 'no access', at: seconds(bench.at()) })
    expect(bench.step()).toBe('r1')
    expect(readingsOf(bench.state(), bench.bench().context.plan).readings).toEqual([])
    expect(bench.events().filter(({ kind }) => kind === 'learned')).toHaveLength(2)
  })

  it('is refused, with the reason, for points and functions that make no sense, and while something else waits', () => {
    const bench = atR1()
    expect(ask(bench, 'J1.1', 'X9').refused).toBe('This board has no test point X9. Choose another.')
    expect(ask(bench, 'J1.1', 'J1.1').refused).toContain('Choose two points')
    expect(ask(bench, 'J1.1', 'R1.2', 'dc-voltage').refused).toContain('only resistance and diode test')
    const oneNet = atR1({ testPoints: [...smallBoard().testPoints, { id: 'D1.1', net: 'MID', picture: 'top', x: 1, y: 1, words: 'cathode' }] })
    expect(ask(oneNet, 'R1.2', 'D1.1').refused).toContain('one net, MID')
    ask(bench)
    expect(ask(bench).refused).toContain('asked for already')
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    bench.touch('resistance', 300)
    expect(ask(bench).refused).toContain('R1 is begun and waits')
    expect(keys(bench)).not.toContain('M elsewhere')
    expect(view(bench).elsewhere).toBeUndefined()
    bench.give({ kind: 'press', press: 'pause', at: seconds(bench.at()) })
    expect(ask(bench).refused).toContain('paused')
  })

  it('is a reading of the diagnosis, a row of its own in table and screen, and a sentence in the list of events', () => {
    const bench = atR1()
    ask(bench, 'R1.2', 'C1.2', 'diode')
    bench.open('diode')
    ask(bench)
    bench.touch('resistance', 1220)
    const { plan } = bench.bench().context
    expect(readingsOf(bench.state(), plan).readings).toMatchObject([
      { red: 'R1.2', black: 'C1.2', function: 'diode', value: 'overload', evidence: 'confirmed' }, { red: 'J1.1', black: 'C1.2', function: 'resistance', value: 1220, evidence: 'steady' }])
    // Nothing failed, and all the same who measures elsewhere is answered.
    expect(diagnosisRequestOf(bench.bench())?.readings.readings).toHaveLength(2)
    const detail = runDetailOf(bench.state(), smallBoard())
    expect(detail.steps.filter(({ id }) => id.startsWith('elsewhere')).map(({ placement, verdict, limits, found }) => [placement, verdict, limits, found?.[0]?.words.split(' ±')[0]])).toEqual([
      ['red R1.2, black C1.2', 'not-judged', '', 'open, confirmed'], ['red J1.1, black C1.2', 'not-judged', '', '1.2200 kΩ']])
    const column = (name: typeof tableColumns[number]) => tableColumns.indexOf(name)
    const row = tableRows({ state: bench.state(), board: smallBoard() }).find((cells) => cells[column('step')] === 'elsewhere:2') ?? []
    expect(['red', 'black', 'function', 'value', 'limits', 'value_verdict', 'step_verdict'].map((name) => row[tableColumns.findIndex((each) => each === name)])).toEqual(['J1.1', 'C1.2', 'resistance', 1220, null, null, 'not-judged'])
    expect(bench.events().filter(({ kind }) => kind === 'elsewhere').map((event) => eventInWords(event, (id) => id))).toEqual([
      'Measured elsewhere before r1: red R1.2, black C1.2, diode test.', 'Measured elsewhere before r1: red J1.1, black C1.2, resistance.'])
  })
})

describe('what a good board reads elsewhere', () => {
  /** The divider R1, R3 to ground, and nothing else that conducts: 220 Ω ± 5 % and 1 kΩ ± 5 %. */
  const divider = { parts: [...smallBoard().parts.filter(({ ref }) => ref === 'R1'), { ref: 'R3', kind: 'resistor', value: 1000, tolerance: 0.05, pins: { 1: 'MID', 2: 'GND' } }] }
  const asked = (bench: Play) => elsewhereRequestOf(bench.bench())
  const compute = (bench: Play): void => {
    const request = asked(bench)
    if (request === null) throw new Error('nothing is asked for')
    bench.give({ kind: 'elsewhere-computed', answer: answerElsewhere(request), at: seconds(bench.at()) })
  }
  const row = (bench: Play) => view(bench).steps.find(({ id }) => id === 'elsewhere:1')

  it('is computed beside the bench, said to be, drawn on the scale, and holds nothing up', () => {
    const bench = atR1(divider)
    expect(asked(bench)).toBeNull()
    ask(bench)
    expect(view(bench).step?.where).toContain('What a good board reads here is being computed.')
    compute(bench)
    // In series, by Ohm's law: 1220 Ω, and 5 % of it either way at the corners.
    const told = bench.events().find((event) => event.kind === 'elsewhere-computed')
    const made = told?.kind === 'elsewhere-computed' && 'value' in told.expected ? told.expected : null
    expect(made?.value).toBeCloseTo(1220, 6)
    const [low, high] = made !== null && typeof made.limits === 'object' && 'between' in made.limits ? made.limits.between : [NaN, NaN]
    expect([low < 1220 * 0.95 + 10, low > 1220 * 0.9, high > 1220 * 1.05 - 10, high < 1220 * 1.1]).toEqual([true, true, true, true])
    expect(asked(bench)).toBeNull()
    const { step } = view(bench)
    expect([step?.limitsAre, step?.limits]).toEqual(['computed', expect.stringMatching(/^1\.1\d kΩ to 1\.3\d? kΩ$/)])
    expect(step?.where).toContain('Computed: a good board reads 1.22 kΩ (a typical meter source, 15 °C to 35 °C). Recorded and not judged')
    expect(step?.scale?.window.lowWords).not.toBe('')
    bench.hold('resistance', 1220, 0.4)
    const { mark } = liveView(bench.bench(), seconds(bench.at()))
    expect([mark !== null && mark > (step?.scale?.window.from ?? 1), mark !== null && mark < (step?.scale?.window.to ?? 0)]).toEqual([true, true])
  })

  it('stands beside the value, inside or outside, which is judged by nothing; also where it came later, and after a restart', () => {
    const inside = atR1(divider)
    ask(inside)
    inside.touch('resistance', 1220)
    expect(row(inside)).not.toHaveProperty('expected')
    compute(inside)
    expect(row(inside)).toMatchObject({ verdict: 'not-judged', expected: expect.stringMatching(/^inside; good board 1\.22 kΩ, 1\.1\d kΩ to 1\.3\d? kΩ, computed$/) as string })
    inside.kill()
    expect([row(inside)?.expected?.startsWith('inside'), asked(inside)]).toEqual([true, null])

    const outside = atR1(divider)
    ask(outside)
    compute(outside)
    outside.touch('resistance', 1500)
    expect(row(outside)).toMatchObject({ verdict: 'not-judged', expected: expect.stringMatching(/^outside; good board/) as string })
    expect(view(outside).spoken.find(({ kind }) => kind === 'result')?.sentences).toEqual(['1.5 kilo ohm', 'a good board reads otherwise'])
    expect(runDetailOf(outside.state(), smallBoard(divider)).steps.find(({ id }) => id === 'elsewhere:1')?.limits).toMatch(/^outside; /)
    outside.touch('resistance', 221)
    outside.open('diode')
    expect(outside.state().ended?.verdict).toBe('pass')
  })

  it('where it cannot be computed the reason is said, and no answer to another question is taken', () => {
    const bench = atR1(divider)
    ask(bench, 'J1.1', 'C1.1')
    const request = asked(bench)
    if (request === null) throw new Error('nothing is asked for')
    expect(bench.give({ kind: 'elsewhere-computed', answer: { ...answerElsewhere(request), key: 'another' }, at: seconds(bench.at()) }).events).toEqual([])
    compute(bench)
    expect(view(bench).step).toMatchObject({ limits: '', scale: null, where: expect.stringContaining('What a good board reads here is not computed: No part of this file lies on net "VCC" of C1.1') as string })
  })

  it('with another meter it is computed again for what is still to be read, and what was read before keeps its own', () => {
    const bench = atR1(divider)
    ask(bench)
    compute(bench)
    bench.touch('resistance', 1220)
    const before = row(bench)?.expected
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', other: true, at: seconds(bench.at()) })
    expect([row(bench)?.expected, asked(bench)]).toEqual([before, null])

    const pending = atR1(divider)
    ask(pending)
    compute(pending)
    pending.give({ kind: 'meter-lost', at: seconds(pending.at()) })
    pending.give({ kind: 'meter-back', other: true, at: seconds(pending.at()) })
    expect(asked(pending)?.step).toBe('elsewhere:1')
    compute(pending)
    expect(asked(pending)).toBeNull()
  })
})

describe('the record of a run in which something was measured elsewhere', () => {
  const bench = atR1()
  ask(bench)
  bench.touch('resistance', 1220)
  bench.touch('resistance', 221)
  bench.open('diode')
  const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: bench.state(), board: smallBoard() })))

  it('tells its value with points, readings and uncertainty behind the sequence, without limits and without a verdict', () => {
    const step = record.steps.at(-1)
    expect(step).toMatchObject({ id: 'elsewhere:1', kind: 'measure', part: 'sequence', values: [], verdict: 'not-judged', placement: { red: { point: 'J1.1' }, black: { point: 'C1.2' } } })
    expect(step?.points?.map(({ red, words, uncertainty, readings }) => [red, words, uncertainty !== null, readings.raw.length > 0])).toEqual([['J1.1', '1.2200 kΩ', true, true]])
    expect([record.outcome.verdict, record.notJudged]).toEqual(['pass', []])
    expect(pointsUsed(record.steps).map(({ point, red, black }) => [point, red, black])).toEqual([['J1.1', true, false], ['R1.2', true, true], ['C1.2', false, true]])
  })

  it('prints it in the table of values as not judged, never as a point of a walk, and tables it with its points', () => {
    const pages = JSON.stringify(sectionsOf([sealedRecord(record)], { budgets: true }))
    expect(pages).toContain('Elsewhere J1.1, C1.2')
    expect(pages).toMatch(/"4","Elsewhere [^\]]*"resistance","","\(1\.220 ± 0\.018\) kΩ",\{"text":"not judged"/)
    expect(pages).not.toContain('walks learned')
    const rows = recordRows([sealedRecord(record)])
    const of = (name: string) => recordColumns.findIndex((each) => each === name)
    const row = rows.find((cells) => cells[of('step')] === 'elsewhere:1') ?? []
    expect(['red', 'black', 'value', 'value_verdict', 'step_verdict'].map((name) => row[of(name)])).toEqual(['J1.1', 'C1.2', 1220, null, 'not-judged'])
  })
})
