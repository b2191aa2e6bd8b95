/** Rules that end a run beyond repair: on typed and computed limits alike, and only with the board in the state they ask for. */
import { describe, expect, it } from 'vitest'
import { computedLimits } from '../../../src-core/circuit/computed-limits'
import { checkBoard } from '../../../src-core/board/check'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { liveView } from '../../../src-core/run/live'
import { readingsOf } from '../../../src-core/run/readings-of'
import { benchView } from '../../../src-core/run/show'
import { rebuild } from '../../../src-core/run/state'
import { lineInput } from '../../bench-tools/lifted-board'
import { sourcesMade } from '../../bench-tools/made-records'
import { play, type Play } from './a-run'

const typed: [number, number] = [18_000, 31_000]
const because = 'The input of U1 has taken the surge through its inner layer. Put the board aside.'

const begun = (board = lineInput(typed)): Play => {
  const bench = play(board)
  const asked = limitsRequestOf(bench.bench())
  if (asked !== null) bench.give({ kind: 'limits-computed', answer: answerLimits(asked), at: seconds(bench.at()) })
  bench.confirm(); bench.open('dc-voltage')
  expect(bench.step()).toBe('lift')
  return bench
}
const skip = (bench: Play): void => { bench.wait(0.6); bench.give({ kind: 'skip', reason: 'cannot reach it', at: seconds(bench.at()) }) }
const whereOf = (bench: Play): string => benchView(bench.bench(), null, null).step?.where ?? ''
const twice = (bench: Play, value: number): void => { bench.touch('resistance', value); bench.touch('resistance', value) }

describe('a rule that ends a run', () => {
  it.each([['typed', lineInput(typed)], ['computed', lineInput()]])('under %s limits, with everything lifted that it asks for, ends it beyond repair', (_name, board) => {
    const bench = begun(board)
    bench.confirm(); bench.confirm()
    expect(whereOf(bench)).toContain('Counts towards “beyond repair” only with the anode of D1 lifted, the anode of D2 lifted and JP1 removed: so it is.')
    twice(bench, 900)
    expect(bench.state().ended).toMatchObject({ verdict: 'beyond-repair', because: expect.stringContaining(because) as string })
    expect(bench.events().some(({ kind }) => kind === 'noted')).toBe(false)
  })
  it('does not count where one of them is not: the run goes on as failed, and says what is missing', () => {
    const bench = begun()
    bench.confirm(); skip(bench)
    expect(bench.step()).toBe('pair')
    expect(whereOf(bench)).toContain('only with the anode of D1 lifted, the anode of D2 lifted and JP1 removed. Still to do: take JP1 out.')
    twice(bench, 900)
    expect([bench.state().ended, bench.step()]).toEqual([null, 'back'])
    const note = bench.events().find((event) => event.kind === 'noted')
    expect(note).toMatchObject({ step: 'pair', text: `Input pair of U1 reads what would end the run (beyond repair: ${because.slice(0, -1)}), but it counts only with the anode of D1 lifted, the anode of D2 lifted and JP1 removed. Missing: JP1 removed. To decide it, take JP1 out and measure again.` })
    bench.confirm(); bench.touch('resistance', 120)
    expect(bench.state().ended).toMatchObject({ verdict: 'fail' })
    const record = recordOfRun(sourcesMade({}, { state: rebuild(bench.events()), board: lineInput(typed) }))
    expect(record.notes.map(({ step }) => step)).toEqual(['pair'])
  })
  it('over its limits it says nothing, and a good value passes on', () => {
    const [over, good] = [begun(), begun()]
    over.confirm(); over.confirm(); twice(over, 60_000)
    expect([over.state().ended, over.events().some(({ kind }) => kind === 'noted')]).toEqual([null, false])
    good.confirm(); good.confirm(); good.touch('resistance', 24_000)
    good.confirm(); good.touch('resistance', 120)
    expect(good.state().ended).toMatchObject({ verdict: 'pass' })
  })
  it('taken back, what was lifted is not lifted any more', () => {
    const bench = begun()
    bench.confirm(); bench.confirm()
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    skip(bench)
    expect(whereOf(bench)).toContain('Still to do: take JP1 out.')
  })
  it('no pass while anything is left lifted', () => {
    const bench = begun()
    bench.confirm(); bench.confirm(); bench.touch('resistance', 24_000); skip(bench); bench.touch('resistance', 120)
    expect(bench.state().ended).toMatchObject({ verdict: 'incomplete' })
  })
})

describe('computed limits of a step with something lifted', () => {
  it('are those of the board so, without what is lifted beside it', () => {
    const own = computedLimits(lineInput()).pair
    // Two inputs of 12 kΩ in a row; with the terminator across it would be 119 Ω.
    expect(own !== undefined && 'value' in own ? own.value : 0).toBeCloseTo(24_000, -2)
    const asBuilt = lineInput()
    const steps = asBuilt.sequence.steps.filter(({ kind }) => kind === 'measure')
    const built = computedLimits({ ...asBuilt, sequence: { ...asBuilt.sequence, steps } }).pair
    expect(Number(built !== undefined && 'value' in built ? built.value : 0)).toBeLessThan(125)
  })
  it('judge nothing on a board in another state, and the step says which', () => {
    const bench = begun(lineInput())
    bench.confirm(); skip(bench)
    expect(liveView(bench.bench(), seconds(bench.at())).state).toBe('no limits for this step: skip it')
    expect(whereOf(bench)).toContain('They are computed for the anode of D1 lifted, the anode of D2 lifted and JP1 removed; this is the anode of D1 lifted and the anode of D2 lifted.')
    twice(bench, 900)
    expect(bench.events().some((event) => event.kind === 'captured' && event.step === 'pair')).toBe(false)
  })
  it('a reading made so is none of the board as it was built: the diagnosis is not told it', () => {
    const bench = begun()
    bench.confirm(); bench.confirm(); bench.touch('resistance', 24_000); bench.confirm(); bench.touch('resistance', 120)
    expect(readingsOf(bench.state(), bench.bench().context.plan).readings.map(({ red, black }) => [red, black])).toEqual([['J1.1', 'R1.2']])
  })
})

describe('the check of such a board', () => {
  const problems = (change: (json: ReturnType<typeof lineInput>) => void): string[] => {
    const json = JSON.parse(JSON.stringify(lineInput(typed))) as ReturnType<typeof lineInput>
    change(json)
    const checked = checkBoard(json, 'board.json')
    return 'problems' in checked ? checked.problems.map(({ field, message }) => `${field}: ${message}`) : []
  }
  const pair = (json: ReturnType<typeof lineInput>): Record<string, unknown> => json.sequence.steps[2] as never
  it('finds nothing wrong with one that can be met, typed or computed', () => {
    expect(problems(() => undefined)).toEqual([])
    expect(problems((json) => { delete pair(json).limits })).toEqual([])
  })
  it('names a state that no step before leaves, with the step to add', () =>
    expect(problems((json) => { json.sequence.steps.splice(1, 1) })).toEqual(['sequence.steps[1].then[0].needs: no step before this one leaves JP1 removed, so this rule could never count; add a do step before it with "leaves": [{"ref":"JP1","is":"removed"}]']))
  it('names parts and pins that are not there', () => {
    expect(problems((json) => { Object.assign(json.sequence.steps[0] as object, { leaves: [{ ref: 'D9', is: 'removed' }, { ref: 'D1', pin: 'anode', is: 'lifted' }, { ref: 'D2', pin: 'anode', is: 'lifted' }] }) })).toEqual(['sequence.steps[0].leaves[0].ref: "D9" is not a part of this board; add it to parts or correct the name'])
    expect(problems((json) => { Object.assign(json.sequence.steps[0] as object, { leaves: [{ ref: 'D1', pin: 'gate', is: 'lifted' }, { ref: 'D1', pin: 'anode', is: 'lifted' }, { ref: 'D2', pin: 'anode', is: 'lifted' }] }) })).toEqual(['sequence.steps[0].leaves[0].pin: "gate" is not a pin of D1; its pins are "anode", "cathode"'])
  })
  it('names limits that have no figure to be under', () =>
    expect(problems((json) => { pair(json).limits = { atMost: 30_000 } })).toEqual(['sequence.steps[2].then[0].when: the limits of this step have no lower figure to be under; use "fail", or write a figure']))
})
