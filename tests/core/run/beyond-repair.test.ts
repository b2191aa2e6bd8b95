/** Rules that end a run beyond repair: on typed and computed limits alike, and only with the board in the state they ask for. */
import { describe, expect, it } from 'vitest'
import { computedLimits } from '../../../src-core/circuit/computed-limits'
import { checkBoard } from '../../../src-core/board/check'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { boardStateOf } from '../../../src-core/run/board-state'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { liveView } from '../../../src-core/run/live'
import { readingsOf } from '../../../src-core/run/readings-of'
import { benchView } from '../../../src-core/run/show'
import { rebuild, stepState } from '../../../src-core/run/state'
import { lifted, lineInput } from '../../bench-tools/lifted-board'
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
const press = (bench: Play, press: 'back'): void => { bench.give({ kind: 'press', press, at: seconds(bench.at()) }) }
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
  it.each([['typed', lineInput(typed)], ['computed', lineInput()]])('under %s limits, with one of them not lifted, is not judged: said is why, and the step that does it', (_name, board) => {
    const bench = begun(board)
    bench.confirm(); skip(bench)
    expect(bench.step()).toBe('pair')
    expect(liveView(bench.bench(), seconds(bench.at())).state).toBe('the board is not so yet: read on')
    expect(whereOf(bench)).toContain('Not judged so: its limits are for the anode of D1 lifted, the anode of D2 lifted and JP1 removed; this is the anode of D1 lifted and the anode of D2 lifted. Do “Open the terminator” (Pull JP1), then press Space; or skip this one.')
    expect(whereOf(bench)).toContain('Still to do: “Open the terminator” (take JP1 out).')
    twice(bench, 900)
    expect(bench.events().some((event) => event.kind === 'captured' && event.step === 'pair')).toBe(false)
    bench.confirm()
    expect(bench.step()).toBe('pair')
    twice(bench, 900)
    expect(bench.state().ended).toMatchObject({ verdict: 'beyond-repair' })
  })
  it('a part lifted that the limits were not typed for: not judged, and the step that puts it back is named', () => {
    const bench = begun()
    bench.confirm(); bench.confirm(); bench.touch('resistance', 24_000); skip(bench)
    expect(bench.step()).toBe('r1')
    expect(whereOf(bench)).toContain('Not judged so: its limits are for the board as it was built; this is the anode of D1 lifted, the anode of D2 lifted and JP1 removed. Do “Clamps and link back”')
    bench.touch('resistance', 120)
    expect(bench.events().some((event) => event.kind === 'captured' && event.step === 'r1')).toBe(false)
    bench.confirm(); bench.touch('resistance', 120)
    expect(bench.state().ended).toMatchObject({ verdict: 'pass' })
  })
  it('of something looked at does not count where a part is not lifted; its note names the step to do, and is taken back with the decision', () => {
    const board = lineInput(typed)
    const looking = { ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => (step.id !== 'pair' ? step
      : { kind: 'look' as const, id: 'pair', title: 'Track under JP1', words: 'Is the track whole?', parts: [], then: [{ when: 'fail' as const, stop: 'beyond-repair' as const, because, needs: lifted }] })) } }
    const bench = begun(looking)
    bench.confirm(); skip(bench); bench.wait(0.6)
    bench.give({ kind: 'press', press: 'found', at: seconds(bench.at()) })
    expect([bench.state().ended, bench.step()]).toEqual([null, 'back'])
    const text = `Track under JP1 says what would end the run (beyond repair: ${because.slice(0, -1)}), but it counts only with the anode of D1 lifted, the anode of D2 lifted and JP1 removed. Missing: JP1 removed. To decide it, do “Open the terminator” (take JP1 out) and look again.`
    expect(stepState(bench.state(), 'pair').notes).toEqual([text])
    press(bench, 'back')
    expect(stepState(bench.state(), 'pair').notes).toEqual([])
    bench.wait(0.6); bench.confirm(); bench.confirm(); bench.touch('resistance', 120)
    expect(bench.state().ended).toMatchObject({ verdict: 'incomplete' })
    expect(recordOfRun(sourcesMade({}, { state: rebuild(bench.events()), board: looking })).notes).toEqual([])
  })
  it('over its limits it says nothing, and a good value passes on', () => {
    const [over, good] = [begun(), begun()]
    over.confirm(); over.confirm(); twice(over, 60_000)
    expect([over.state().ended, over.events().some(({ kind }) => kind === 'noted')]).toEqual([null, false])
    good.confirm(); good.confirm(); good.touch('resistance', 24_000)
    good.confirm(); good.touch('resistance', 120)
    expect(good.state().ended).toMatchObject({ verdict: 'pass' })
  })
  it('gone back over, what was lifted stays lifted until it is said otherwise: the step says so, and skipping it says it is not', () => {
    const bench = begun()
    bench.confirm(); bench.confirm()
    press(bench, 'back')
    expect([bench.step(), benchView(bench.bench(), null, null).step?.caution]).toEqual(['open', 'This was said to be done, and going back changed nothing on the board: it counts as JP1 removed. Press Space if it is so; skip this step if it is not.'])
    expect(boardStateOf(bench.bench().context.plan, bench.state())).toHaveLength(3)
    expect(boardStateOf(bench.bench().context.plan, rebuild(bench.events()))).toHaveLength(3)
    skip(bench)
    expect(boardStateOf(bench.bench().context.plan, bench.state())).toHaveLength(2)
    press(bench, 'back'); bench.confirm()
    expect([boardStateOf(bench.bench().context.plan, bench.state()).length, benchView(bench.bench(), null, null).step?.caution]).toEqual([3, null])
  })
  it('no pass while anything is left lifted', () => {
    const bench = begun()
    bench.confirm(); bench.confirm(); bench.touch('resistance', 24_000); skip(bench); skip(bench)
    expect(bench.state().ended).toMatchObject({ verdict: 'incomplete', because: expect.stringContaining('The board is not whole: the anode of D1 lifted, the anode of D2 lifted and JP1 removed.') as string })
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
