/** The operating point of one component of a circuit: Newton's method on its nodal equations, with limited junctions. */
import type { Component, Junctions } from './circuit'
import { eliminate, substitute } from './eliminate'
import { junctionAt, limitedMove, noFlow, steepest } from './junction-flow'

/** A current out of `minus` into `plus` (places in the component) with `siemens` beside it: Norton's form of a source. */
export type Drive = { plus: number; minus: number; amperes: number; siemens: number }

/** Newton's steps alone; with conductances across the junctions that are taken away by decades; with the drives turned up from nothing. */
export type Way = 'newton' | 'gmin' | 'source'
const everyWay: readonly Way[] = ['newton', 'gmin', 'source']

/** What a solution is worked out in; its `volts` hold the last one, which settled by `settledBy` (null: it did not). One at a time. */
export type Workspace = {
  settledBy: Way | null
  siemens: Float64Array; ground: Float64Array; sums: Float64Array; amperes: Float64Array; volts: Float64Array
  /** Of each junction: its own voltage, current, conductance seen from its ends, and how its current follows ln of its forward amperes. */
  own: Float64Array; through: Float64Array; slope: Float64Array; perForward: Float64Array
  /** Of each junction as the last solution has it: constant + slope · volts between its ends, A. */
  constant: Float64Array
}

export const workspaceOf = ({ size, junctions: { count } }: Component): Workspace => ({
  settledBy: null,
  siemens: new Float64Array(size * size), ground: new Float64Array(size), sums: new Float64Array(size), amperes: new Float64Array(size),
  volts: new Float64Array(size), own: new Float64Array(count), through: new Float64Array(count), slope: new Float64Array(count),
  perForward: new Float64Array(count), constant: new Float64Array(count),
})

/** Slopes a junction may still have moved when the solution counts: what is left is half its square, 10⁻¹² of a slope. */
const settledSlopes = 1e-6
const usualMostSteps = 60

const flow = noFlow()

/** Current and conductance of every junction at its own voltage; `extra` siemens lie across each. */
const evaluate = (j: Junctions, work: Workspace, extra: number): void => {
  for (let at = 0; at < j.count; at += 1) {
    junctionAt(j, at, work.own[at] as number, extra, flow)
    const damping = 1 / (1 + flow.siemens * (j.series[at] as number))
    work.through[at] = flow.amperes
    work.slope[at] = flow.siemens * damping
    work.perForward[at] = flow.forward * damping
  }
}

/** Moves every junction to what the linearised circuit asks of it; the largest move in slopes. */
const move = (j: Junctions, work: Workspace, most: number, first: boolean): number => {
  let largest = 0
  for (let at = 0; at < j.count; at += 1) {
    const own = work.own[at] as number
    const series = j.series[at] as number
    const ends = (work.volts[j.a[at] as number] as number) - (work.volts[j.c[at] as number] as number)
    const through = (work.through[at] as number) + (work.slope[at] as number) * (ends - own - series * (work.through[at] as number))
    const next = limitedMove(j, at, own, ends - series * through, most, first)
    const moved = Math.abs(next - own) / steepest(j, at)
    // A NaN counts as a move.
    if (!(moved <= largest)) largest = moved
    work.own[at] = next
  }
  return largest
}

const solveLinear = (component: Component, drives: readonly Drive[], share: number, reference: number, work: Workspace): boolean => {
  const { size, junctions: j } = component
  work.siemens.set(component.siemens)
  work.amperes.fill(0)
  for (let at = 0; at < j.count; at += 1) {
    const slope = work.slope[at] as number
    const through = work.through[at] as number
    const constant = through - slope * ((work.own[at] as number) + (j.series[at] as number) * through)
    work.constant[at] = constant
    const place = j.at[at] as number
    work.siemens[place] = (work.siemens[place] as number) + slope
    work.amperes[j.a[at] as number] = (work.amperes[j.a[at] as number] as number) - constant
    work.amperes[j.c[at] as number] = (work.amperes[j.c[at] as number] as number) + constant
  }
  for (const drive of drives) {
    const place = Math.min(drive.plus, drive.minus) * size + Math.max(drive.plus, drive.minus)
    work.siemens[place] = (work.siemens[place] as number) + drive.siemens
    work.amperes[drive.plus] = (work.amperes[drive.plus] as number) + drive.amperes * share
    work.amperes[drive.minus] = (work.amperes[drive.minus] as number) - drive.amperes * share
  }
  if (!eliminate(work.siemens, size, reference, work.ground, work.sums)) return false
  substitute(work.siemens, size, reference, work.sums, work.amperes, work.volts)
  return true
}

/** From the junction voltages in `work`; leaves volts, and the elimination of the linearised circuit there. False: not settled. */
const iterate = (
  component: Component, drives: readonly Drive[], reference: number, work: Workspace, cold: boolean,
  { extra = 0, share = 1, mostSteps = usualMostSteps } = {},
): boolean => {
  let most = 0
  for (const { amperes } of drives) most += Math.abs(amperes)
  for (let step = 0; step < mostSteps; step += 1) {
    evaluate(component.junctions, work, extra)
    if (!solveLinear(component, drives, share, reference, work)) return false
    const moved = move(component.junctions, work, most * share, cold && step === 0)
    if (moved <= settledSlopes) return true
    if (Number.isNaN(moved)) return false
  }
  return false
}

const extraSiemens = [1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10, 1e-11, 1e-12, 0]
const sourceShares = [1e-3, 1e-2, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1]

export type Settings = {
  /** From the junction voltages in the workspace, not from zero. */
  warm?: boolean
  /** Of each of Newton's iterations. */
  mostSteps?: number
  /** Which are tried, in the order of `Way`; all unless stated. */
  ways?: readonly Way[]
}

/** The junction voltages stand at the start of it. */
const settles = (way: Way, component: Component, drives: readonly Drive[], reference: number, work: Workspace, cold: boolean, steps: { mostSteps?: number }): boolean => {
  switch (way) {
    case 'newton': return iterate(component, drives, reference, work, cold, steps)
    case 'gmin': return extraSiemens.every((extra) => iterate(component, drives, reference, work, false, { extra, ...steps }))
    case 'source': return sourceShares.every((share) => iterate(component, drives, reference, work, false, { share, ...steps }))
  }
}

/**
 * Solves for the drives, `reference` at 0 V. Where Newton's steps alone do not settle: with conductances across the junctions that are
 * taken away by decades, then with the drives turned up from nothing. False where that does not settle either: what stands in the workspace is then
 * no solution.
 */
export const operatingPoint = (
  component: Component, drives: readonly Drive[], reference: number, work: Workspace, { warm = false, mostSteps, ways = everyWay }: Settings = {},
): boolean => {
  const steps = mostSteps === undefined ? {} : { mostSteps }
  work.settledBy = null
  for (const way of everyWay) {
    if (!ways.includes(way)) continue
    const cold = !(warm && way === 'newton')
    if (cold) work.own.fill(0)
    if (!settles(way, component, drives, reference, work, cold, steps)) continue
    work.settledBy = way
    return true
  }
  return false
}
