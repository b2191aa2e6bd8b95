/** Learning a walk: each new touch of the red lead is its next point, until the list is walked or a press ends it. */
import type { CapturedValue } from '../capture/task'
import type { Bench } from './bench'
import { quiet, refuse, type Conducted } from './conducted'
import { computedOnBench } from './computed-words'
import { decideStep, lastSeq } from './decide-step'
import type { RunEventBody } from './event'
import { readOnly } from './judge'
import { hasLimits, type JudgedStep, type MeasurePlanStep, type Purpose } from './plan'
import { stepState } from './state'
import { isLastPoint, mostPoints, pointId } from './walk'

type Walk = Extract<Purpose, { kind: 'walk' }>

const pointsInWords = (count: number): string => (count === 1 ? '1 point learned' : `${count} points learned`)

/** The walk is over: done, as a step is in which nothing is judged. @param before events of the same moment. */
const endOfWalk = (bench: Bench, before: readonly RunEventBody[], step: MeasurePlanStep, count: number): RunEventBody[] => {
  const done: RunEventBody = { kind: 'done', step: step.id, note: pointsInWords(count) }
  return [done, ...decideStep(bench, [...before, done], step, 'pass', [lastSeq(bench.run) + before.length + 1], null)]
}

export const takePoint = (bench: Bench, step: JudgedStep, { of, number }: Walk, value: CapturedValue): Conducted => {
  if (number > mostPoints(of)) return refuse(bench, `All ${mostPoints(of)} points of this walk are learned. Go back to take one again.`)
  if (value.evidence === 'moving') return refuse(bench, 'This value still moves, and other boards would be held to it. Hold until it stands still; where it never does, skip the walk.')
  const point: RunEventBody = { kind: 'learned', step: step.id, point: number, id: pointId(of, number), ...readOnly(bench.context, step, value, bench.utcMs) }
  return { ...quiet(bench), events: [point, ...(isLastPoint(of, number) ? endOfWalk(bench, [point], step, number) : [])], tones: ['pass'] }
}

/** A press: the point before was the last one. */
export const finishWalk = (bench: Bench, step: MeasurePlanStep): Conducted => {
  const { purpose } = step
  if (purpose?.kind !== 'walk' || !purpose.learns) return refuse(bench, 'No walk is being learned in this step.')
  if (!hasLimits(step)) return refuse(bench, computedOnBench(step))
  const count = stepState(bench.run, step.id).learned.length
  if (purpose.of.points !== undefined) return refuse(bench, `This walk has its ${purpose.of.points.length} points from the board file: ${purpose.of.points.length - count} to go. Skip it to leave it.`)
  return count === 0 ? refuse(bench, 'No point has been learned yet: touch the first one.') : { ...quiet(bench), events: endOfWalk(bench, [], step, count), tones: ['pass'] }
}
