/** The coverage factor: by how much the combined standard uncertainty is multiplied so that 95 % of what the value may be is covered. */
import { type Bounded, boundedShare, boundedUncertainty } from './bounded-sum'
import { type Component, contribution } from './component'
import { normalQuantile, normalShare } from './normal'
import { whereItReaches } from './root'
import { studentFactor, studentShare } from './student'

export const coverageProbability = 0.95

/** How the value is spread about what was measured. `degrees` null: infinitely many. */
export type ValueSpread =
  | { kind: 'student'; standard: number; degrees: number | null }
  | { kind: 'bounded'; part: Bounded; rest: number }

export const partShapes = ['rectangular', 'trapezoidal', 'triangular', 'u-shaped'] as const
type PartShape = (typeof partShapes)[number]

export type Coverage = {
  k: number
  spread: ValueSpread
  /**
   * How k was found: Student's t; or a bounded part counted as it is, with the rest beside it. `dominated`: that rest is at most 0.3 of it,
   * so that it rules the result as EA-4/02 says.
   */
  by: 'student' | 'bounded' | 'dominated'
  /** The bounded part alone: its names, and its own coverage factor as EA-4/02 takes it; null by Student's t. */
  part: { what: string[]; shape: PartShape; k: number } | null
}

/** EA-4/02 M:2022, S9.14: up to this ratio of all the rest to the greatest part, the greatest one alone gives the distribution (from memory). */
const dominatedUpTo = 0.3
/** Under this share of the rest a bounded part changes no bound by its shape (the fourth power of it at most): it is counted by its size alone. */
const shapeMatters = 0.02
/** A second rectangular part smaller than this share of the first changes its shape by nothing that shows. */
const secondMatters = 0.02
/** Smaller than this, it changes U by about 1 %: it is counted, but not named beside the first. */
const secondNamed = 0.25

type Piece = { what: string; u: number; degrees: number; bounded: Bounded | null }

const boundedOf = ({ spread, sensitivity }: Component): Bounded | null => {
  const c = Math.abs(sensitivity)
  switch (spread.shape) {
    case 'normal': return null
    case 'rectangular': return { kind: 'rectangles', a: c * spread.halfWidth, b: 0 }
    case 'triangular': return { kind: 'rectangles', a: c * spread.halfWidth / 2, b: c * spread.halfWidth / 2 }
    case 'trapezoidal': return { kind: 'rectangles', a: c * spread.halfWidth * (1 + spread.edge) / 2, b: c * spread.halfWidth * (1 - spread.edge) / 2 }
    case 'u-shaped': return { kind: 'arc-sine', a: c * spread.halfWidth }
  }
}

const shapeOf = (part: Bounded): PartShape =>
  (part.kind === 'arc-sine' ? 'u-shaped' : part.b === 0 ? 'rectangular' : part.a === part.b ? 'triangular' : 'trapezoidal')

const rootSum = (pieces: readonly { u: number }[]): number => Math.hypot(...pieces.map(({ u }) => u))

/** Welch–Satterthwaite, JCGM 100:2008, equation (G.2b): ν = u⁴ / Σ(u_i⁴/ν_i). Infinity where every part is exactly known. */
export const effectiveDegrees = (parts: readonly { u: number; degrees: number }[]): number => {
  const sum = parts.reduce((all, { u, degrees }) => all + u ** 4 / degrees, 0)
  return sum === 0 ? Infinity : rootSum(parts) ** 4 / sum
}

/**
 * Whole degrees of freedom: stated to one decimal, then cut to the whole number below, as JCGM 100:2008, G.4.1 allows and its own
 * examples do (from memory: 18.97 is stated as 19.0, and 16.7 is taken as 16).
 */
export const wholeDegrees = (degrees: number): number => (degrees === Infinity ? degrees : Math.max(1, Math.floor(Math.round(degrees * 10) / 10)))

/** Coverage factor of a bounded part alone: 0.95·√3 for a rectangle, EA-4/02 M:2022, S9.14 and S10.13 (from memory). */
export const boundedFactor = (part: Bounded, p: number): number => {
  if (part.kind === 'arc-sine') return Math.SQRT2 * Math.sin(p * Math.PI / 2)
  const edge = (part.a - part.b) / (part.a + part.b)
  const share = p / (2 - p) < edge ? p * (1 + edge) / 2 : 1 - Math.sqrt((1 - p) * (1 - edge ** 2))
  return share / Math.sqrt((1 + edge ** 2) / 6)
}

/** The largest bounded part; the two largest rectangular ones together where that is more: they make a trapezoid. */
const greatest = (pieces: readonly Piece[]): { part: Bounded; from: Piece[] } | null => {
  const bounded = pieces.filter((piece) => piece.bounded !== null && piece.u > 0).sort((x, y) => y.u - x.u)
  const [first] = bounded
  if (first?.bounded == null) return null
  const flat = bounded.flatMap((piece) => (piece.bounded?.kind === 'rectangles' && piece.bounded.b === 0 ? [{ piece, a: piece.bounded.a }] : []))
  const [one, two] = flat
  if (one !== undefined && two !== undefined && two.a >= secondMatters * one.a && Math.hypot(one.piece.u, two.piece.u) >= first.u) {
    return { part: { kind: 'rectangles', a: one.a, b: two.a }, from: [one.piece, two.piece] }
  }
  return { part: first.bounded, from: [first] }
}

/** A part too small for its shape to matter, or none, beside the rest: Student's t of the rest's degrees of freedom. */
const byStudent = (pieces: readonly Piece[], { rest, degrees, small }: { rest: number; degrees: number; small: number }, p: number): Coverage => {
  const t = studentFactor(p, degrees)
  const standard = Math.hypot(rest, small * normalQuantile((1 + p) / 2) / t)
  const combined = rootSum(pieces)
  return { k: combined === 0 || small === 0 ? t : t * standard / combined, by: 'student', part: null, spread: { kind: 'student', standard, degrees: degrees === Infinity ? null : degrees } }
}

/** Share below `distance` from the measured value. */
export const shareBelow = (spread: ValueSpread, distance: number): number => {
  if (spread.kind === 'bounded') return boundedShare(distance, spread.part, spread.rest)
  if (spread.standard === 0) return distance < 0 ? 0 : 1
  const t = distance / spread.standard
  return spread.degrees === null ? normalShare(t) : studentShare(t, spread.degrees)
}

/**
 * Factor k for the probability p. The greatest bounded part (or a trapezoid of the two largest rectangular ones) is counted with its own shape
 * and the rest beside it as a normal distribution, widened by Student's t where the rest has few degrees of freedom (JCGM 100:2008, G.4):
 * as the rest falls to nothing, k falls to the factor of EA-4/02 (1.65 for a rectangle), and as the rest comes to be all there is, k rises to
 * its Student's t.
 */
export const coverageOf = (components: readonly Component[], p = coverageProbability): Coverage => {
  const pieces = components.map((each): Piece => ({ what: each.what, u: contribution(each), degrees: each.degrees ?? Infinity, bounded: boundedOf(each) }))
  const found = greatest(pieces)
  const others = pieces.filter((piece) => found === null || !found.from.includes(piece))
  const degrees = wholeDegrees(effectiveDegrees(others))
  const uRest = rootSum(others)
  const u = found === null ? 0 : boundedUncertainty(found.part)
  if (found === null || u < shapeMatters * uRest) return byStudent(pieces, { rest: uRest, degrees, small: u }, p)
  const rest = degrees === Infinity ? uRest : uRest * studentFactor(p, degrees) / normalQuantile((1 + p) / 2)
  const spread: ValueSpread = { kind: 'bounded', part: found.part, rest }
  const furthest = 2 * (Math.SQRT2 * Math.sqrt(3) * u + 40 * rest)
  const U = whereItReaches((x) => shareBelow(spread, x), (1 + p) / 2, 0, furthest)
  const [first, second] = found.from
  const { part } = found
  const aloneIn = part.kind === 'rectangles' && second !== undefined && part.b < secondNamed * part.a
  const named = aloneIn ? { part: { ...part, b: 0 }, from: [first] } : found
  return {
    k: U / rootSum(pieces), spread, by: rest <= dominatedUpTo * u ? 'dominated' : 'bounded',
    part: { what: named.from.flatMap((piece) => piece?.what ?? []), shape: shapeOf(named.part), k: boundedFactor(named.part, p) },
  }
}
