/** The good circuit's operating point at one placement and range, with what each net answers to a current into each other. */
import type { Table } from './changes'
import type { Component } from './circuit'
import { substitute } from './eliminate'
import type { DriveRange } from './meter-drive'
import { operatingPoint, workspaceOf, type Workspace } from './newton'

/**
 * Driven through the source's ohms alone, its current limit left out. `ohms` has a row for each pair of the table and a last one for the
 * tips: volts at every place per ampere into the pair's first and out of its second; junctions are lines, constant + slope · volts between their ends, as the solution has them.
 */
export type GoodPoint = {
  range: DriveRange; plus: number; minus: number; volts: Float64Array; ohms: Float64Array
  own: Float64Array; constant: Float64Array; slope: Float64Array
  /** What each junction's exponentials carry there, A: how fast they leave the line. */
  forward: Float64Array; reverse: Float64Array
}

/** Makes good points of one component; null where none is found. */
export const goodPoints = (component: Component, table: Table): ((plus: number, minus: number, range: DriveRange) => GoodPoint | null) => {
  const { size, junctions: j } = component
  const work: Workspace = workspaceOf(component)
  const pairs = table.a.length
  return (plus, minus, range) => {
    if (!operatingPoint(component, [{ plus, minus, amperes: range.volts / range.ohms, siemens: 1 / range.ohms }], minus, work)) return null
    const point: GoodPoint = {
      range, plus, minus, volts: work.volts.slice(), ohms: new Float64Array((pairs + 1) * size), own: work.own.slice(),
      constant: work.constant.slice(), slope: work.slope.slice(), forward: new Float64Array(j.count), reverse: new Float64Array(j.count),
    }
    // A pair is driven as one: from two places driven apart, the few ohms between them would be the difference of megohms.
    for (let pair = 0; pair <= pairs; pair += 1) {
      work.amperes.fill(0)
      work.amperes[pair < pairs ? table.a[pair] as number : plus] = 1
      work.amperes[pair < pairs ? table.b[pair] as number : minus] = -1
      substitute(work.siemens, size, minus, work.sums, work.amperes, point.ohms.subarray(pair * size, (pair + 1) * size))
    }
    for (let at = 0; at < j.count; at += 1) {
      const own = point.own[at] as number
      point.forward[at] = (j.forward[at] as number) * Math.exp((own - (j.forwardAt[at] as number)) / (j.forwardSlope[at] as number))
      point.reverse[at] = (j.reverse[at] as number) * Math.exp((-own - (j.reverseAt[at] as number)) / (j.reverseSlope[at] as number))
    }
    return point
  }
}
