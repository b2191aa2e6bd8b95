/** Propagation of distributions by drawing, as JCGM 101:2008 does it: an answer that owes nothing to the coverage factors under test. */
import { seededRandom, type Random } from '../../../fixtures/touches/random'
import type { Component } from '../../../src-core/metrology/component'
import { valueBudget, type ValueFacts } from '../../../src-core/metrology/value-budget'
import { randomFacts } from './random-facts'

/** Marsaglia and Tsang's way for shapes of 1 and more (from memory); mean `shape`. */
const gamma = (random: Random, shape: number): number => {
  const d = shape - 1 / 3
  const c = 1 / Math.sqrt(9 * d)
  for (;;) {
    const x = random.normal()
    const v = (1 + c * x) ** 3
    if (v > 0 && Math.log(1 - random.even()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v
  }
}

/** JCGM 101:2008, table 1 and 6.4.9 (from memory): a scatter known from ν + 1 readings gives a scaled and shifted t. */
const drawer = (part: Component, random: Random): (() => number) => {
  const { spread, sensitivity: c, degrees } = part
  switch (spread.shape) {
    case 'normal': {
      if (degrees === null) return () => c * spread.standard * random.normal()
      return () => c * spread.standard * random.normal() / Math.sqrt(2 * gamma(random, degrees / 2) / degrees)
    }
    case 'rectangular': return () => c * spread.halfWidth * (2 * random.even() - 1)
    case 'triangular': return () => c * spread.halfWidth * (random.even() + random.even() - 1)
    case 'trapezoidal': return () => c * spread.halfWidth * ((1 + spread.edge) * (random.even() - 0.5) + (1 - spread.edge) * (random.even() - 0.5))
    case 'u-shaped': return () => c * spread.halfWidth * Math.sin(2 * Math.PI * random.even())
  }
}

/**
 * Half-width about the measured value that holds the share p of the draws, and its own standard deviation from the number of draws.
 * Every part lies evenly about the measured value, so both bounds are one.
 */
export const drawnHalfWidth = (parts: readonly Component[], p: number, trials: number, seed: number): { U: number; sd: number } => {
  const random = seededRandom(seed)
  const distances = new Float64Array(trials)
  for (const part of parts) {
    const draw = drawer(part, random)
    for (let i = 0; i < trials; i += 1) distances[i] = (distances[i] ?? 0) + draw()
  }
  for (let i = 0; i < trials; i += 1) distances[i] = Math.abs(distances[i] ?? 0)
  distances.sort()
  const at = (share: number): number => distances[Math.ceil(share * trials) - 1] ?? NaN
  const oneSd = Math.sqrt(p * (1 - p) / trials)
  return { U: at(p), sd: (at(p + 5 * oneSd) - at(p - 5 * oneSd)) / 10 }
}

/** Numerical tolerance δ of a standard uncertainty given to two significant digits: half a unit of the second. JCGM 101:2008, 7.9.2 (from memory). */
export const numericalTolerance = (u: number): number => 0.5 * 10 ** (Math.floor(Math.log10(u)) - 1)

/**
 * The item itself, drawn from what the bench knows: shown, less the leads as the lead check found them where they were not taken off, less
 * all that may be wrong with it. Share of items within U of the value.
 */
export const itemsWithin = (facts: ValueFacts, trials: number, seed: number): number => {
  const budget = valueBudget(facts)
  if ('refused' in budget) throw new Error(budget.refused)
  const { lead } = facts
  if (lead === null || lead === 'measured') throw new Error('The leads of this value are not known.')
  const random = seededRandom(seed)
  const errors = budget.components.filter(({ what }) => what !== 'lead resistance').map((part) => drawer(part, random))
  let within = 0
  for (let i = 0; i < trials; i += 1) {
    const leads = lead.ohms + lead.standard * random.normal()
    const item = facts.shown - leads - errors.reduce((sum, draw) => sum + draw(), 0)
    if (Math.abs(facts.value - item) <= budget.U) within += 1
  }
  return within / trials
}

export type Agreement = { seed: number; U: number; drawn: number; apart: number; allowed: number }

/** One random budget, both ways, about its best estimate. Allowed: δ, and three standard deviations of what was drawn. */
export const agreementOf = (seed: number, trials: number): Agreement => {
  const budget = valueBudget(randomFacts(seededRandom(seed)))
  if ('refused' in budget) throw new Error(budget.refused)
  const drawn = drawnHalfWidth(budget.components, budget.coverage.p, trials, seed + 1)
  const U = budget.coverage.k * budget.combined
  return { seed, U, drawn: drawn.U, apart: Math.abs(U - drawn.U), allowed: numericalTolerance(budget.combined) + 3 * drawn.sd }
}
