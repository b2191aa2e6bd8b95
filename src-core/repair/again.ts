/** Measuring again after a repair: which steps see what was repaired, and the plan of the run that makes them. */
import { isProbed, type BoardType, type Branch, type MeasureStep, type Step } from '../board/board-type'
import { negativePin, positivePin } from '../board/part-places'
import { fileAllowsNoLimits } from '../circuit/computed-limits'
import { stepsReadAlike } from '../circuit/same-reading'
import { makePlan, type Plan, type PlanStep } from '../run/plan'
import type { FollowsRun, RepairEntry } from './entry'
import { provingSteps } from './prove'

/** After soldering a junction is warm and reads about 2 mV/K low; common practice, no source. */
export const coolingMinutes = 5

export const cleanStep = 'repair-clean'
export const coolStep = 'repair-cool'

const cleaning: Step = {
  kind: 'do', id: cleanStep, title: 'Clean', parts: [], then: [],
  words: 'Clean the flux off where you soldered, and look for bridges, solder balls and lifted pads under a lens.',
  caution: 'Solvent burns and harms lungs: air the place, and keep the iron off it. The iron and the board are hot.', where: 'Flux left on the board leaks, and reads like a fault.',
}
const cooling: Step = {
  kind: 'do', id: coolStep, title: 'Let it cool', parts: [], then: [],
  words: `Wait until the board is as cool as the bench: ${coolingMinutes} minutes after the last joint.`, where: 'A warm junction reads about 2 mV low for each kelvin (common practice, no source).',
}

/** Nets that nearly every part lies on: a tip there sees no part in particular. */
const supplyNets = (board: BoardType): Set<string> => new Set([
  ...board.energyStores.flatMap(({ red, black }) => [red, black]).map((id) => board.testPoints.find((point) => point.id === id)?.net),
  ...board.parts.flatMap((part) => (part.kind !== 'ic' ? [] : [negativePin(part), positivePin(part)].map((pin) => (pin === null ? undefined : part.pins[pin])))),
].filter((net) => net !== undefined))

/** Its parts name it; or a tip lies on a net of its pins, on a supply net only where the other tip is on one of its nets too. */
const sees = (board: BoardType, supplies: ReadonlySet<string>, step: MeasureStep, ref: string): boolean => {
  if (step.parts.includes(ref)) return true
  const nets = new Set(Object.values(board.parts.find((part) => part.ref === ref)?.pins ?? {}))
  const tips = [step.red, step.black].map((id) => board.testPoints.find((point) => point.id === id)?.net ?? '')
  return tips.every((net) => nets.has(net)) || tips.some((net) => nets.has(net) && !supplies.has(net))
}

/** Ids of the steps that see a repaired part, in the order of the sequence. @param failed steps that did not pass: they are made again in any case. */
export const affectedSteps = (board: BoardType, entries: readonly Pick<RepairEntry, 'part'>[], failed: readonly string[]): string[] => {
  const supplies = supplyNets(board)
  const refs = [...new Set(entries.map(({ part }) => part))]
  return board.sequence.steps.flatMap((step) => {
    const seen = step.kind === 'measure' ? refs.some((ref) => sees(board, supplies, step, ref)) : step.kind !== 'do' && step.parts.some((ref) => refs.includes(ref))
    return seen || failed.includes(step.id) ? [step.id] : []
  })
}

/** With the steps they cannot do without: all that is done to the board, save before a powered step left out, and what keeps the leads in place. */
const withWhatTheyNeed = (board: BoardType, chosen: readonly string[]): Step[] => {
  const taken = new Set(chosen)
  const { steps } = board.sequence
  for (let at = steps.length - 1; at >= 0; at -= 1) {
    const [step, next] = [steps[at], steps[at + 1]]
    if (step === undefined) continue
    const measured = next?.kind === 'measure' ? next : null
    const forPower = next !== undefined && isProbed(next) && next.powered === true && !taken.has(next.id)
    if ((measured?.keepsContact === true && taken.has(measured.id)) || (step.kind === 'do' && !forPower && chosen.length > 0)) taken.add(step.id)
  }
  return steps.filter(({ id }) => taken.has(id))
}

/** A branch to a step that is left out leads to the next one that is made. */
const led = (all: readonly Step[], kept: readonly Step[]) => (step: Step): Step => ({
  ...step, then: step.then.map((branch): Branch => {
    if (!('goTo' in branch) || kept.some(({ id }) => id === branch.goTo)) return branch
    const behind = all.slice(all.findIndex(({ id }) => id === branch.goTo))
    return { ...branch, goTo: behind.find(({ id }) => kept.some((each) => each.id === id))?.id ?? 'end' }
  }),
})

/** On a board with something lifted the typed limits of the steps that see it hold no more: they are computed for it as it is, where they can be. */
const withoutTypedLimits = (board: BoardType, state: FollowsRun['state']) => (step: Step): Step => {
  if (step.kind !== 'measure' || step.powered === true || stepsReadAlike(board, state).has(step.id)) return step
  const { limits: _typed, source: _source, ...bare } = step
  return fileAllowsNoLimits(board, bare) === null ? bare : step
}

const stepsOfRun = (board: BoardType, { purpose, steps, state }: FollowsRun): Step[] => {
  if (purpose === 'prove') return provingSteps(board)
  const all = board.sequence.steps
  const chosen = steps === undefined ? all : withWhatTheyNeed(board, steps)
  const kept = chosen.map(led(all, chosen))
  return [cleaning, cooling, ...(state.length === 0 ? kept : kept.map(withoutTypedLimits(board, state)))]
}

/** The board type a run is made of: the board file's own, or for a run behind a repair what is made again of it. */
export const boardOfRun = (board: BoardType, follows: FollowsRun | undefined): BoardType =>
  (follows === undefined ? board : { ...board, sequence: { ...board.sequence, steps: stepsOfRun(board, follows) } })

/** @param board as its file has it. */
export const planOfBoard = (board: BoardType, follows: FollowsRun | undefined, preparationOf: (board: BoardType) => PlanStep[]): Plan => {
  const made = boardOfRun(board, follows)
  const plan = makePlan(made, preparationOf(made))
  const ready = follows?.coolUtc ?? null
  return ready === null ? plan : { ...plan, steps: plan.steps.map((step) => (step.kind !== 'measure' && step.id === coolStep ? { ...step, readyUtc: ready } : step)) }
}
