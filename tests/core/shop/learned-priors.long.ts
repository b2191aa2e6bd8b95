/**
 * What 500 boards of one shop save: touches with its history against the kinds' priors alone, in shops of two kinds (simulated-shop.ts). It prints its seeds
 * and figures. Held: history costs no right verdicts in either, and saves touches where surges come in at one terminal.
 */
import { describe, expect, it } from 'vitest'
import { scoredBoards } from '../circuit/score/boards'
import { median } from '../circuit/score/score'
import { measured, type Told } from './learned-priors'
import { type ShopKind, surgeShop, tiltedShop } from './simulated-shop'

const learntFrom = 500
/** Of each board type in each shop. */
const boardsAShop = Number(process.env.BOARDS ?? 7)
const seeds = [31, 32, 33].slice(0, Number(process.env.SHOPS ?? 3)).map((one) => Number(process.env.SEED ?? 20_260) * 100 + one)
/** At most so many more faulty parts called good, of all faulty parts (circuit.md). */
const mostWrong = 0.005

const boards = scoredBoards('.').filter(({ id, revision }) => ['soil-relay', 'frost-sensor'].includes(id) || (id === 'vent-driver-node' && revision === 'C'))
const say = (words: string): void => { process.stdout.write(`${words}\n`) }
const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0)
const mean = (values: readonly number[]): number => sum(values) / values.length

const measure = (name: string, kind: ShopKind): { usual: Told; learnt: Told; faulty: number } => {
  const all = boards.flatMap((board) => seeds.map((seed) => {
    const found = measured(board, kind, seed, boardsAShop, learntFrom)
    say(`${name}, ${board.id}, shop ${seed} (${found.what}): median ${median(found.usual.touches)} touches with the kinds' priors, ${median(found.learnt.touches)} with ${learntFrom} boards of history (${boardsAShop} boards)`)
    return found
  }))
  const together = (which: 'usual' | 'learnt'): Told => ({
    touches: all.flatMap((one) => one[which].touches), wrong: sum(all.map((one) => one[which].wrong)), found: sum(all.map((one) => one[which].found)),
    wronglyFaulty: sum(all.map((one) => one[which].wronglyFaulty)),
  })
  const [usual, learnt, faulty, good] = [together('usual'), together('learnt'), sum(all.map((one) => one.faulty)), sum(all.map((one) => one.good))]
  const saved = usual.touches.map((touches, at) => touches - (learnt.touches[at] ?? touches))
  const error = Math.sqrt(sum(saved.map((one) => (one - mean(saved)) ** 2)) / (saved.length - 1) / saved.length)
  say(`${name}, ${saved.length} boards: median ${median(usual.touches)} and ${median(learnt.touches)}, mean ${mean(usual.touches).toFixed(1)} and ${mean(learnt.touches).toFixed(1)}, saved a board ${mean(saved).toFixed(2)} ± ${error.toFixed(2)} (standard error), median ${median(saved)}; `
    + `faulty parts called good ${usual.wrong} and ${learnt.wrong}, called faulty ${usual.found} and ${learnt.found}, of ${faulty}; good parts called faulty ${usual.wronglyFaulty} and ${learnt.wronglyFaulty} of ${good}`)
  return { usual, learnt, faulty }
}

describe(`history of ${learntFrom} boards against the kinds' priors alone`, () => {
  it('where surges come in at one terminal: fewer touches, and no more faulty parts called good', () => {
    const { usual, learnt, faulty } = measure('surges', surgeShop)
    expect(learnt.wrong).toBeLessThanOrEqual(usual.wrong + mostWrong * faulty)
    expect(median(learnt.touches)).toBeLessThan(median(usual.touches))
  })
  it('where each part fails in its own way: no more faulty parts called good', () => {
    const { usual, learnt, faulty } = measure('each part its own', tiltedShop)
    expect(learnt.wrong).toBeLessThanOrEqual(usual.wrong + mostWrong * faulty)
  })
})
