/** Learned points and watches of a run as a record writes them. */
import type { BoardType } from '../board/board-type'
import { placeOfTip, tipName } from '../board/lifted-leg'
import { boundsOf } from '../metrology/interval'
import { limitsInWords } from '../metrology/limits-in-words'
import { inWords } from '../quantity/engineering'
import { toMilliseconds, withoutDust } from '../quantity/plain-figures'
import { elsewhereOf } from '../run/elsewhere'
import { meterUsed } from '../run/meter-of'
import type { PlanStep } from '../run/plan'
import type { Compared, Learned, RunState, StepState, Watched } from '../run/state'
import { watchInWords } from '../run/watch-words'
import { valueInWords } from '../run/words'
import { meterWithId } from './meters-of-run'
import { valueClaim, type Claimed } from './value-claim'
import type { Telling } from './values-of-run'
import type { RecordStep } from './step-schema'
import type { RecordPoint, RecordWatch } from './walk-schema'

const figure = (value: number | null): number | null => (value === null ? null : withoutDust(value))

type Of = Pick<RecordPoint, 'event' | 'at' | 'meter' | 'meterId' | 'unit' | 'function' | 'range' | 'resolution'>

export const ofEvent = (state: RunState, event: Learned | Compared | Watched, { moment }: Telling): Of => {
  const { name, id } = meterUsed(state, event)
  return { event: event.seq, at: moment(event.utc), meter: name, meterId: id, unit: event.unit, function: event.function, range: figure(event.range), resolution: figure(event.resolution) }
}

export const uncertaintyOf = ({ uncertainty, unit }: Pick<Learned, 'uncertainty' | 'unit'>): RecordPoint['uncertainty'] => (uncertainty === null ? null
  : { U: withoutDust(uncertainty.U), k: withoutDust(uncertainty.k), basis: uncertainty.basis, words: `± ${inWords(Number(uncertainty.U.toPrecision(2)), unit, null)}` })

const claimOfFigure = (state: RunState, event: Learned | Watched, claimed: Claimed, { sources }: Telling): RecordPoint['traceable'] => {
  const used = meterUsed(state, event)
  return valueClaim(state, claimed, used, meterWithId(state, used.id, sources.meters), sources)
}

const redElsewhere = (step: PlanStep): string | null => (step.kind === 'measure' && 'red' in step.placement ? step.placement.red : null)

/** The red point of a walk by its number, or of a placement elsewhere. */
const redOf = (board: BoardType, step: PlanStep, number: number): string | null => {
  if (elsewhereOf(step) !== null) { const red = redElsewhere(step); return red === null ? null : tipName(board, red) }
  const listed = step.purpose?.kind === 'walk' ? step.purpose.of.points?.[number - 1] : undefined
  return listed === undefined ? null : typeof listed === 'string' ? listed : listed.words
}

const placeOf = (board: BoardType, step: PlanStep, number: number): RecordPoint['place'] => {
  const listed = step.purpose?.kind === 'walk' ? step.purpose.of.points?.[number - 1] : elsewhereOf(step) === null ? undefined : redElsewhere(step) ?? undefined
  const spot = typeof listed === 'string' ? placeOfTip(board, listed, elsewhereOf(step)?.legs ?? []) : listed ?? null
  return spot === null ? null : { picture: spot.picture, x: spot.x, y: spot.y }
}

const pointOfRun = (state: RunState, board: BoardType, step: PlanStep, point: Learned, telling: Telling): RecordPoint => ({
  ...ofEvent(state, point, telling), point: point.point, red: redOf(board, step, point.point), place: placeOf(board, step, point.point),
  value: typeof point.value === 'number' ? withoutDust(point.value) : point.value, words: valueInWords(point.value, point.function, point.unit, point.resolution),
  leadTakenOff: figure(point.leadTakenOff ?? null),
  readings: { conversions: point.conversions, seconds: toMilliseconds(point.seconds), median: figure(point.median), standardDeviation: figure(point.sd), raw: point.raw },
  uncertainty: uncertaintyOf(point), traceable: claimOfFigure(state, point, point, telling), evidence: point.evidence,
})

/** What was read and not judged. Those of a walk that was left or skipped do not stand. */
export const recordPointsOf = (state: RunState, board: BoardType, step: PlanStep, { learned, earlierLearned, decided, skipped }: StepState, telling: Telling): Pick<RecordStep, 'points' | 'earlierPoints'> => {
  const stand = decided !== null && skipped === null
  const told = (points: readonly Learned[]): RecordPoint[] => points.map((point) => pointOfRun(state, board, step, point, telling))
  const [points, earlierPoints] = [told(stand ? learned : []), told(stand ? earlierLearned : [...earlierLearned, ...learned])]
  return { ...(points.length === 0 ? {} : { points }), ...(earlierPoints.length === 0 ? {} : { earlierPoints }) }
}

const extremeOf = (state: RunState, watched: Watched, told: Watched['minimum'], telling: Telling): RecordWatch['minimum'] => (told === null ? null : {
  value: withoutDust(told.value), words: inWords(told.value, watched.unit, watched.resolution), at: toMilliseconds(told.at), leadTakenOff: figure(told.leadTakenOff ?? null),
  uncertainty: uncertaintyOf({ ...told, unit: watched.unit }), traceable: claimOfFigure(state, watched, { ...watched, value: told.value, uncertainty: told.uncertainty }, telling),
})

const watchOfRun = (state: RunState, step: PlanStep, watched: Watched, stands: boolean, telling: Telling, from: string): RecordWatch => {
  const { limits, function: fn, unit } = watched
  const { low, high } = limits === null ? { low: null, high: null } : boundsOf(limits, fn)
  return {
    ...ofEvent(state, watched, telling), stands, what: step.purpose?.kind === 'watch' ? step.purpose.words : '',
    seconds: toMilliseconds(watched.seconds), conversions: watched.conversions, minimum: extremeOf(state, watched, watched.minimum, telling), maximum: extremeOf(state, watched, watched.maximum, telling),
    dropouts: watched.dropouts.map(({ at, seconds, shows }) => ({ at: toMilliseconds(at), seconds: toMilliseconds(seconds), shows })), ended: watched.ended,
    limits: limits === null ? null : { low: figure(low), high: figure(high), words: limitsInWords(limits, unit), from }, verdict: watched.verdict, words: watchInWords(watched), raw: watched.raw,
  }
}

/** @param from where typed limits come from. */
export const recordWatchOf = (state: RunState, step: PlanStep, { watched, earlierWatched, decided, skipped }: StepState, telling: Telling, from: string): Pick<RecordStep, 'watch' | 'earlierWatches'> => ({
  ...(watched === null ? {} : { watch: watchOfRun(state, step, watched, decided !== null && skipped === null, telling, from) }),
  ...(earlierWatched.length === 0 ? {} : { earlierWatches: earlierWatched.map((each) => watchOfRun(state, step, each, false, telling, from)) }),
})
