/** Cautions before a walk or a watch on a live board (common practice, no source). */
import { describe, expect, it } from 'vitest'
import { boardType, type BoardType } from '../../../src-core/board/board-type'
import { seconds } from '../../../src-core/quantity/units'
import { absorb, type Bench } from '../../../src-core/run/bench'
import { hazardousCaution } from '../../../src-core/run/preparation'
import { benchView } from '../../../src-core/run/show'
import { lampDimmer } from '../../bench-tools/walked-board'
import { beginWalk } from '../../bench-tools/walking'
import { checkedMeter, play } from '../run/a-run'

const own = 'Clip both leads on before power.'
const live = { function: 'dc-voltage', powered: true, caution: own }
const boardOf = (hazard: string): BoardType => {
  const plain = lampDimmer({ walk: live, flex: { ...live, limits: { between: [11, 13] } } })
  const look = { id: 'look', kind: 'look', title: 'Look', words: 'Look at it.', parts: [], then: [] }
  return boardType.parse({ ...plain, hazard, mainsReferenced: hazard === 'hazardous', sequence: { ...plain.sequence, steps: [look, ...plain.sequence.steps] } })
}
/** The bench where the look led to this step: live voltage asks for no proof. */
const at = (board: BoardType, step: string): Bench => {
  const made = play(board, { ...checkedMeter, isolated: 'yes' })
  const [started] = made.events()
  if (started === undefined) throw new Error('The run has not begun.')
  const { v, run, session, utc } = started
  return absorb(made.bench(), [{ v, run, session, utc, at: seconds(made.at()), seq: made.events().length + 1, kind: 'decided', step: 'look', verdict: 'pass', from: [], next: step }], seconds(made.at()))
}
const cautionAt = (board: BoardType, step: string): string | null | undefined => {
  const view = benchView(at(board, step), null, null)
  expect(view.step?.id).toBe(step)
  return view.step?.caution
}

describe('a live walk or watch', () => {
  it.each(['walk', 'flex'])('of a board that injures has the usual caution before its own: %s', (step) => expect(cautionAt(boardOf('hazardous'), step)).toBe(`${hazardousCaution} ${own}`))
  it.each(['walk', 'flex'])('of a harmless board has its own only: %s', (step) => expect(cautionAt(boardOf('extra-low'), step)).toBe(own))
  it('on a board proven dead has its own only', () => expect(benchView(beginWalk(lampDimmer({ walk: { caution: own } })).bench(), null, null).step?.caution).toBe(own))
})
