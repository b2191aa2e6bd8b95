/** A walk: black stays clipped, red goes from point to point. Learned on a board that works, then every point is a step of its own, judged by what was learned. */
import { z } from 'zod'
import { mostWalkPoints, type BoardType, type Branch, type WalkStep } from '../board/board-type'
import type { Limits } from '../metrology/limits'
import { goodLimits, limitsOfGoodBoards, usualTolerance, type GoodValue } from './good-values'
import type { MeasurePlanStep, Placement, Plan, PlanStep } from './plan'
import type { RunState } from './state'

/** What a run judges one point by: fixed as it begins. */
const knownPoint = z.strictObject({ id: z.string().min(1), ...goodLimits.shape })
export type KnownPoint = z.infer<typeof knownPoint>
/** By the ids of the walk steps; one that is missing is learned in this run. */
export const knownWalks = z.record(z.string().min(1), z.array(knownPoint).min(1).max(mostWalkPoints))
export type KnownWalks = z.infer<typeof knownWalks>

/** Before the number of a place that is no test point: no id of a test point has it, so that none is taken for another. */
const byNumber = '#'
/** "walk/#3", or "walk/U3.7" for a test point. @param number from 1. */
export const pointId = ({ id, points }: Pick<WalkStep, 'id' | 'points'>, number: number): string => {
  const listed = points?.[number - 1]
  return `${id}/${typeof listed === 'string' ? listed : `${byNumber}${number}`}`
}

const placementAt = ({ black, points }: WalkStep, number: number): Placement => {
  const listed = points?.[number - 1]
  if (typeof listed === 'string') return { red: listed, black }
  return { point: number, words: listed?.words ?? null, spot: listed === undefined ? null : { picture: listed.picture, x: listed.x, y: listed.y }, black }
}

/** Any value of a meter passes, an overload too: nothing is judged by it. */
export const anyValue: Limits = { atLeast: -1e12 }

type Common = Pick<MeasurePlanStep, 'kind' | 'parts' | 'where' | 'caution' | 'means' | 'then' | 'function' | 'keepsContact' | 'powered'>
const commonOf = (step: WalkStep): Common => ({
  kind: 'measure', parts: step.parts, where: step.where ?? '', caution: step.caution ?? null, means: step.means ?? '', then: step.then, function: step.function, keepsContact: false,
  powered: step.powered ?? false,
})

/** The step of a walk nobody has walked yet. */
export const learningStep = (step: WalkStep): MeasurePlanStep => ({
  ...commonOf(step), id: step.id, title: step.title, limits: anyValue, placement: placementAt(step, 1), purpose: { kind: 'walk', of: step, number: 1, learns: true },
})

const pointTitle = ({ title, points }: WalkStep, number: number): string => {
  const listed = points?.[number - 1]
  return `${title}, ${listed === undefined ? `point ${number}` : typeof listed === 'string' ? listed : listed.words}`
}

/** The learning step as it is asked for now, at the point behind the last one. */
export const atNextPoint = (step: MeasurePlanStep, run: Pick<RunState, 'steps'>): MeasurePlanStep => {
  if (step.purpose?.kind !== 'walk' || !step.purpose.learns) return step
  const { of } = step.purpose
  const number = (run.steps[step.id]?.learned.length ?? 0) + 1
  return { ...step, placement: placementAt(of, number), purpose: { ...step.purpose, number } }
}

/** Of its list, or the most a walk has. */
export const mostPoints = ({ points }: Pick<WalkStep, 'points'>): number => points?.length ?? mostWalkPoints
/** The last point: the walk ends by itself. */
export const isLastPoint = (step: Pick<WalkStep, 'points'>, number: number): boolean => number >= mostPoints(step)

const pointSteps = (step: WalkStep, known: readonly KnownPoint[]): MeasurePlanStep[] => known.map(({ id, limits, says }, index) => ({
  ...commonOf(step), id, title: pointTitle(step, index + 1), limits, placement: placementAt(step, index + 1), purpose: { kind: 'walk', of: step, number: index + 1, learns: false, says },
}))

/** A branch that leads to a walk leads to its first point. */
const ledTo = (first: ReadonlyMap<string, string>, then: readonly Branch[]): Branch[] => then.map((branch) => {
  const to = 'goTo' in branch ? first.get(branch.goTo) : undefined
  return 'goTo' in branch && to !== undefined ? { ...branch, goTo: to } : branch
})

const withKnown = (plan: Plan, walks: KnownWalks | undefined): Plan => {
  if (walks === undefined) return plan
  const first = new Map(Object.entries(walks).flatMap(([step, points]) => { const id = points[0]?.id; return id === undefined ? [] : [[step, id] as const] }))
  return {
    ...plan, steps: plan.steps.flatMap((step): PlanStep[] => {
      const known = walks[step.id]
      const points = step.kind === 'measure' && step.purpose?.kind === 'walk' && known !== undefined ? pointSteps(step.purpose.of, known).map((each) => (step.adds === undefined ? each : { ...each, adds: step.adds })) : [step]
      return points.map((each) => ({ ...each, then: ledTo(first, each.then) }))
    }),
  }
}

/** Nobody knows yet whether a board that is measured again works: it teaches no other what to read. */
const teachesNothing: MeasurePlanStep['otherState'] = { because: 'no good board has walked it yet with a meter that reads like this one, and this board is measured again behind a fault. Walk a board that works first; until then it can only be skipped.', remedy: [] }
const notLearned = (step: PlanStep): PlanStep => (step.kind === 'measure' && step.purpose?.kind === 'walk' && step.purpose.learns ? { ...step, limits: null, otherState: teachesNothing } : step)

/** The plan with the points of the walks that are known, in place of the step that would learn them. @param follows the run is made behind another of the unit: it learns no walk. */
export const withWalks = (plan: Plan, walks: KnownWalks | undefined, follows?: RunState['started']['follows']): Plan => {
  const known = withKnown(plan, walks)
  return follows === undefined ? known : { ...known, steps: known.steps.map(notLearned) }
}

const knownOf = (step: WalkStep, valuesOf: (id: string) => readonly GoodValue[]): KnownPoint[] => {
  const points: KnownPoint[] = []
  for (let number = 1; number <= mostPoints(step); number += 1) {
    const id = pointId(step, number)
    const told = limitsOfGoodBoards(valuesOf(id).filter((one) => one.function === step.function), step.tolerance ?? usualTolerance)
    // A list that has grown is walked anew; without a list the walk ends where it was ended.
    if (told === null) return step.points === undefined ? points : []
    points.push({ id, ...told })
  }
  return points
}

/** The walks of a board that good boards speak for. @param valuesOf the good boards at one point, by its id. Nothing where none is known. */
export const walksKnown = (board: Pick<BoardType, 'sequence'>, valuesOf: (id: string) => readonly GoodValue[]): KnownWalks | undefined => {
  const found = board.sequence.steps.flatMap((step): [string, KnownPoint[]][] => {
    const points = step.kind === 'walk' ? knownOf(step, valuesOf) : []
    return points.length === 0 ? [] : [[step.id, points]]
  })
  return found.length === 0 ? undefined : Object.fromEntries(found)
}

/** @param behind what its id has behind that of the walk. NaN: the list has no such test point. */
const numberOfPoint = ({ points }: Pick<WalkStep, 'points'>, behind: string): number =>
  (behind.startsWith(byNumber) ? Number(behind.slice(byNumber.length)) : (points ?? []).indexOf(behind) + 1 || NaN)

/** Of a step of the board file, or of a point of one of its walks, by its id; null: the file has none such. */
export const titleInFile = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>, id: string): string | null => {
  const own = steps.find((step) => step.id === id)
  if (own !== undefined) return own.title
  const walk = steps.find((step): step is WalkStep => step.kind === 'walk' && id.startsWith(`${step.id}/`))
  if (walk === undefined) return null
  const behind = id.slice(walk.id.length + 1)
  const number = numberOfPoint(walk, behind)
  return Number.isNaN(number) ? `${walk.title}, ${behind}` : pointTitle(walk, number)
}

/** The place of a step, or of a point of a walk, in the sequence; null: not in the file. */
export const placeInFile = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>, id: string): number | null => {
  const at = steps.findIndex((step) => step.id === id || (step.kind === 'walk' && id.startsWith(`${step.id}/`)))
  const walk = steps[at]
  if (walk === undefined) return null
  const behind = id.slice(walk.id.length + 1)
  const point = walk.kind !== 'walk' || id === walk.id ? 0 : numberOfPoint(walk, behind)
  return at + (Number.isFinite(point) ? point : 0) / (mostWalkPoints + 1)
}

export const hasWalk = ({ sequence: { steps } }: Pick<BoardType, 'sequence'>): boolean => steps.some(({ kind }) => kind === 'walk')
