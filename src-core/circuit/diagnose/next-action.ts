/** Which reading to take next: how much each allowed placement tells of what is left, for the effort it takes. */
import type { MeterFunction } from '../../meter/reading'
import type { Action, Placement } from '../diagnosis'
import type { Allowed, Gauge } from './allowed-placements'
import type { Survey } from './survey'

/** In units of one touch at the function the dial stands at. The shop's to set. */
export type EffortSettings = {
  touch: number; dialTurn: number; leadMove: number
  /** A reading that is air needs a press. */
  confirmation: number
  lift: number; replace: number
  /** Least information that repays a unit of effort, bits. */
  leastBits: number
}
export const usualEffortSettings: EffortSettings = { touch: 1, dialTurn: 0.5, leadMove: 0.1, confirmation: 0.5, lift: 10, replace: 30, leastBits: 0.02 }

/** "for an effort of 1.6 touches", "62 %": the numbers of a sentence that says why. */
export const effortInWords = (effort: number): string => `for an effort of ${Number(effort.toFixed(1))} ${effort.toFixed(1) === '1.0' ? 'touch' : 'touches'}`
export const percentInWords = (share: number): string => (share < 0.005 ? 'under 1 %' : share >= 0.995 ? 'over 99 %' : `${(100 * share).toFixed(0)} %`)

/** A state that is left: a base, or a base with one more fault. `cell` is its column in the survey, −1 for the base alone. */
export type Remaining = { survey: Survey; cell: number; weight: number; words: string }

export type Candidate = { action: Action; bits: number; effort: number; usual: number; other: number; against: Remaining | null; at: number }

/** A rough reading may be this share of its change off. */
const roughShare = 0.2
/** An air value told from a figure is worth this many e-folds: one in a hundred is wrong. */
const airWorth = Math.log(100)

/** Bits that a reading tells of which state it is; pairwise by Bhattacharyya's distance (a lower bound: Kolchinsky and Tracey 2017, from memory). */
export const bitsOf = (states: readonly Remaining[], at: number, gauge: Gauge): number => {
  const count = states.length
  const [y, sd, weight] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)]
  let total = 0
  let varied = false
  states.forEach(({ survey, cell, weight: own }, which) => {
    const base = survey.y[at] ?? NaN
    const then = cell < 0 ? base : survey.with[at]?.[cell] ?? NaN
    const seen = Number.isNaN(then) ? gauge.ceiling + 1 : then
    const u = gauge.sigma(Math.min(seen, gauge.ceiling))
    y[which] = seen
    sd[which] = Math.sqrt(u * u + (survey.spread[at] ?? 0) ** 2 + (roughShare * (Math.min(seen, gauge.ceiling) - Math.min(base, gauge.ceiling))) ** 2)
    weight[which] = own
    total += own
    if (Math.abs(seen - (y[0] as number)) > 0.3 * u) varied = true
  })
  if (!varied || !(total > 0)) return 0
  let nats = 0
  for (let k = 0; k < count; k += 1) {
    let mix = 0
    for (let j = 0; j < count; j += 1) {
      const [yk, yj] = [y[k] as number, y[j] as number]
      const [airK, airJ] = [yk > gauge.ceiling, yj > gauge.ceiling]
      let distance = 0
      if (airK !== airJ) distance = airWorth
      else if (!airK) {
        const [a, b] = [sd[k] as number, sd[j] as number]
        const sum = a * a + b * b
        distance = (yk - yj) ** 2 / (4 * sum) + 0.5 * Math.log(sum / (2 * a * b))
      }
      mix += (weight[j] as number) / total * Math.exp(-distance)
    }
    nats -= (weight[k] as number) / total * Math.log(mix)
  }
  return nats / Math.LN2
}

const shareOfAir = (states: readonly Remaining[], at: number, gauge: Gauge): number => {
  let [air, total] = [0, 0]
  for (const { survey, cell, weight } of states) {
    const y = cell < 0 ? survey.y[at] ?? NaN : survey.with[at]?.[cell] ?? NaN
    total += weight
    if (y > gauge.ceiling) air += weight
  }
  return total > 0 ? air / total : 0
}

/** Effort of a placement after another; null: the first of all. */
export const effortOf = (placement: Placement, before: Placement | null, air: number, settings: EffortSettings): number => {
  const moved = before === null ? 2 : Number(placement.red !== before.red) + Number(placement.black !== before.black)
  const turned = before === null || before.function !== placement.function
  return settings.touch + moved * settings.leadMove + (turned ? settings.dialTurn : 0) + air * settings.confirmation
}

const mostStates = 20

/** Placements that tell anything, by bits for the effort; `taken` says which were taken already. */
export const candidatesOf = (
  allowed: readonly Allowed[], states: readonly Remaining[], taken: (at: number) => boolean, before: Placement | null,
  gaugeOf: (what: MeterFunction) => Gauge, settings: EffortSettings,
): Candidate[] => {
  const heavy = [...states].sort((a, b) => b.weight - a.weight).slice(0, mostStates)
  const [usual] = heavy
  if (usual === undefined) return []
  const found = allowed.flatMap(({ placement, nets }, at): Candidate[] => {
    if (taken(at)) return []
    const gauge = gaugeOf(nets.function)
    const bits = bitsOf(heavy, at, gauge)
    if (!(bits > 0)) return []
    const effort = effortOf(placement, before, shareOfAir(heavy, at, gauge), settings)
    return [{ action: { kind: 'measure', placement }, bits, effort, usual: usual.survey.y[at] ?? NaN, other: NaN, against: null, at }]
  })
  return found.sort((a, b) => b.bits / b.effort - a.bits / a.effort)
}
