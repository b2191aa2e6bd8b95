/** The states that the readings leave, with what each would read, and the sentence that says why a reading tells them apart. */
import { unitOf } from '../../meter/reading'
import { inWords } from '../../quantity/engineering'
import type { Next, Placement } from '../diagnosis'
import type { Gauge } from './allowed-placements'
import type { Search } from './bases'
import type { Cell } from './cells'
import { offScale } from './display-scale'
import type { Hypothesis } from './hypothesis'
import { hidingBeside } from './marginals'
import { bitsOf, type Candidate, effortInWords, percentInWords, type Remaining } from './next-action'
import { faultAt, faultsOf } from './report'
import { setInWords } from './set-in-words'
import type { Survey } from './survey'

/** What to take next is much the same while the figures of the faults move no further than this (of their logarithms). */
export const nearFigures = 0.3

/** A survey of the same point; with `near` above 0 also of the same cells, their figures no further off. */
export const surveyNear = (surveys: ReadonlyMap<Hypothesis, Survey>, { cells, figures }: Hypothesis, near: number): Survey | undefined => {
  for (const [of, survey] of surveys) {
    if (of.figures === figures) return survey
    if (near > 0 && of.cells.length === cells.length && cells.every((cell, at) => of.cells[at]?.index === cell.index && Math.abs((of.figures[at] ?? 0) - (figures[at] ?? 0)) < near)) return survey
  }
  return undefined
}

const mostSurveyed = 3
const leastRemaining = 0.002

/** `surveyed` is told the cells whose readings will be asked for. */
export const remainingOf = (search: Search, surveyed: (hypothesis: Hypothesis, further: readonly Cell[]) => Survey, most = mostSurveyed): Remaining[] => search.bases.slice(0, most).flatMap((base) => {
  if (base.probability < leastRemaining) return []
  const hiding = hidingBeside(search, base)
  const listed = hiding.filter(({ probability }) => probability > leastRemaining)
  const survey = surveyed(base.hypothesis, listed.map(({ cell }) => cell))
  const hides = hiding.reduce((sum, { probability }) => sum + probability, 0)
  const own = faultsOf(search, base.hypothesis)
  return [{ survey, cell: -1, weight: base.probability * Math.max(1 - hides, 0.02), words: setInWords(own) },
    ...listed.map(({ cell, probability, figure }): Remaining => ({ survey, cell: cell.index, weight: base.probability * probability, words: setInWords([...own, ...faultAt(cell, figure)]) }))]
})

const shownIn = (what: Placement['function'], y: number, ceiling: number): string =>
  (Number.isNaN(y) || y > ceiling ? 'overload' : inWords(Number(offScale(what, y).toPrecision(3)), unitOf[what], null))

/** The strongest other state at a placement, for the sentence. `listed`: the share that the classes give a state by its words, null where they do not list it. */
export const nextOf = (
  candidate: Candidate, states: readonly Remaining[], gaugeOf: (what: Placement['function']) => Gauge, listed: (words: string) => number | null = () => null,
): Next[] => {
  const { action, bits, effort, at } = candidate
  if (action.kind !== 'measure') return []
  const what = action.placement.function
  const gauge = gaugeOf(what)
  const usual = states.reduce((best, one) => (one.weight > best.weight ? one : best))
  const told = states.map((state) => ({ state, bits: bitsOf([usual, state], at, gauge) * state.weight })).reduce((best, one) => (one.bits > best.bits ? one : best))
  const y = (state: Remaining): number => (state.cell < 0 ? state.survey.y[at] : state.survey.with[at]?.[state.cell]) ?? NaN
  const total = states.reduce((sum, { weight }) => sum + weight, 0)
  const openBits = states.reduce((sum, { weight }) => sum - (weight > 0 ? weight / total * Math.log2(weight / total) : 0), 0)
  const chance = ({ weight, words }: Remaining): string => percentInWords(listed(words) ?? weight)
  const why = `If ${usual.words} (${chance(usual)}), this reads ${shownIn(what, y(usual), gauge.ceiling)}; if ${told.state.words} (${chance(told.state)}), ${shownIn(what, y(told.state), gauge.ceiling)}: `
    + `expected to settle ${percentInWords(Math.min(1, bits / openBits))} of what is still open, ${effortInWords(effort)}.`
  return [{ action, bits, effort, why }]
}
