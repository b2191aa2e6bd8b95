/**
 * What 500 boards of one shop save: touches with its history against the kinds' priors alone. A measurement: it prints its seeds and figures, and holds only
 * that history costs no right verdicts; that it saves touches has not been shown yet.
 */
import { expect, it } from 'vitest'
import { scoredBoards } from '../circuit/score/boards'
import { median } from '../circuit/score/score'
import { measured } from './learned-priors'

const learntFrom = 500
const boardsAShop = Number(process.env.BOARDS ?? 40)
const shops = [31, 32, 33].slice(0, Number(process.env.SHOPS ?? 3)).map((one) => Number(process.env.SEED ?? 20_260) * 100 + one)

it(`history of ${learntFrom} boards: touches with it and without it, and no more faulty parts called good`, () => {
  const boards = scoredBoards('.').filter(({ id, revision }) => ['soil-relay', 'frost-sensor'].includes(id) || (id === 'vent-driver-node' && revision === 'C'))
  const all = boards.flatMap((board) => shops.map((seed) => {
    const found = { board, seed, ...measured(board, seed, boardsAShop, learntFrom) }
    const { usual, learnt } = found
    process.stdout.write(`${board.id}, shop ${seed}: median ${median(usual)} touches with the kinds' priors, ${median(learnt)} with ${learntFrom} boards of history (${usual.length} boards)\n`)
    return found
  }))
  const [usual, learnt] = [all.flatMap((one) => one.usual), all.flatMap((one) => one.learnt)]
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0)
  const [faulty, usualWrong, learntWrong] = [sum(all.map((one) => one.faulty)), sum(all.map((one) => one.usualWrong)), sum(all.map((one) => one.learntWrong))]
  const saved = usual.map((touches, at) => touches - (learnt[at] ?? touches))
  process.stdout.write(`all: median ${median(usual)} and ${median(learnt)}, mean ${(sum(usual) / usual.length).toFixed(1)} and ${(sum(learnt) / learnt.length).toFixed(1)}, median saved a board ${median(saved)}; `
    + `faulty parts called good ${usualWrong} and ${learntWrong} of ${faulty}\n`)
  expect(learntWrong).toBeLessThanOrEqual(usualWrong + 0.005 * faulty)
})
