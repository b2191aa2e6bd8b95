/**
 * The operating point of a circuit with a few elements changed, from that of the good one: only the elements that changed and the junctions
 * that leave their line are unknowns; all else answers through the good circuit's ohms (Sherman, Morrison and Woodbury; from memory).
 */
import type { Ports, Table } from './changes'
import type { Component } from './circuit'
import type { GoodPoint } from './good-point'
import { junctionAt, limitedMove, noFlow, steepest } from './junction-flow'
import { solveSmall } from './small-dense'

/** At the tips, V and A. */
export type Found = { volts: number; amperes: number }

/** Share of the reading that junctions left on their lines may cost, each. */
const leastEffect = 1e-13
/** Slopes such a junction may move by itself, unseen. */
const leastMove = 1e-8
const settledSlopes = 1e-6
const mostSteps = 40

/** Finds points of one component, with at most `mostPorts` elements changed at once. */
export const changedPoints = (
  { size, resistances, junctions }: Component, { junctions: table, a: first, b: second, pairOfResistance, pairOfJunction }: Table, mostPorts: number,
): ((good: GoodPoint, ports: Ports | null, found: Found) => boolean) => {
  const own = junctions.count
  const tips = first.length
  const most = own + mostPorts + 1
  // Of each unknown: its row of ohms, its junction (−1: a line from the start), its current less the good circuit's as constant + slope · volts.
  const [row, junction] = [new Int32Array(most), new Int32Array(most)]
  const [constant, slope, voltage, ownVolts] = [new Float64Array(most), new Float64Array(most), new Float64Array(most), new Float64Array(most)]
  const [through, steep, fresh] = [new Float64Array(most), new Float64Array(most), new Uint8Array(most)]
  const [matrix, right, ohms, goodVolts] = [new Float64Array(most * most), new Float64Array(most), new Float64Array(most * most), new Float64Array(most)]
  const [inside, shift] = [new Uint8Array(own), new Float64Array(size)]
  const flow = noFlow()
  let count = 0
  let good: GoodPoint

  const push = (pair: number, which: number): number => {
    const z = good.ohms
    const at = count
    const [from, to] = pair === tips ? [good.plus, good.minus] : [first[pair] as number, second[pair] as number]
    row[at] = pair * size
    junction[at] = which
    goodVolts[at] = (good.volts[from] as number) - (good.volts[to] as number)
    for (let other = 0; other <= at; other += 1) {
      const joint = (z[(row[other] as number) + from] as number) - (z[(row[other] as number) + to] as number)
      ohms[at * most + other] = joint
      ohms[other * most + at] = joint
    }
    count += 1
    return at
  }
  const pushLine = (pair: number, amperes: number, siemens: number): void => {
    const at = push(pair, -1)
    constant[at] = amperes
    slope[at] = siemens
  }

  const begin = (ports: Ports | null): void => {
    count = 0
    inside.fill(0)
    if (ports === null) return
    for (const at of ports.goneResistances) pushLine(pairOfResistance[at] as number, 0, -(resistances.siemens[at] as number))
    for (const at of ports.goneJunctions) {
      inside[at] = 1
      pushLine(pairOfJunction[at] as number, -(good.constant[at] as number), -(good.slope[at] as number))
    }
    for (const { pair, siemens } of ports.newResistances) pushLine(pair, 0, siemens)
    for (const at of ports.newJunctions) {
      const unknown = push(pairOfJunction[at] as number, at)
      ownVolts[unknown] = 0
      fresh[unknown] = 1
    }
  }

  /** Lines of the junctions among the unknowns at their present voltage. */
  const linearise = (): void => {
    for (let at = 0; at < count; at += 1) {
      const which = junction[at] as number
      if (which < 0) continue
      junctionAt(table, which, ownVolts[at] as number, 0, flow)
      const series = table.series[which] as number
      const siemens = flow.siemens / (1 + flow.siemens * series)
      through[at] = flow.amperes
      steep[at] = siemens
      const line = flow.amperes - siemens * ((ownVolts[at] as number) + series * flow.amperes)
      constant[at] = line - (which < own ? (good.constant[which] as number) : 0)
      slope[at] = siemens - (which < own ? (good.slope[which] as number) : 0)
    }
  }

  /** Voltages of the unknowns; false where digits would be lost. */
  const solve = (): boolean => {
    for (let line = 0; line < count; line += 1) {
      let sum = goodVolts[line] as number
      for (let column = 0; column < count; column += 1) {
        const joint = ohms[line * most + column] as number
        sum -= joint * (constant[column] as number)
        matrix[line * most + column] = joint * (slope[column] as number) + (line === column ? 1 : 0)
      }
      right[line] = sum
    }
    if (!solveSmall(matrix, most, right, count)) return false
    for (let at = 0; at < count; at += 1) voltage[at] = right[at] as number
    return true
  }

  /** Moves the junctions among the unknowns; the largest move in slopes. */
  const move = (amperes: number): number => {
    let largest = 0
    for (let at = 0; at < count; at += 1) {
      const which = junction[at] as number
      if (which < 0) continue
      const series = table.series[which] as number
      const present = ownVolts[at] as number
      const flows = (through[at] as number) + (steep[at] as number) * ((voltage[at] as number) - present - series * (through[at] as number))
      const next = limitedMove(table, which, present, (voltage[at] as number) - series * flows, amperes, fresh[at] === 1)
      fresh[at] = 0
      const moved = Math.abs(next - present) / steepest(table, which)
      if (!(moved <= largest)) largest = moved
      ownVolts[at] = next
    }
    return largest
  }

  /** How far every net stands from its good voltage. */
  const spread = (): void => {
    shift.fill(0)
    const z = good.ohms
    for (let at = 0; at < count; at += 1) {
      const flows = (constant[at] as number) + (slope[at] as number) * (voltage[at] as number)
      if (flows === 0) continue
      const from = row[at] as number
      for (let net = 0; net < size; net += 1) shift[net] = (shift[net] as number) - flows * (z[from + net] as number)
    }
  }

  /** Junctions whose current leaves the good circuit's line by more than may be become unknowns; whether any did. */
  const addJunctions = (amperes: number, allowed: number): boolean => {
    const z = good.ohms
    const tip = tips * size
    const before = count
    for (let at = 0; at < own; at += 1) {
      if (inside[at] === 1) continue
      const [from, to] = [table.a[at] as number, table.c[at] as number]
      const moved = (shift[from] as number) - (shift[to] as number)
      if (moved === 0) continue
      const series = table.series[at] as number
      const ownMove = moved * (1 - series * (good.slope[at] as number))
      const up = ownMove / (table.forwardSlope[at] as number)
      let off = (good.forward[at] as number) * (Math.abs(up) < 1e-3 ? up * up : Math.exp(up) - 1 - up)
      if ((good.reverse[at] as number) > 0) {
        const down = -ownMove / (table.reverseSlope[at] as number)
        off += (good.reverse[at] as number) * (Math.abs(down) < 1e-3 ? down * down : Math.exp(down) - 1 - down)
      }
      const onTip = Math.abs((z[tip + from] as number) - (z[tip + to] as number))
      const pair = (pairOfJunction[at] as number) * size
      const across = (z[pair + from] as number) - (z[pair + to] as number)
      if (off * onTip <= allowed && off * across <= leastMove * steepest(table, at)) continue
      inside[at] = 1
      const unknown = push(pairOfJunction[at] as number, at)
      const volts = (goodVolts[unknown] as number) + moved
      const flows = (good.constant[at] as number) + (good.slope[at] as number) * volts
      ownVolts[unknown] = limitedMove(table, at, good.own[at] as number, volts - series * flows, amperes, true)
      fresh[unknown] = 0
    }
    return count > before
  }

  return (point, ports, found) => {
    good = point
    const { volts, ohms: source, amperes: limit } = good.range
    begin(ports)
    let held = false
    for (let step = 0; step < mostSteps; step += 1) {
      linearise()
      if (count > 0 && !solve()) return false
      const amperes = held ? limit : volts / source
      const moved = move(amperes)
      if (Number.isNaN(moved)) return false
      if (moved > 1 && step > 0) continue
      spread()
      const tip = (good.volts[good.plus] as number) + (shift[good.plus] as number)
      if (addJunctions(amperes, leastEffect * Math.max(1e-9, Math.min(Math.abs(tip), Math.abs(volts - tip)))) || moved > settledSlopes) continue
      const flows = (volts - tip) / source
      if (held || flows <= limit) {
        found.volts = tip
        found.amperes = held ? limit : flows
        return true
      }
      held = true
      pushLine(tips, volts / source - limit, -1 / source)
    }
    return false
  }
}
