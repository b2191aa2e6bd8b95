/**
 * What each measure step could read: with the leads on a neighbouring placement of a good board, and with a single fault on the right one.
 * For rule 10 of capture.md, which asks which of the two a failing value fits better.
 */
import type { BoardType, MeasureStep, TestPoint } from '../board/board-type'
import { stepsOfParts } from '../board/part-state'
import { placesOf } from '../board/part-places'
import type { MeterFunction } from '../meter/reading'
import { boundsOf } from '../metrology/interval'
import { expectedInside } from './failed-steps'
import { placesFor, priorsOf, upwardShare, drawnRanges } from './fault-priors'
import type { FaultKind, PartFault } from './faults'
import { type AccuracyAt, goodReadings } from './good-limits'
import { genericDrives, type MeterDrives } from './meter-drive'
import { networkOf, type NetworkOptions } from './network'
import { read, readerOf } from './read'
import { seededRandom } from './seeded-random'
import { drawSpread } from './spread'

/** Where the tips may be instead: ids of test points. Good boards read from `low` to `high` there in the function of the step asked for, SI. */
export type Neighbour = {
  red: string; black: string
  /** The step of the sequence that asks for this placement in the same function; null: none does. */
  step: string | null
  /** The other way round than asked. */
  exchanged: boolean
  low: number; high: number
  /** How often a hand goes there rather than elsewhere, relative to the others. */
  weight: number
}
/** Whether a step fails with a fault, wherever in their tolerances the other parts lie. */
export type Fails = 'always' | 'never' | 'perhaps'
/** Between two figures of one kind of fault at one place. By the index of the steps: what it reads (Infinity: overload, NaN: not computed), and whether the step fails. */
export type FaultCell = { family: number; prior: number; low: number[]; high: number[]; fails: Fails[] }
export type PlacementReadings = { steps: string[]; neighbours: Neighbour[][]; /** Half the spread of good boards at each step, in `onScale`. */ spread: number[]; cells: FaultCell[] }

const functionsRead: readonly MeterFunction[] = ['resistance', 'continuity', 'diode']
/** Lead and contact resistance, and a few counts in volts: what is smaller looks alike (common practice, no source). */
const floorOf = (what: MeterFunction): number => (what === 'diode' ? 0.05 : 1)
/** How much of a figure's move shows in `onScale`, per SI unit. */
export const perUnit = (value: number, what: MeterFunction): number => 1 / (Math.abs(value) + floorOf(what))
/** A logarithm that is even near zero. */
export const onScale = (value: number, what: MeterFunction): number => Math.log(Math.abs(value) + floorOf(what))

export const offScale = (x: number, what: MeterFunction): number => Math.exp(x) - floorOf(what)
/** Room beyond what a fault reads with every other part at its usual figure, in spreads of good boards there. Our choice. */
export const readingRoom = 1.5

/** Tips that slip land within this share of the picture's diagonal. Our choice: about three part lengths. */
const slipShare = 0.1
/** Leads exchanged or left where the step before had them, and the step after taken too soon, are what happens most. Our choice. */
const [likeliest, slipped, elsewhere] = [4, 2, 1]
/** Good boards drawn for each neighbouring placement. */
const draws = 40

type Place = { red: TestPoint; black: TestPoint; weight: number }

/** Nearest meaning first; several placements on the same nets are one. */
const placesNear = (board: BoardType, steps: readonly MeasureStep[], at: number): Place[] => {
  const point = (id: string): TestPoint | undefined => board.testPoints.find((one) => one.id === id)
  const [own, before, after] = [steps[at], steps[at - 1], steps[at + 1]]
  const [red, black] = [point(own?.red ?? ''), point(own?.black ?? '')]
  if (own === undefined || red === undefined || black === undefined) return []
  const placed = (step: MeasureStep, weight: number): Place[] => {
    const [one, other] = [point(step.red), point(step.black)]
    return one === undefined || other === undefined ? [] : [{ red: one, black: other, weight }]
  }
  const near = (from: TestPoint): TestPoint[] => {
    const picture = board.pictures.find(({ id }) => id === from.picture)
    const reach = picture === undefined ? 0 : slipShare * Math.hypot(picture.width, picture.height)
    return board.testPoints.filter((one) => one.picture === from.picture && one.net !== from.net && Math.hypot(one.x - from.x, one.y - from.y) <= reach)
  }
  const found: Place[] = [
    { red: black, black: red, weight: likeliest },
    ...[before, after].flatMap((step) => (step === undefined ? [] : placed(step, likeliest))),
    ...near(red).map((one) => ({ red: one, black, weight: slipped })), ...near(black).map((one) => ({ red, black: one, weight: slipped })),
    ...steps.flatMap((step) => placed(step, elsewhere)),
  ]
  const taken = new Set([`${red.net} ${black.net}`])
  return found.filter((place) => {
    const nets = `${place.red.net} ${place.black.net}`
    if (place.red.net === place.black.net || taken.has(nets)) return false
    taken.add(nets)
    return true
  })
}

const neighboursOf = (board: BoardType, steps: readonly MeasureStep[], drives: MeterDrives, accuracyAt?: AccuracyAt): Neighbour[][] => {
  const near = steps.map((_step, at) => placesNear(board, steps, at))
  const asked = steps.flatMap((step, at) => (near[at] ?? []).map((place) => ({ place, at, key: `${place.red.net} ${place.black.net} ${step.function}` })))
  const once = new Map(asked.map(({ key, place: { red, black }, at }) => [key, { red: red.net, black: black.net, function: steps[at]?.function ?? 'resistance' }]))
  const found = goodReadings(board, [...once.values()], seededRandom(1), { drives, draws, ...(accuracyAt === undefined ? {} : { accuracyAt }) })
  const readings = new Map([...once.keys()].map((key, index) => [key, found[index]]))
  const nets = (id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
  return steps.map((own, at) => asked.flatMap(({ place: { red, black, weight }, at: whose, key }): Neighbour[] => {
    const reading = readings.get(key)
    if (whose !== at || reading === undefined || !reading.ok || reading.limits === 'open') return []
    const { low, high } = boundsOf(reading.limits, own.function)
    if (high === null) return []
    const twin = steps.find((step) => step.function === own.function && nets(step.red) === red.net && nets(step.black) === black.net)
    return [{ red: twin?.red ?? red.id, black: twin?.black ?? black.id, step: twin?.id ?? null, exchanged: red.net === nets(own.black) && black.net === nets(own.red), low: low ?? 0, high, weight }]
  }))
}

/** Figures of each kind from one end of its drawn range to the other; a drift goes two ways. */
const figuresOf = (kind: FaultKind): { figures: number[]; share: number }[] => {
  const between = ([from, to]: readonly [number, number], count: number): number[] => Array.from({ length: count + 1 }, (_, at) => from * (to / from) ** (at / count))
  switch (kind) {
    case 'open': case 'reversed': return [{ figures: [1], share: 1 }]
    case 'short': return [{ figures: between(drawnRanges.shortOhms, 3), share: 1 }]
    case 'leaky': return [{ figures: between(drawnRanges.leakOhms, 8), share: 1 }]
    case 'drifted': return [{ figures: between(drawnRanges.driftFactors, 5), share: upwardShare }, { figures: between(drawnRanges.driftFactors, 5).map((one) => 1 / one), share: 1 - upwardShare }]
  }
}

const faultOf = (ref: string, pin: string | null, kind: FaultKind, figure: number): PartFault => {
  switch (kind) {
    case 'open': case 'reversed': return { ref, pin, kind }
    case 'short': case 'leaky': return { ref, pin, kind, ohms: figure }
    case 'drifted': return { ref, pin, kind, factor: figure }
  }
}

/** What a unit of weight (fault-priors.ts) comes to on a board that came in for repair: together one fault on a board of some twenty parts. Our choice. */
const faultsPerWeight = 1 / 140

const cellsOf = (board: BoardType, steps: readonly MeasureStep[], spread: readonly number[], drives: MeterDrives): FaultCell[] => {
  const nets = new Map(board.testPoints.map(({ id, net }) => [id, net]))
  const readingsWith = (fault: PartFault, options: NetworkOptions = {}): number[] => {
    const reader = readerOf(networkOf(board, [fault], options))
    return steps.map(({ red, black, function: what }) => {
      const found = read(reader, nets.get(red) ?? '', nets.get(black) ?? '', what, drives)
      return !found.ok ? NaN : found.value === 'overload' ? Infinity : found.value
    })
  }
  const fails = ({ limits, function: what }: MeasureStep, values: readonly number[], apart: number): Fails => {
    if (limits === undefined || values.some(Number.isNaN)) return 'perhaps'
    const inside = values.flatMap((value) => (value === Infinity ? [expectedInside(limits, 'overload', what)]
      : [-apart, 0, apart].map((off) => expectedInside(limits, offScale(onScale(value, what) + off, what), what))))
    return inside.every((one) => one) ? 'never' : inside.some((one) => one) ? 'perhaps' : 'always'
  }
  const priors = priorsOf(board)
  let family = -1
  const random = seededRandom(1)
  const ends: NetworkOptions[] = [{}, ...[15, 25, 35].map((celsius) => ({ celsius, spread: drawSpread(board, random) }))]
  return priors.flatMap(({ part, kind, weight }) => {
    const places = placesFor(part, kind)
    const pins = places.length === 0 ? placesOf(part).map(({ place }) => place) : places
    return pins.flatMap((pin) => {
      family += 1
      const own = family
      return figuresOf(kind).flatMap(({ figures, share }) => {
        // What is left where a part is open or reversed rests on all the others: drawn boards say how far it goes.
        const readings = figures.length === 1 ? ends.map((options) => readingsWith(faultOf(part.ref, pin, kind, 1), options))
          : figures.map((figure) => readingsWith(faultOf(part.ref, pin, kind, figure)))
        const cells = Math.max(1, figures.length - 1)
        return Array.from({ length: cells }, (_, at): FaultCell => {
          const both = figures.length === 1 ? readings : readings.slice(at, at + 2)
          const of = (which: number): number[] => both.map((one) => one[which] ?? NaN)
          return {
            family: own, prior: faultsPerWeight * (weight / pins.length) * (share / cells), low: steps.map((_step, which) => Math.min(...of(which))),
            high: steps.map((_step, which) => Math.max(...of(which))), fails: steps.map((step, which) => fails(step, of(which), readingRoom * (spread[which] ?? 0))),
          }
        })
      })
    })
  })
}

/** With limits in every step (computed ones filled in). `accuracyAt`: of the meter; a usual one's unless stated. Costs a second or two: for the worker. */
export const placementReadings = (board: BoardType, drives: MeterDrives = genericDrives, accuracyAt?: AccuracyAt): PlacementReadings => {
  const steps = stepsOfParts(board).filter(({ function: what }) => functionsRead.includes(what))
  const nets = new Map(board.testPoints.map(({ id, net }) => [id, net]))
  const own = goodReadings(board, steps.map(({ red, black, function: what }) => ({ red: nets.get(red) ?? '', black: nets.get(black) ?? '', function: what })), seededRandom(1), { drives, draws })
  const spread = steps.map(({ function: what }, at) => {
    const reading = own[at]
    if (reading === undefined || !reading.ok || reading.interval.low === 'overload' || reading.interval.high === 'overload') return 0.05
    return Math.max(0.02, (onScale(reading.interval.high, what) - onScale(reading.interval.low, what)) / 2)
  })
  return { steps: steps.map(({ id }) => id), neighbours: neighboursOf(board, steps, drives, accuracyAt), spread, cells: cellsOf(board, steps, spread, drives) }
}
