/** How much one meter's readings scatter, by function and range: within a touch, and between fresh touches of one placement. */
import { z } from 'zod'
import { meterFunction, type MeterFunction } from '../meter/reading'
import type { Group, Pooled } from './pooled'

/** The sums that pooling needs: Σ(n − 1)·s², Σ(n − 1), and how many groups went in. */
const sums = z.strictObject({ squares: z.number().nonnegative(), degrees: z.number().int().positive(), groups: z.number().int().positive() })
type Sums = z.infer<typeof sums>

/** SI; `range` null where the meter does not tell it. */
const entry = z.strictObject({ function: meterFunction, range: z.number().nullable(), repeatability: sums.nullable(), contact: sums.nullable() })
export const scatter = z.array(entry)
export type Scatter = z.infer<typeof scatter>

export const noScatter: Scatter = []

export type Place = { function: MeterFunction; range: number | null }
type Kind = 'repeatability' | 'contact'

/** Beyond so many degrees of freedom the sums are halved first, so that what the meter did of late counts most (common practice, no source). */
const mostDegrees = 400

const withSums = (before: Sums | null, { sd, count }: Group): Sums => {
  const [squares, degrees] = [(count - 1) * sd ** 2, count - 1]
  if (before === null) return { squares, degrees, groups: 1 }
  if (before.degrees + degrees <= mostDegrees) return { squares: before.squares + squares, degrees: before.degrees + degrees, groups: before.groups + 1 }
  const kept = Math.max(1, Math.floor(before.degrees / 2))
  return { squares: before.squares * (kept / before.degrees) + squares, degrees: kept + degrees, groups: Math.max(1, Math.floor(before.groups / 2)) + 1 }
}

const isAt = ({ function: fn, range }: Place) => (each: Place): boolean => each.function === fn && each.range === range

/** With one group more; a group of one reading tells nothing. */
export const withGroup = (before: Scatter, place: Place, kind: Kind, group: Group): Scatter => {
  if (group.count < 2) return before
  const there = before.find(isAt(place)) ?? { function: place.function, range: place.range, repeatability: null, contact: null }
  const next = { ...there, [kind]: withSums(there[kind], group) }
  return [...before.filter((each) => each !== there), next]
}

/** Null: none is known there yet. */
export const pooledAt = (of: Scatter, place: Place, kind: Kind): Pooled | null => {
  const found = of.find(isAt(place))?.[kind] ?? null
  return found === null ? null : { sd: Math.sqrt(found.squares / found.degrees), degrees: found.degrees, groups: found.groups }
}
