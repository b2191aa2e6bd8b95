/** The good circuit's operating point at one placement and range, with what each net answers to a current into each other. */
import type { Component } from './circuit'
import { substitute } from './eliminate'
import type { DriveRange } from './meter-drive'
import { operatingPoint, workspaceOf, type Workspace } from './newton'

/**
 * Driven through the source's ohms alone, its current limit left out. `ohms` is size × size, volts at one place per ampere into another,
 * both against `minus`; junctions are lines, constant + slope · volts between their ends, as the solution has them.
 */
export type GoodPoint = {
  range: DriveRange; plus: number; minus: number; volts: Float64Array; ohms: Float64Array
  own: Float64Array; constant: Float64Array; slope: Float64Array
  /** What each junction's exponentials carry there, A: how fast they leave the line. */
  forward: Float64Array; reverse: Float64Array
}

/** Makes good points of one component; null where none is found. */
export const goodPoints = (component: Component): ((plus: number, minus: number, range: DriveRange) => GoodPoint | null) => {
  const { size, junctions: j } = component
  const work: Workspace = workspaceOf(component)
  const column = new Float64Array(size)
  return (plus, minus, range) => {
    if (!operatingPoint(component, [{ plus, minus, amperes: range.volts / range.ohms, siemens: 1 / range.ohms }], minus, work)) return null
    const point: GoodPoint = {
      range, plus, minus, volts: work.volts.slice(), ohms: new Float64Array(size * size), own: work.own.slice(),
      constant: work.constant.slice(), slope: work.slope.slice(), forward: new Float64Array(j.count), reverse: new Float64Array(j.count),
    }
    for (let net = 0; net < size; net += 1) {
      if (net === minus) continue
      work.amperes.fill(0)
      work.amperes[net] = 1
      substitute(work.siemens, size, minus, work.sums, work.amperes, column)
      point.ohms.set(column, net * size)
    }
    for (let at = 0; at < j.count; at += 1) {
      const own = point.own[at] as number
      point.forward[at] = (j.forward[at] as number) * Math.exp((own - (j.forwardAt[at] as number)) / (j.forwardSlope[at] as number))
      point.reverse[at] = (j.reverse[at] as number) * Math.exp((-own - (j.reverseAt[at] as number)) / (j.reverseSlope[at] as number))
    }
    return point
  }
}
