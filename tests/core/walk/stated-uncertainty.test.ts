/** What a board file adds to the uncertainty of a function is in walks and watches as in touches. What is known only to lie within ± a is a rectangle (JCGM 100:2008, 4.3.7; from memory). */
import { describe, expect, it } from 'vitest'
import { boardType, type BoardType } from '../../../src-core/board/board-type'
import { checkBoard } from '../../../src-core/board/check'
import { lampDimmer } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, knownAfter, walkAll, watchIt } from '../../bench-tools/walking'
import type { Play } from '../run/a-run'

const plusMinus = 100
const plain = lampDimmer()
const stated: BoardType = boardType.parse({ ...plain, addedUncertainty: [{ function: 'resistance', what: 'contact of the coated pads', plusMinus }] })

const found = (board: BoardType): Play => watchIt(walkAll(beginWalk(board), goodPoints))
const [without, withIt] = [found(plain), found(stated)]
const pointU = (play: Play): number[] => (play.state().steps['walk']?.learned ?? []).map(({ uncertainty }) => uncertainty?.U ?? NaN)
const watchU = (play: Play): number[] => {
  const events = play.events().flatMap((event) => (event.kind === 'watched' ? [event] : []))
  return events.flatMap(({ minimum, maximum }) => [minimum?.uncertainty?.U ?? NaN, maximum?.uncertainty?.U ?? NaN])
}
/** 95 % of a rectangle of half width a lie within 0.95·a: so much at least; and no more than both bounds laid end to end. */
const expectAdded = (more: readonly number[], less: readonly number[]): void => {
  expect(more.length).toBe(less.length)
  expect(more.length).toBeGreaterThan(0)
  for (const [at, U] of more.entries()) {
    expect(U).toBeGreaterThanOrEqual(0.95 * plusMinus - 1e-9)
    expect(U).toBeLessThan((less[at] ?? NaN) + plusMinus)
  }
}

describe('an uncertainty that the board file states for a function', () => {
  it('is in every point of a walk that is learned', () => expectAdded(pointU(withIt), pointU(without)))
  it('is in both extremes of a watch', () => expectAdded(watchU(withIt), watchU(without)))
  it('is in every point of a walk that is known', () => {
    const held = (board: BoardType): number[] => {
      const play = walkAll(beginWalk(board, knownAfter(plain, without)), goodPoints)
      return play.events().flatMap((event) => (event.kind === 'captured' && event.step.startsWith('walk/') ? [event.uncertainty?.U ?? NaN] : []))
    }
    expectAdded(held(stated), held(plain))
  })
  it('may be stated of a function in which a board is walked or followed only', () => {
    expect(checkBoard(stated, 'board.json')).not.toHaveProperty('problems')
  })
})
