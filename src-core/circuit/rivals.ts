/** The single faults a hidden fault has to be told from, with the figures at which each is hardest to tell. */
import type { BoardType, MeasureStep } from '../board/board-type'
import { type Fault, sameKind } from './faults'
import { networkOf } from './network'
import { readingAt, shownAs, type Shown } from './told-apart'
import { closeFigures, usualFaults, withFigure } from './usual-faults'

export type Rival = { fault: Fault; shown: Shown[] }
type Reading = ReturnType<typeof readingAt>
type Tried = { fault: Fault; readings: Reading[] }

/** Halvings between two figures: from figures at most 1.8 apart to within 1 %. */
const halvings = 6
/** Relative; limits allow more than this as tolerance. */
const leastMove = 0.01

const figureOf = (fault: Fault): number | null => ('ohms' in fault ? fault.ohms : 'factor' in fault ? fault.factor : null)

/**
 * Every single fault of another part, pin or kind than those hidden: with figures close together across the drawn ranges (circuit.md),
 * and between two of them, where a step's reading passes that of the hidden fault, the figure at which it reads the same.
 */
export const rivalsOf = (board: BoardType, hidden: readonly Fault[], steps: readonly MeasureStep[], figures = closeFigures): Rival[] => {
  const readingsOf = (faults: readonly Fault[]): Reading[] => {
    const network = networkOf(board, faults)
    return steps.map((step) => readingAt(board, network, step))
  }
  const truth = readingsOf(hidden)
  const tried = (fault: Fault): Tried => ({ fault, readings: readingsOf([fault]) })

  /** Between two neighbours of a kind: for each step that the hidden fault's reading lies between theirs, the figure that meets it. */
  const meeting = (low: Tried, high: Tried): Tried[] => {
    const [from, to] = [figureOf(low.fault), figureOf(high.fault)]
    if (from === null || to === null || !sameKind(low.fault, high.fault)) return []
    return steps.flatMap((step, at) => {
      const [a, b, t] = [low.readings[at], high.readings[at], truth[at]]
      if (typeof a !== 'number' || typeof b !== 'number' || typeof t !== 'number' || (a - t) * (b - t) >= 0) return []
      // Closer than this nothing is told apart anyway: what remains is the rounding of the solver.
      if (Math.abs(a - b) <= Math.abs(t) * leastMove) return []
      let [left, right] = [Math.log(from), Math.log(to)]
      for (let halved = 0; halved < halvings; halved += 1) {
        const middle = (left + right) / 2
        const here = readingAt(board, networkOf(board, [withFigure(low.fault, Math.exp(middle))]), step)
        if (typeof here !== 'number') return []
        if ((here - t) * (a - t) > 0) left = middle
        else right = middle
      }
      return [tried(withFigure(low.fault, Math.exp((left + right) / 2)))]
    })
  }

  const grid = usualFaults(board, figures).filter((fault) => !hidden.some((one) => sameKind(one, fault))).map(tried)
  const met = grid.flatMap((one, at) => {
    const next = grid[at + 1]
    return next === undefined ? [] : meeting(one, next)
  })
  return [...grid, ...met].map(({ fault, readings }) => ({ fault, shown: readings.map((reading, at) => {
    const step = steps[at]
    return step === undefined ? null : shownAs(step, reading)
  }) }))
}
