/** Which single faults of a board a placement shows: those whose reading leaves the limits of a good board. */
import type { BoardType } from '../board/board-type'
import type { Limits } from '../metrology/limits'
import { expectedInside } from './failed-steps'
import type { Fault, PartFault } from './faults'
import { genericDrives, type MeterDrives } from './meter-drive'
import type { NetPlacement } from './net-placements'
import { networkOf } from './network'
import { read, readerOf } from './read'

/** `readings` as `readingsWith` gives them. */
export type ShownFault = { fault: PartFault; readings: Float64Array; /** 1 where it shows. */ shows: Uint8Array }

/** Parts that are not named at their nominal values, at 25 °C. SI; Infinity is overload, NaN where it cannot be computed. */
export const readingsWith = (board: BoardType, faults: readonly Fault[], placements: readonly NetPlacement[], drives: MeterDrives = genericDrives): Float64Array => {
  const reader = readerOf(networkOf(board, faults))
  return Float64Array.from(placements, (at) => {
    const found = read(reader, at.red, at.black, at.function, drives)
    return !found.ok ? NaN : found.value === 'overload' ? Infinity : found.value
  })
}

/** A placement without limits shows nothing. */
export const shownFaults = (
  read: readonly { fault: PartFault; readings: Float64Array }[], placements: readonly NetPlacement[], limits: readonly (Limits | null)[],
): ShownFault[] => read.map(({ fault, readings }) => ({ fault, readings, shows: Uint8Array.from(placements, (at, index) => {
  const [own, value] = [limits[index] ?? null, readings[index] ?? NaN]
  return own === null || Number.isNaN(value) || expectedInside(own, value === Infinity ? 'overload' : value, at.function) ? 0 : 1
}) }))

/** What a placement is worth beside what it shows: more is better. */
export type Worth = (index: number) => number

/**
 * Placements that together show every fault that any of them shows: always the one that shows most of what is left, of several the one of
 * most worth; then without those that the others make needless. Ascending.
 */
export const coveringSet = (shown: readonly { shows: Uint8Array }[], count: number, worth: Worth): number[] => {
  const chosen: number[] = []
  let left = shown.filter(({ shows }) => shows.includes(1))
  while (left.length > 0) {
    const score = (index: number): number => left.reduce((sum, { shows }) => sum + (shows[index] ?? 0), 0)
    let [best, most] = [-1, 0]
    for (let index = 0; index < count; index += 1) {
      const now = score(index)
      if (now > most || (now === most && now > 0 && worth(index) > worth(best))) { best = index; most = now }
    }
    chosen.push(best)
    left = left.filter(({ shows }) => shows[best] !== 1)
  }
  const needed = chosen.reduceRight<number[]>((kept, index) => {
    const others = kept.filter((one) => one !== index)
    const needless = shown.every(({ shows }) => shows[index] !== 1 || others.some((one) => shows[one] === 1))
    return needless ? others : kept
  }, [...chosen])
  return needed.sort((a, b) => a - b)
}
