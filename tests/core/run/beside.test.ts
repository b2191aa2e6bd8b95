/** A good board beside the faulty one: both proven de-energised, each step made on the good one first, and the other held to what that read. */
import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import type { MeasuredValue } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { differenceInWords, limitsBeside, refusalToCompare } from '../../../src-core/run/beside'
import { runDetailOf } from '../../../src-core/run/detail'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { makePlan } from '../../../src-core/run/plan'
import { benchView } from '../../../src-core/run/show'
import { rebuild } from '../../../src-core/run/state'
import { tableColumns, tableRows } from '../../../src-core/run/value-table'
import { digestOf } from '../../../src-core/shop/run-digest'
import { checkedMeter, play, smallBoard, type Play } from './a-run'

/** Without limits, or with those of the small board. */
const bare = (): BoardType => {
  const { sequence, ...rest } = smallBoard()
  return { ...rest, sequence: { ...sequence, steps: sequence.steps.map((step) => { if (step.kind !== 'measure') return step; const { limits: _typed, ...own } = step; return own }) } }
}
const view = (bench: Play) => benchView(bench.bench(), null, null)
const on = (bench: Play): [string | null, string | undefined] => [bench.step(), view(bench).step?.onBoard?.which]
const press = (bench: Play, key: 'confirm' | 'back') => bench.give({ kind: 'press', press: key, at: seconds(bench.at()) })

const begun = (board = smallBoard()): Play => play(board, checkedMeter, { kit: usualBenchKit, beside: true })
/** Both boards proven, the sequence looked at. */
const atR1 = (board = smallBoard()): Play => {
  const bench = begun(board)
  bench.confirm(); bench.open('dc-voltage'); bench.open('dc-voltage'); bench.confirm()
  const asked = limitsRequestOf(bench.bench())
  if (asked !== null) bench.give({ kind: 'limits-computed', answer: answerLimits(asked), at: seconds(bench.at()) })
  expect(on(bench)).toEqual(['r1', 'good'])
  return bench
}
const captured = (bench: Play) => bench.events().flatMap((event) => (event.kind === 'captured' && !event.step.startsWith('prepare/') ? [event] : []))

describe('before the first part', () => {
  it('both boards are unplugged, and both are proven de-energised, each by its own press', () => {
    const bench = begun()
    expect(on(bench)).toEqual(['prepare/disconnect', 'both'])
    expect(view(bench).step?.prompt.map(({ text }) => text).join(' ')).toMatch(/^On both boards: Unplug/)
    bench.confirm()
    expect(on(bench)).toEqual(['prepare/store/C1', 'under-test'])
    bench.open('dc-voltage')
    expect(on(bench)).toEqual(['prepare/good-board/store/C1', 'good'])
    expect(view(bench).step?.title).toBe('Good board: voltage left in C1')
    bench.open('dc-voltage')
    expect(bench.step()).toBe('look')
  })
  it('a voltage left in the good board has it discharged and waited for, and only it', () => {
    const bench = begun()
    bench.confirm(); bench.open('dc-voltage')
    bench.touch('dc-voltage', 2.2)
    expect(on(bench)).toEqual(['prepare/good-board/discharge/C1', 'good'])
    bench.confirm()
    expect(on(bench)).toEqual(['prepare/good-board/again/C1', 'good'])
    bench.wait(31)
    bench.open('dc-voltage')
    expect(bench.step()).toBe('look')
  })
  it('the proof of both lapses together', () => {
    const bench = atR1()
    bench.give({ kind: 'press', press: 'pause', at: seconds(bench.at()) }); bench.give({ kind: 'press', press: 'resume', at: seconds(bench.at()) })
    expect(bench.step()).toBe('prepare/disconnect')
    bench.confirm(); bench.open('dc-voltage')
    expect(on(bench)).toEqual(['prepare/good-board/store/C1', 'good'])
  })
})

describe('a step without limits', () => {
  it('is measured on the good board, then on the other at the same points, and held to it', () => {
    const bench = atR1(bare())
    expect(view(bench).step).toMatchObject({ limits: '', scale: null, onBoard: { words: 'on the GOOD board' } })
    bench.touch('resistance', 219.8)
    expect(on(bench)).toEqual(['r1', 'under-test'])
    expect(bench.events().at(-1)).toMatchObject({ kind: 'compared', value: 219.8, outcome: 'stands', limits: { between: [expect.any(Number), expect.any(Number)] } })
    expect(view(bench).step).toMatchObject({ limitsAre: 'good board beside', where: expect.stringContaining('Good board: 219.8 Ω. 10.5 % (both boards within the tolerance of R1) either way') as string })
    bench.touch('resistance', 330); bench.touch('resistance', 330)
    expect(captured(bench).map(({ verdict }) => verdict)).toEqual(['fail', 'fail'])
    const [touch] = captured(bench)
    expect(touch?.limits).toEqual({ between: [196, 243] })
    expect(view(bench).steps.find(({ id }) => id === 'r1')).toMatchObject({ limits: '196 Ω to 243 Ω, good board beside', beside: 'good board 219.8 Ω, +50 %' })
  })
  it('asks for a lift between the boards: tips that stay are not taken for the other one', () => {
    const bench = atR1(bare())
    bench.lift('resistance'); bench.hold('resistance', 219.8, 4)
    expect(bench.events().filter(({ kind }) => kind === 'compared')).toHaveLength(1)
    expect(captured(bench)).toEqual([])
  })
  it('open on the good board takes one press, and so does open on the other', () => {
    const bench = atR1(bare())
    bench.touch('resistance', 219.8); bench.touch('resistance', 221)
    expect(on(bench)).toEqual(['d1', 'good'])
    bench.open('diode')
    expect(on(bench)).toEqual(['d1', 'under-test'])
    // No stated tolerance holds for a junction: the computed limits stay.
    expect(bench.events().at(-1)).toMatchObject({ kind: 'compared', value: 'overload', evidence: 'confirmed', limits: null })
    expect(captured(bench)).toHaveLength(1)
    bench.open('diode')
    expect(bench.state().ended).toMatchObject({ verdict: 'pass', because: expect.stringContaining('Held to a good board measured beside it: R1.') as string })
  })
  it('an overload alone is recorded on neither', () => {
    const bench = atR1(bare())
    bench.hold('resistance', 'overload', 20)
    expect(bench.events().some(({ kind }) => kind === 'compared')).toBe(false)
  })
})

describe('a step with limits in the file', () => {
  it('keeps them, and says how far off the good board it is', () => {
    const bench = atR1()
    bench.touch('resistance', 215); bench.touch('resistance', 223)
    const [touch] = captured(bench)
    expect(touch).toMatchObject({ limits: { nominal: 220, tolerance: 0.05 }, verdict: 'pass' })
    expect(view(bench).steps.find(({ id }) => id === 'r1')?.beside).toBe('good board 215.0 Ω, +3.7 %')
  })
  it('a good board outside them asks for a fresh touch, and is doubted', () => {
    const bench = atR1()
    bench.touch('resistance', 330)
    expect(on(bench)).toEqual(['r1', 'good'])
    bench.touch('resistance', 330)
    expect(on(bench)).toEqual(['r1', 'under-test'])
    expect(view(bench).step?.where).toContain('The good board itself lies outside the limits of this step')
  })
  it('a good board whose touches do not agree is doubtful: said so, and no difference from it is reckoned', () => {
    const bench = atR1()
    bench.touch('resistance', 330); bench.touch('resistance', 400); bench.touch('resistance', 500)
    expect(bench.events().at(-1)).toMatchObject({ kind: 'compared', outcome: 'doubtful', limits: null })
    expect(view(bench).step?.where).toContain('Its touches did not agree, so nothing is held to it. Judged by the limits of the step.')
    bench.touch('resistance', 221)
    expect(captured(bench)).toMatchObject([{ verdict: 'pass', limits: { nominal: 220, tolerance: 0.05 } }])
    expect(view(bench).steps.find(({ id }) => id === 'r1')?.beside).toBe('good board 500.0 Ω, doubtful')
    const table = tableRows({ state: bench.state(), board: smallBoard() })
    const [title, standing, off] = ['title', 'standing', 'difference_from_good_board'].map((column) => tableColumns.indexOf(column as 'title'))
    expect(table.filter((row) => row[title ?? 0] === 'R1').map((row) => [row[standing ?? 0], row[off ?? 0]])).toEqual([['yes', null]])
  })
  it('a good board that cannot be reached is left out with a reason; the step is judged by its limits', () => {
    const bench = atR1()
    bench.give({ kind: 'skip', reason: 'cannot reach it', step: 'r1', at: seconds(bench.at()) })
    expect(on(bench)).toEqual(['r1', 'under-test'])
    bench.touch('resistance', 221)
    expect(captured(bench)).toMatchObject([{ verdict: 'pass', limits: { nominal: 220, tolerance: 0.05 } }])
  })
})

describe('what the good board read', () => {
  const measured = (): Play => { const bench = atR1(bare()); bench.touch('resistance', 219.8); bench.touch('resistance', 330); bench.touch('resistance', 330); bench.open('diode'); bench.open('diode'); return bench }
  it('is no value of the board under test: not in its steps, its digest or its standing rows', () => {
    const bench = measured()
    const state = bench.state()
    expect(state.steps.r1?.captured).toHaveLength(2)
    expect(digestOf(state, bare())?.values.filter(({ step }) => step === 'r1')).toMatchObject([{ value: 330 }])
    const [title, standing, value] = ['title', 'standing', 'value'].map((column) => tableColumns.indexOf(column as 'title'))
    const rows = tableRows({ state, board: bare() }).filter((row) => String(row[title ?? 0]).startsWith('R1'))
    expect(rows.filter((row) => row[standing ?? 0] === 'yes').map((row) => row[value ?? 0])).toEqual([330])
    expect(rows.filter((row) => String(row[title ?? 0]).endsWith('on the good board beside it')).map((row) => [row[value ?? 0], row[standing ?? 0]])).toEqual([[219.8, 'no']])
  })
  it('stands in the run for good: read again from the store it is the same', () => {
    const bench = measured()
    expect(rebuild(JSON.parse(JSON.stringify(bench.events())) as ReturnType<Play['events']>)).toEqual(bench.state())
    const r1 = runDetailOf(bench.state(), bare()).steps.find(({ id }) => id === 'r1')
    expect(r1).toMatchObject({ limits: '196 Ω to 243 Ω, good board beside', found: [{ words: expect.stringMatching(/^on the good board: 219.8 Ω ± .*, steady$/) as string }] })
  })
  it('is kept when the other board is measured again, and taken back by one step more', () => {
    const bench = atR1()
    bench.touch('resistance', 215); bench.touch('resistance', 300)
    press(bench, 'back')
    expect(on(bench)).toEqual(['r1', 'under-test'])
    press(bench, 'back')
    expect(on(bench)).toEqual(['r1', 'good'])
    bench.touch('resistance', 216); bench.touch('resistance', 221)
    // What was taken back is kept, as one that does not stand.
    expect(runDetailOf(bench.state(), smallBoard()).steps.find(({ id }) => id === 'r1')?.found?.map(({ words }) => words)).toEqual([
      expect.stringMatching(/^on the good board: 215\.0 Ω .*, steady \(earlier, does not stand\)$/), expect.stringMatching(/^on the good board: 216\.0 Ω .*, steady$/)])
    const [title, value] = ['title', 'value'].map((column) => tableColumns.indexOf(column as 'title'))
    expect(tableRows({ state: bench.state(), board: smallBoard() }).filter((row) => row[title ?? 0] === 'R1, on the good board beside it').map((row) => row[value ?? 0])).toEqual([215, 216])
    expect(rebuild(JSON.parse(JSON.stringify(bench.events())) as ReturnType<Play['events']>)).toEqual(bench.state())
  })
  it('is named as what the other is held to where a decision was taken back and made again', () => {
    const bench = atR1(bare())
    bench.touch('resistance', 219.8); bench.touch('resistance', 221)
    expect(on(bench)).toEqual(['d1', 'good'])
    press(bench, 'back')
    expect(on(bench)).toEqual(['r1', 'under-test'])
    bench.touch('resistance', 222)
    expect(captured(bench).map(({ limits }) => limits)).toEqual([{ between: [196, 243] }, { between: [196, 243] }])
    const words = '196 Ω to 243 Ω, good board beside'
    expect(view(bench).steps.find(({ id }) => id === 'r1')?.limits).toBe(words)
    expect(runDetailOf(bench.state(), bare()).steps.find(({ id }) => id === 'r1')?.values.map(({ limits }) => limits)).toEqual([words, words])
  })
  it('is measured again with another meter that comes between the two boards, and only that value is held to', () => {
    const bench = atR1(bare())
    bench.touch('resistance', 219.8)
    expect(on(bench)).toEqual(['r1', 'under-test'])
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', other: true, at: seconds(bench.at()) })
    bench.confirm(); bench.open('dc-voltage'); bench.open('dc-voltage')
    const asked = limitsRequestOf(bench.bench())
    if (asked === null) throw new Error('no limits are asked for')
    bench.give({ kind: 'limits-computed', answer: answerLimits(asked), at: seconds(bench.at()) })
    expect(on(bench)).toEqual(['r1', 'good'])
    bench.touch('resistance', 210)
    bench.touch('resistance', 221)
    expect(captured(bench)).toMatchObject([{ value: 221, limits: { between: [187, 233] } }])
    expect(view(bench).steps.find(({ id }) => id === 'r1')?.beside).toBe('good board 210.0 Ω, +5.2 %')
  })
  it('survives a kill between the two boards', () => {
    const bench = atR1()
    bench.touch('resistance', 215)
    bench.kill()
    bench.confirm(); bench.open('dc-voltage'); bench.open('dc-voltage')
    expect(on(bench)).toEqual(['r1', 'under-test'])
  })
})

describe('limits beside a good board', () => {
  const r1 = { parts: ['R1'], function: 'resistance' as const }
  it('are never narrower than the uncertainty of both values together', () => {
    const limits = limitsBeside(smallBoard(), r1, { value: 10, inAir: false, U: 3 })?.limits
    if (typeof limits !== 'object' || !('between' in limits)) throw new Error('not two limits')
    // √(3² + 3²) = 4.243
    expect([limits.between[0] <= 5.76, limits.between[1] >= 14.24]).toEqual([true, true])
  })
  it('are open where the good board is, and nothing where an overload means no such thing', () => {
    expect(limitsBeside(smallBoard(), r1, { value: 'overload', inAir: true, U: null })?.limits).toBe('open')
    expect(limitsBeside(smallBoard(), { parts: [], function: 'diode' }, { value: 3.0, inAir: true, U: null })?.limits).toBe('open')
    expect(limitsBeside(smallBoard(), { parts: [], function: 'capacitance' }, { value: 'overload', inAir: false, U: null })).toBeNull()
  })
  it('the difference is said in per cent, by a figure beside zero', () => {
    const off = (good: MeasuredValue, value: MeasuredValue, resolution: number | null): string => differenceInWords({ value: good, resolution }, { value, resolution }, 'Ω')
    expect([off(220, 224, null), off(220, 215, 0.1), off(0, 2, 0.1), off('overload', 2, 0.1)]).toEqual(['+1.8 %', '−2.3 %', '+2 Ω', ''])
    // Less than a count is lead resistance taken off, one count may be rounding; +7.1 % of 0.2 Ω on a display of 0.1 Ω is neither.
    expect([off(0.196, 0.21, 0.1), off(0.2, 0.3, 0.1), off(0.2, 0.2, 0.1), off(0, 0.1, 0.1)]).toEqual(['no difference seen', 'no difference seen', 'no difference seen', 'no difference seen'])
    // No digit finer than a count: 2.4 Ω against 2.1 Ω is 14.3 %, known to 5 %.
    expect([off(2.1, 2.4, 0.1), off(0.5638, 0.5589, 0.001), off(0.2, 0.4, 0.1)]).toEqual(['+14 %', '−0.9 %', '+100 %'])
  })
  it('a board with nothing to compare is refused', () => {
    expect(refusalToCompare(makePlan(smallBoard(), []))).toBeNull()
    expect(refusalToCompare(makePlan({ ...smallBoard(), sequence: { ...smallBoard().sequence, steps: [] } }, []))).toContain('would tell nothing')
  })
})
