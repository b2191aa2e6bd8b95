/** Runs of the invented board with a walk and a watch, played in simulated time up to where a test begins. */
import { usualBenchKit } from '../../src-core/meter/instrument'
import type { BoardType } from '../../src-core/board/board-type'
import { planOfBoard } from '../../src-core/repair/again'
import type { FollowsRun } from '../../src-core/repair/entry'
import { preparationSteps } from '../../src-core/run/preparation'
import type { GoodValue } from '../../src-core/run/good-values'
import { walksKnown, withWalks, type KnownWalks } from '../../src-core/run/walk'
import { digestOf } from '../../src-core/shop/run-digest'
import { checkedMeter, play as playRun, type Play } from '../core/run/a-run'
import { lampDimmer } from './walked-board'

/** Through the proof that the board is de-energised, up to its next own step. */
export const toOwnStep = (play: Play): Play => {
  for (let k = 0; k < 20 && play.step()?.startsWith('prepare/') === true; k += 1) {
    if (play.step() === 'prepare/disconnect') play.confirm()
    else { play.lift('dc-voltage'); play.open('dc-voltage') }
  }
  return play
}

/** At the first point of the walk. @param walks what is known of it; without, it is learned. @param follows the run before of the same unit. */
export const beginWalk = (board: BoardType = lampDimmer(), walks?: KnownWalks, follows?: FollowsRun): Play => toOwnStep(playRun(board, checkedMeter, {
  plan: withWalks(planOfBoard(board, follows, (made) => preparationSteps(made, usualBenchKit)), walks, follows), kit: usualBenchKit, ...(walks === undefined ? {} : { walks }), ...(follows === undefined ? {} : { follows }),
}))

export const walkAll = (play: Play, values: readonly number[]): Play => {
  for (const value of values) play.touch('resistance', value)
  return play
}
/** What a good board reads at the points of its list. */
export const goodPoints: readonly number[] = [10000, 4700, 1000, 330]
/** Five seconds at 0.5 Ω, steady: the watch ends by itself. */
export const watchIt = (play: Play): Play => { play.lift('resistance'); play.hold('resistance', 0.5, 5); return play }

/** What these runs leave for the next board, where they passed. */
export const knownAfter = (board: BoardType, ...plays: Play[]): KnownWalks | undefined => {
  const values = plays.flatMap((play) => { const digest = digestOf(play.state(), board); return digest?.passed === true ? digest.values : [] })
  return walksKnown(board, (id) => values.filter(({ step }) => step === id).map((one): GoodValue => ({ function: one.function, value: one.value ?? 'overload', U: one.U })))
}
