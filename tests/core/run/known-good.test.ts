/** A step that has no limits of its own and none that can be computed: judged by what the shop's good boards read there, and said so. */
import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { testRecordContent } from '../../../src-core/record/schema'
import { runDetailOf } from '../../../src-core/run/detail'
import { eventInWords } from '../../../src-core/run/event-words'
import type { GoodValue } from '../../../src-core/run/good-values'
import { betweenBoards, goodKnown, needsGoodBoards } from '../../../src-core/run/known-good'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { benchView } from '../../../src-core/run/show'
import { rebuild } from '../../../src-core/run/state'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { sourcesMade } from '../../bench-tools/made-records'
import { checkedMeter, play, smallBoard, type Play } from './a-run'

/** R1 and the supply, both without limits: ohms are computed, volts never are. */
const board = (() => {
  const { sequence, ...rest } = smallBoard()
  const [look, r1] = sequence.steps
  if (look === undefined || r1?.kind !== 'measure') throw new Error('the small board is another')
  const { limits: _typed, ...bare } = r1
  return { ...rest, sequence: { ...sequence, steps: [look, bare, { ...bare, id: 'rail', title: 'Rail', function: 'dc-voltage' as const, red: 'C1.1', black: 'C1.2', parts: [], then: [] }] } }
})()
const volts = (value: GoodValue['value'], U: number | null = 0.001): GoodValue => ({ function: 'dc-voltage', value, U })
const known = (rail: readonly GoodValue[], r1: readonly GoodValue[] = []) => goodKnown(board, (id) => (id === 'rail' ? rail : r1))

const atRail = (rail: readonly GoodValue[], r1: readonly GoodValue[] = []): Play => {
  const good = known(rail, r1)
  const bench = play(board, checkedMeter, { kit: usualBenchKit, ...(good === undefined ? {} : { good }) })
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  const asked = limitsRequestOf(bench.bench())
  if (asked === null) throw new Error('no limits are asked for')
  bench.give({ kind: 'limits-computed', answer: answerLimits(asked), at: seconds(bench.at()) })
  bench.touch('resistance', 221.4)
  expect(bench.step()).toBe('rail')
  return bench
}
const seven = [3.29, 3.3, 3.31, 3.3, 3.28, 3.32, 3.3].map((value) => volts(value))

describe('limits from the shop’s good boards', () => {
  it('are from six boards on a tolerance interval, and said so on the step', () => {
    const { step } = benchView(atRail(seven).bench(), null, null)
    expect(step?.limitsAre).toBe('good boards')
    expect(step?.where).toContain('Limits from good boards of this shop: 99 % of good boards with 95 % confidence, from 7 of them:')
  })
  it('are with few boards the tolerance, said with whose it is', () => {
    expect(known([volts(3.3)])?.rail).toMatchObject({ boards: 1, limits: { between: [2.8, 3.8] }, says: '15 % (usual, since the file gives no tolerance that holds here) either way of 3.3 V on one good board.' })
    expect(known([], [{ function: 'resistance', value: 220, U: 1 }])?.r1).toMatchObject({ limits: { between: [196, 244] }, says: '10.5 % (both boards within the tolerance of R1) either way of 220 Ω on one good board.' })
  })
  it('are never narrower than the uncertainty of the meter', () => {
    const limits = known([volts(0.01, 0.05)])?.rail?.limits
    if (typeof limits !== 'object' || !('between' in limits)) throw new Error('not two limits')
    expect([limits.between[0] <= -0.04, limits.between[1] >= 0.06]).toEqual([true, true])
  })
  it('judge the value, and the run carries them: another shop reads it alike', () => {
    const bench = atRail(seven)
    bench.touch('dc-voltage', 2.5); bench.touch('dc-voltage', 2.5)
    expect(bench.state().ended).toMatchObject({ verdict: 'fail', because: expect.stringContaining('Limits from good boards of this shop: Rail.') as string })
    expect(rebuild(JSON.parse(JSON.stringify(bench.events())) as ReturnType<Play['events']>)).toEqual(bench.state())
    const rail = runDetailOf(bench.state(), board).steps.find(({ id }) => id === 'rail')
    expect(rail).toMatchObject({ verdict: 'fail', limits: expect.stringMatching(/, good boards$/) as string })
    const told = bench.events().find(({ kind }) => kind === 'limits-computed')
    expect(told === undefined ? '' : eventInWords(told, (id) => id)).toContain('Good boards speak for rail: 99 % of good boards')
  })
  it('stand in the record with where they come from', () => {
    const bench = atRail(seven)
    bench.touch('dc-voltage', 3.3)
    const record = recordOfRun(sourcesMade({}, { state: bench.state(), board }))
    const [value] = record.steps.find(({ id }) => id === 'rail')?.values ?? []
    expect(testRecordContent.safeParse(record).success).toBe(true)
    expect(value?.limits.from).toMatch(/^good boards of this shop, none being computed \(What a good board reads in dc-voltage is not computed\): 99 % of good boards with 95 % confidence, from 7 of them/)
    expect(value?.limits.computed).toBeUndefined()
  })
  it('give way to computed ones, and to nothing where no good board spoke', () => {
    const bench = atRail(seven, [{ function: 'resistance', value: 900, U: 1 }])
    expect(bench.state().limits?.steps.r1).toHaveProperty('value')
    const silent = atRail([])
    expect(benchView(silent.bench(), null, null).step).toMatchObject({ limits: 'none on this meter', scale: null })
  })
  it('a good board open where all were is confirmed by one press', () => {
    const bench = play(board, checkedMeter, { kit: usualBenchKit, good: { r1: { limits: 'open', value: 'overload', boards: 2, says: 'Open on 2 good boards.' } } })
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    const asked = limitsRequestOf(bench.bench())
    if (asked === null) throw new Error('no limits are asked for')
    bench.give({ kind: 'limits-computed', answer: { ...answerLimits(asked), steps: { r1: { refused: 'No.' }, rail: { refused: 'No.' } } }, at: seconds(bench.at()) })
    bench.open('resistance')
    expect(bench.events().findLast(({ kind }) => kind === 'captured')).toMatchObject({ step: 'r1', value: 'overload', limits: 'open', verdict: 'pass', evidence: 'confirmed' })
  })
})

describe('which boards need good boards', () => {
  it('those with a step that no tolerance speaks for', () => {
    expect(needsGoodBoards(board)).toBe(true)
    expect(needsGoodBoards(smallBoard())).toBe(false)
  })
  it('two boards lie as far apart as the tolerance of resistors read in ohms lets them, 1.05/0.95 at 5 %; not that of one read as a junction', () => {
    expect(betweenBoards(board, { parts: ['R1'], function: 'resistance' }).share).toBeCloseTo(1.05 / 0.95 - 1, 12)
    expect(betweenBoards(board, { parts: ['R1'], function: 'diode' }).share).toBe(0.15)
    expect(betweenBoards(board, { parts: ['R1', 'D1'], function: 'resistance' }).share).toBe(0.15)
  })
})
