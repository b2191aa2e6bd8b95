/** A walk in the rest of the work on a board: what is still to be made after a failed point, two runs held against each other, and what a repaired board teaches. */
import { describe, expect, it } from 'vitest'
import { notCleared, stepsToMakeAgain, type History } from '../../../src-core/repair/cleared'
import { affectedSteps } from '../../../src-core/repair/again'
import { refusalToClose } from '../../../src-core/repair/close'
import type { FollowsRun } from '../../../src-core/repair/entry'
import { refusalOfPower } from '../../../src-core/repair/prove'
import { firstValuesOf } from '../../../src-core/repair/show'
import { compareRuns } from '../../../src-core/run/compare'
import { planOfRun } from '../../../src-core/run/detail'
import { liveView } from '../../../src-core/run/live'
import { makePlan } from '../../../src-core/run/plan'
import { benchView } from '../../../src-core/run/show'
import { seconds } from '../../../src-core/quantity/units'
import { rebuild, type RunState } from '../../../src-core/run/state'
import { digestOf } from '../../../src-core/shop/run-digest'
import { lampDimmer } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, knownAfter, walkAll, watchIt } from '../../bench-tools/walking'

const board = lampDimmer()
const follows: FollowsRun = { run: '22222222-2222-4333-8444-555555555555', purpose: 'whole', state: [], repairs: [], coolUtc: null }
const learning = watchIt(walkAll(beginWalk(board), goodPoints))
const walks = knownAfter(board, learning)
const good = watchIt(walkAll(beginWalk(board, walks), goodPoints))
const failing = watchIt(walkAll(beginWalk(board, walks), [10000, 9000, 9000, 1000, 330]))
const historyOf = (state: RunState): History => { const plan = planOfRun(state, board); if (plan === null) throw new Error('no plan'); return [{ state, plan }] }

describe('after a point that failed', () => {
  it('the walk is still to be made, and is not where every point passed', () => {
    expect([notCleared(board, historyOf(failing.state())), stepsToMakeAgain(board, historyOf(failing.state()))]).toEqual([['Legs to 0 V'], ['walk']])
    expect(notCleared(board, historyOf(good.state()))).toEqual([])
  })
  it('a walk that was learned judged nothing: it is still to be made, and no power is put on before', () => {
    expect([notCleared(board, historyOf(learning.state())), stepsToMakeAgain(board, historyOf(learning.state()))]).toEqual([['Legs to 0 V'], ['walk']])
    expect(refusalToClose(board, historyOf(learning.state()), 'no-fault-found')).toMatch(/^Not passed since: Legs to 0 V\./)
    const proving = rebuild(learning.events().map((event) => (event.kind === 'started' ? { ...event, follows: { ...follows, purpose: 'prove' as const } } : event)))
    const [first] = makePlan(board, []).steps
    const plan = { ...makePlan(board, []), steps: [...(first === undefined ? [] : [first]), { kind: 'do' as const, id: 'power-caution-1', title: 'Before power', words: 'Read.', parts: [], where: '', caution: null, means: '', then: [], purpose: null }] }
    expect(refusalOfPower(plan, proving, 'power-caution-1')).toMatch(/^No power is put on: Legs to 0 V did not pass/)
  })
  it('a repair of a part of its line has it walked again, and leaves the watch of another', () =>
    expect(affectedSteps(board, [{ part: 'R2' }], [])).toEqual(['walk']))
  it('each point and the watch keep what they came to first', () => expect(firstValuesOf(historyOf(failing.state()))).toMatchObject({
    'walk/R1.2': '9.0000 kΩ, fail', flex: '0.4 Ω to 0.4 Ω, no dropout, in 4.0 s, pass',
  }))
})

it('two runs are compared point by point; a watch is told and not reckoned', () => {
  const other = rebuild(failing.events().map((event) => ({ ...event, run: '99999999-2222-4333-8444-555555555555' })))
  const found = compareRuns({ state: good.state(), board }, { state: other, board })
  if ('refused' in found) throw new Error(found.refused)
  expect(found.comparison.steps.filter(({ id }) => !id.startsWith('prepare/')).map(({ id, agreement, limits }) => [id, agreement, limits])).toEqual([
    ['walk/F1.2', 'agree', '8.50 kΩ to 11.5 kΩ'], ['walk/R1.2', 'differ', '3.99 kΩ to 5.41 kΩ'], ['walk/R2.2', 'agree', '850 Ω to 1.15 kΩ'], ['walk/J2.1', 'agree', '280 Ω to 380 Ω'], ['flex', 'looked', 'at most 2 Ω'],
  ])
})

describe('a board measured again before any good one was walked', () => {
  const again = beginWalk(board, undefined, follows)
  again.confirm()
  again.wait(400)
  again.confirm()
  it('is not learned from: the walk can only be skipped, and says why', () => {
    expect([again.step(), benchView(again.bench(), null, null).keys.map(({ action }) => action)]).toEqual(['walk', expect.arrayContaining(['skip'])])
    expect(liveView(again.bench(), seconds(again.at())).state).toBe('no good board is known: skip it')
    expect(benchView(again.bench(), null, null).step?.where).toMatch(/no good board has walked it yet/)
    expect(benchView(again.bench(), null, null).step?.where).not.toMatch(/Learning/)
    again.touch('resistance', 10000)
    expect(again.confirm().refused).toMatch(/no good board has walked it yet/)
    expect(again.give({ kind: 'press', press: 'finish', at: seconds(again.at()) }).refused).toMatch(/no good board has walked it yet/)
    expect(again.events().some(({ kind }) => kind === 'learned')).toBe(false)
    again.give({ kind: 'skip', reason: 'no good board yet', at: seconds(again.at()) })
    watchIt(again)
    expect([again.state().ended?.verdict, notCleared(board, historyOf(again.state()))]).toEqual(['incomplete', ['Legs to 0 V']])
  })
  it('reads back so from its events', () => {
    const [{ plan } = { plan: null }] = historyOf(again.state())
    expect(plan?.steps.find(({ id }) => id === 'walk')).toMatchObject({ limits: null, otherState: { remedy: [] } })
  })
  it('is judged point by point once a good one was', () => expect(beginWalk(board, walks, follows).bench().context.plan.steps.filter(({ id }) => id.startsWith('walk')).map(({ id }) => id)).toHaveLength(4))
})

it('a run behind another of the unit teaches no walk, even one kept from before that learned', () => {
  const [started, ...rest] = learning.events()
  if (started?.kind !== 'started') throw new Error('no beginning')
  const digest = digestOf(rebuild([{ ...started, follows }, ...rest]), board)
  expect([digest?.values, digest?.counts]).toEqual([[], []])
})
