/** A walk in the rest of the work on a board: what is still to be made after a failed point, two runs held against each other, and what a repaired board teaches. */
import { describe, expect, it } from 'vitest'
import { notCleared, stepsToMakeAgain, type History } from '../../../src-core/repair/cleared'
import { affectedSteps } from '../../../src-core/repair/again'
import { firstValuesOf } from '../../../src-core/repair/show'
import { compareRuns } from '../../../src-core/run/compare'
import { planOfRun } from '../../../src-core/run/detail'
import { rebuild, type RunState } from '../../../src-core/run/state'
import { digestOf } from '../../../src-core/shop/run-digest'
import { lampDimmer } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, knownAfter, walkAll, watchIt } from '../../bench-tools/walking'

const board = lampDimmer()
const learning = watchIt(walkAll(beginWalk(board), goodPoints))
const walks = knownAfter(board, learning)
const good = watchIt(walkAll(beginWalk(board, walks), goodPoints))
const failing = watchIt(walkAll(beginWalk(board, walks), [10000, 9000, 9000, 1000, 330]))
const historyOf = (state: RunState): History => { const plan = planOfRun(state, board); if (plan === null) throw new Error('no plan'); return [{ state, plan }] }

describe('after a point that failed', () => {
  it('the walk is still to be made, and is not where every point passed', () => {
    expect([notCleared(board, historyOf(failing.state())), stepsToMakeAgain(board, historyOf(failing.state()))]).toEqual([['Legs to 0 V'], ['walk']])
    expect(notCleared(board, historyOf(good.state()))).toEqual([])
    expect(notCleared(board, historyOf(learning.state()))).toEqual([])
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

it('a repaired board that passes teaches its walk, and counts nowhere else', () => {
  const [started, ...rest] = learning.events()
  if (started?.kind !== 'started') throw new Error('no beginning')
  const followed = rebuild([{ ...started, follows: { run: '22222222-2222-4333-8444-555555555555', purpose: 'whole', state: [], repairs: [], coolUtc: null } }, ...rest])
  const digest = digestOf(followed, board)
  expect([digest?.values.map(({ step, verdict }) => [step, verdict]), digest?.counts]).toEqual([['walk/F1.2', 'walk/R1.2', 'walk/R2.2', 'walk/J2.1'].map((step) => [step, 'learned']), []])
})
