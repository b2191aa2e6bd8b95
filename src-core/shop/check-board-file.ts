/** A board file held against readings of good boards: which single mistake in it would explain what they read. */
import type { BoardType } from '../board/board-type'
import { genericDrives, type MeterDrives } from '../circuit/meter-drive'
import { networkOf, type NetworkOptions } from '../circuit/network'
import { usualU } from '../circuit/good-limits'
import { offScale, onScale, perUnit } from '../circuit/placement-readings'
import { read, readerOf } from '../circuit/read'
import { seededRandom } from '../circuit/seeded-random'
import { drawSpread, type Spread } from '../circuit/spread'
import type { MeasuredValue, MeterFunction } from '../meter/reading'
import { corrected, type Corrected, type FileMistake, mistakeInWords, partsOf, structuralMistakes, valueMayBeWrong } from './file-mistakes'

/** `red` and `black` are test points; one value a good board, in any order. `U`: of the meter at these values (k = 2), SI; null: that of a usual one. */
export type GoodBoardReadings = { red: string; black: string; function: MeterFunction; values: readonly MeasuredValue[]; U: number | null }
/** `parts`: to look at first. `misfit`: what is left unexplained (about 1 a placement is chance). */
export type Suspect = { mistake: FileMistake; parts: string[]; says: string; misfit: number }
/** `fits`: the readings are within what the file allows, and no suspect is named. `odd`: placements outside it, by their place in the list. */
export type FileCheck = { fits: boolean; misfit: number; odd: number[]; suspects: Suspect[] }

type Placed = { red: string; black: string; what: MeterFunction; open: number; count: number; mean: number; sd: number; /** Of the meter, the same for all boards. */ shared: number }

/** A placement explains no more than this, so that one odd board or touch does not outweigh all others. Our choice. */
const mostLoss = 80
/** Where a reading of the file says nothing of its spread: the parts' usual tolerance. */
const usualSpread = 0.06

const [draws, coldest, warmest] = [24, 15, 30]
/** Explaining this much more than no mistake is no chance any more; candidates this close to the best are not told apart. Our choice. */
const [tells, alike] = [20, 6]
/** How unlikely each mistake is before anything is read, −2·ln of its share. Our choice: a value or a turned part is mistyped more often than a net. */
const rarity: Record<FileMistake['kind'], number> = { value: 5, turned: 3, absent: 6, model: 7, joined: 9, pin: 12 }
const lookedAtAgain = 12

/** What parts of one lot are off together, in the logarithm of the reading: no number of boards averages it away. Our choice. */
const [common, leastSpread] = [0.015, 0.02]

const placedOf = (board: BoardType, readings: readonly GoodBoardReadings[]): (Placed | null)[] => readings.map(({ red, black, function: what, values, U }) => {
  const net = (id: string): string | undefined => board.testPoints.find((point) => point.id === id)?.net
  const figures = values.flatMap((value) => (typeof value === 'number' ? [onScale(value, what)] : []))
  const [one, other] = [net(red), net(black)]
  if (values.length === 0 || one === undefined || other === undefined) return null
  const mean = figures.reduce((sum, x) => sum + x, 0) / Math.max(1, figures.length)
  const sd = figures.length < 2 ? 0 : Math.sqrt(figures.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (figures.length - 1))
  const value = figures.length === 0 ? 0 : offScale(mean, what)
  const shared = Math.hypot(common, (U ?? usualU({ function: what }, value)) / 2 * perUnit(value, what))
  return { red: one, black: other, what, open: values.length - figures.length, count: values.length, mean, sd, shared }
})

/** On the logarithmic scale; Infinity is overload, NaN where it cannot be computed. */
const readAll = ({ board, faults }: Corrected, placed: readonly (Placed | null)[], drives: MeterDrives, options: NetworkOptions = {}): number[] => {
  const reader = readerOf(networkOf(board, faults, options))
  return placed.map((at) => {
    if (at === null) return NaN
    const found = read(reader, at.red, at.black, at.what, drives)
    return !found.ok ? NaN : found.value === 'overload' ? Infinity : onScale(found.value, at.what)
  })
}

const lossAt = (at: Placed | null, expected: number, spread: number): number => {
  if (at === null || Number.isNaN(expected)) return 0
  const openShare = at.open / at.count
  if (expected === Infinity) return mostLoss * (1 - openShare)
  const boards = at.count - at.open
  if (boards === 0) return mostLoss
  const z = (at.mean - expected) / Math.hypot(Math.max(leastSpread, spread, at.sd) / Math.sqrt(boards), at.shared)
  return Math.min(mostLoss, z * z) * (1 - openShare) + mostLoss * openShare
}

type Drawn = { centre: number[]; spread: number[] }

/** What good boards of this file read, wherever in their tolerances their parts lie. */
const drawnOf = (of: Corrected, placed: readonly (Placed | null)[], drives: MeterDrives, spreads: readonly Spread[]): Drawn => {
  const all = spreads.map((spread, at) => readAll(of, placed, drives, { spread, celsius: coldest + (warmest - coldest) * at / spreads.length }))
  const nominal = readAll(of, placed, drives)
  return {
    centre: nominal,
    spread: placed.map((_, at) => {
      const values = all.flatMap((one) => (Number.isFinite(one[at]) ? [one[at] ?? 0] : []))
      const mean = values.reduce((sum, x) => sum + x, 0) / Math.max(1, values.length)
      return values.length < 2 ? usualSpread : Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1))
    }),
  }
}

const misfitOf = (placed: readonly (Placed | null)[], { centre, spread }: Drawn): number =>
  placed.reduce((sum, at, index) => sum + lossAt(at, centre[index] ?? NaN, spread[index] ?? usualSpread), 0)

/** Ten to the power of −3 to 3, close enough together for a part of usual tolerance; then closer about the best. */
const factors = Array.from({ length: 61 }, (_, at) => 10 ** ((at - 30) / 10)).filter((factor) => factor !== 1)
const finer = [-0.05, -0.025, 0.025, 0.05]

/**
 * Over the placements at hand, the more the better; a mistake that changes none of their readings cannot be seen. Costs a second or two for forty
 * parts and forty placements: for the worker.
 */
export const checkBoardFile = (board: BoardType, readings: readonly GoodBoardReadings[], drives: MeterDrives = genericDrives): FileCheck => {
  const placed = placedOf(board, readings)
  const random = seededRandom(1)
  const spreads = Array.from({ length: draws }, () => drawSpread(board, random))
  const asFiled = drawnOf({ board, faults: [] }, placed, drives, spreads)
  const quick = (mistake: FileMistake): number =>
    misfitOf(placed, { centre: readAll(corrected(board, mistake), placed, drives), spread: asFiled.spread }) + rarity[mistake.kind]
  const bestOf = (mistakes: readonly FileMistake[]): { mistake: FileMistake; misfit: number } | null =>
    mistakes.reduce<{ mistake: FileMistake; misfit: number } | null>((best, mistake) => {
      const misfit = quick(mistake)
      return best === null || misfit < best.misfit ? { mistake, misfit } : best
    }, null)
  const values = board.parts.filter(valueMayBeWrong).flatMap(({ ref }) => {
    const value = (factor: number): FileMistake => ({ kind: 'value', ref, factor })
    const rough = bestOf(factors.map(value))
    if (rough === null || rough.mistake.kind !== 'value') return []
    const { factor } = rough.mistake
    return [bestOf([rough.mistake, ...finer.map((step) => value(factor * 10 ** step))]) ?? rough]
  })
  const nothing = misfitOf(placed, asFiled)
  const tried = [...values, ...structuralMistakes(board).map((mistake) => ({ mistake, misfit: quick(mistake) }))]
    .filter(({ misfit }) => misfit < nothing).sort((a, b) => a.misfit - b.misfit).slice(0, lookedAtAgain)
  const again = tried.map(({ mistake }): Suspect => ({
    mistake, parts: partsOf(board, mistake), says: mistakeInWords(board, mistake),
    misfit: misfitOf(placed, drawnOf(corrected(board, mistake), placed, drives, spreads)) + rarity[mistake.kind],
  })).sort((a, b) => a.misfit - b.misfit)
  const least = again[0]?.misfit ?? Infinity
  const fits = nothing - least < tells
  return {
    fits, misfit: nothing, suspects: fits ? [] : again.filter(({ misfit }) => misfit - least <= alike),
    odd: placed.flatMap((at, index) => (lossAt(at, asFiled.centre[index] ?? NaN, asFiled.spread[index] ?? usualSpread) > 9 ? [index] : [])),
  }
}
