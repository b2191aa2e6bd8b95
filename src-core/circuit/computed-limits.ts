/** Limits of the steps nobody typed any for, or typed for another meter's source: what a good board reads there with this meter, or why that cannot be said. */
import type { BoardType, MeasureStep, Part, Step } from '../board/board-type'
import { isLeg, legId } from '../board/lifted-leg'
import { stateAt, type PartState } from '../board/part-state'
import type { MeterFunction } from '../meter/reading'
import type { Limits } from '../metrology/limits'
import type { LimitsSource } from '../metrology/limits-source'
import type { ReadAt } from './expected-interval'
import { type GoodOptions, type GoodReading, goodReadings } from './good-limits'
import { isSourced, madeElsewhere, standsWith } from './made-with'
import { type DrivenFunction, genericDrives, type MeterDrives } from './meter-drive'
import { seededRandom } from './seeded-random'

/** What drove the tips. SI; `amperes` null: no limit but what the ohms give. `typical`: generic figures, not this meter's own. */
export type LimitSource = { volts: number; ohms: number; amperes: number | null; plus: 'red' | 'black'; typical: boolean }
/**
 * `value` of the nominal board; good boards read from `low` to `high`; `source` null where nothing drives the tips by direct current. `instead`: of
 * typed limits, which were made with that source.
 */
export type MadeLimits = { limits: Limits; value: number | 'overload'; low: number | 'overload'; high: number | 'overload'; source: LimitSource | null; instead?: LimitsSource }
/** Typed limits that hold for this meter too, and the source they were made with. */
export type StandingLimits = { limits: Limits; madeWith: LimitsSource }
/** Why there are none, as a sentence. */
export type NoLimits = { refused: string }
export type ComputedLimits = MadeLimits | StandingLimits | NoLimits

export const wereMade = (own: ComputedLimits | { limits: Limits }): own is MadeLimits => 'value' in own

/** Fixed, so that runs of one board with one meter have the same limits. */
const limitsSeed = 1

const computedFunctions: readonly MeterFunction[] = ['resistance', 'continuity', 'diode', 'capacitance']

/** A lifted leg lies on a net of its own name. */
const netOf = (board: BoardType, id: string): string | null => (isLeg(id) ? id : board.testPoints.find((point) => point.id === id)?.net ?? null)

/** `red` and `black` are ids of test points, or of legs that the state has lifted. */
export type At = Pick<MeasureStep, 'red' | 'black' | 'function'>
const readAt = (board: BoardType, { red, black, function: what }: At): ReadAt => ({ red: netOf(board, red) ?? '', black: netOf(board, black) ?? '', function: what })
const asSentence = (clause: string): string => `${clause.charAt(0).toUpperCase()}${clause.slice(1)}.`

const isOn = (net: string) => ({ ref, pins }: Part): boolean => (isLeg(net) ? Object.keys(pins).some((pin) => legId(ref, pin) === net) : Object.values(pins).includes(net))

/** Why the file itself allows no limits for this step, as a clause; null: it may. */
export const fileAllowsNoLimits = (board: BoardType, step: At & Pick<MeasureStep, 'powered'>): string | null => {
  if (step.powered === true) return 'what a supplied board reads is not computed'
  if (!computedFunctions.includes(step.function)) return `what a good board reads in ${step.function} is not computed`
  const nets: string[] = []
  for (const id of [step.red, step.black]) {
    const net = netOf(board, id)
    if (net === null) return `"${id}" is not a test point`
    nets.push(net)
    if (!board.parts.some(isOn(net))) return `no part of this file lies on net "${net}" of ${id}, so what a good board reads is not known`
  }
  const straight = (part: Part): boolean => part.kind === 'capacitor' && nets.every((net) => isOn(net)(part))
  return step.function === 'capacitance' && !board.parts.some(straight) ? `no capacitor of this file lies straight across ${step.red} and ${step.black}` : null
}

const sourceOf = (what: MeterFunction, reading: GoodReading & { ok: true }, drives: MeterDrives): LimitSource | null => {
  const { range } = reading.interval
  if (range === null || !(what in drives)) return null
  const { plus, typical } = drives[what as DrivenFunction]
  const { volts, ohms, amperes } = range
  return { volts, ohms, amperes: Number.isFinite(amperes) ? amperes : null, plus, typical }
}

const computedOf = (step: Pick<MeasureStep, 'function'>, reading: GoodReading | undefined, drives: MeterDrives): MadeLimits | NoLimits => {
  if (reading === undefined || !reading.ok) return { refused: reading?.because ?? 'Its test points are not known.' }
  const { limits, interval: { value, low, high } } = reading
  if (step.function === 'capacitance' && typeof limits === 'string') return { refused: 'Too few ohms lie across that capacitor for a capacitance to be read.' }
  return { limits, value, low, high, source: sourceOf(step.function, reading, drives) }
}

/** Whether what this step is judged by depends on the meter. */
export const asksMeter = (step: Step): step is MeasureStep => step.kind === 'measure' && (step.limits === undefined || isSourced(step))

/** By the ids of the steps without limits of their own, and of those whose limits name a source. Costs some milliseconds a drawn board: not for the loop that reads the meter. `state`: as the board is before its first step. */
export const computedLimits = (board: BoardType, options: GoodOptions = {}): Record<string, ComputedLimits> => {
  const { drives = genericDrives, state: asFound = [] } = options
  const steps = board.sequence.steps.filter(asksMeter).map((step) => {
    const why = fileAllowsNoLimits(board, step)
    return { step, why, stands: isSourced(step) && standsWith(board, step, drives, stateAt(board, step.id, asFound), why === null) }
  })
  const allowed = steps.flatMap(({ step, why, stands }) => (why === null && !stands ? [step] : []))
  // Steps behind one that lifts or removes something are on another circuit: each such state is drawn by itself.
  const states = [...new Set(allowed.map(({ id }) => JSON.stringify(stateAt(board, id, asFound))))]
  const readings = new Map(states.flatMap((key) => {
    const own = allowed.filter(({ id }) => JSON.stringify(stateAt(board, id, asFound)) === key)
    const found = goodReadings(board, own.map((step) => readAt(board, step)), seededRandom(limitsSeed), { ...options, drives, state: JSON.parse(key) as PartState[] })
    return own.map((step, at): [string, GoodReading | undefined] => [step.id, found[at]])
  }))
  return Object.fromEntries(steps.map(({ step, why, stands }): [string, ComputedLimits] => {
    const made = (): ComputedLimits => (why !== null ? { refused: asSentence(why) } : computedOf(step, readings.get(step.id), drives))
    if (!isSourced(step)) return [step.id, made()]
    if (stands) return [step.id, { limits: step.limits, madeWith: step.source }]
    const own = made()
    return [step.id, 'refused' in own ? { refused: `${madeElsewhere(step, drives)}, and none can be computed for it: ${own.refused.charAt(0).toLowerCase()}${own.refused.slice(1)}` } : { ...own, instead: step.source }]
  }))
}

/** What a good board reads at one placement that no step of the file asks for; the same figures as a step there would be judged by. Costs as much as one step. */
export const computedAt = (board: BoardType, at: At, options: GoodOptions = {}): MadeLimits | NoLimits => {
  const why = fileAllowsNoLimits(board, at)
  return why !== null ? { refused: asSentence(why) } : computedOf(at, goodReadings(board, [readAt(board, at)], seededRandom(limitsSeed), options)[0], options.drives ?? genericDrives)
}

/** The board file with no limits of its own, so that the tolerances of its parts speak for every step. */
export const withoutLimits = (board: BoardType): BoardType =>
  ({ ...board, sequence: { ...board.sequence, steps: board.sequence.steps.map((step) => (step.kind === 'measure' ? { ...step, limits: undefined, source: undefined } : step)) } })

/** The board file with limits in every step that has some with this meter, typed or computed. */
export const boardWithLimits = (board: BoardType, computed: Readonly<Record<string, ComputedLimits | { limits: Limits }>>): BoardType => (
  !board.sequence.steps.some(asksMeter) ? board : {
    ...board, sequence: {
      ...board.sequence, steps: board.sequence.steps.map((step) => {
        const own = computed[step.id]
        if (!asksMeter(step) || own === undefined) return step
        return 'limits' in own ? { ...step, limits: own.limits, source: undefined } : { ...step, limits: undefined, source: undefined }
      }),
    },
  })
