/** What one more fault would roughly change at a placement, from the solution without it: each place as one port of the linearised circuit. */
import { substitute } from '../eliminate'
import { capacitanceScreened } from './capacitance-sight'
import type { Cell } from './cells'
import { type Model, type NetPlacement, shownAt, type Tips } from './model'

/** NaN where a port of the linearised circuit says nothing: a junction that is to be turned, with a voltage across it. */
export type Estimates = Float64Array

type Ports = { ohms: Map<number, number>; response: Float64Array }

/** Ohms that a pair of nets sees, at the operating point that stands in the workspace. */
const ohmsAt = (model: Model, ports: Ports, reference: number, a: number, b: number): number => {
  const { component: { size }, work } = model
  const key = Math.min(a, b) * size + Math.max(a, b)
  const known = ports.ohms.get(key)
  if (known !== undefined) return known
  work.amperes.fill(0)
  work.amperes[a] = 1
  work.amperes[b] = -1
  substitute(work.siemens, size, reference, work.sums, work.amperes, ports.response)
  const ohms = (ports.response[a] as number) - (ports.response[b] as number)
  ports.ohms.set(key, ohms)
  return ohms
}

type Change = { a: number; b: number; amperes: number; siemens: number }

/** Volts across a junction that make turning it matter. */
const turnsFrom = 1e-3

/**
 * Readings on the scale with each of `cells` added to the loaded circuit, whose `tips` were the last that were solved, at `y`. A change from current I and
 * slope g to I' and g' at a port of resistance Z moves the tips by their gain at the port times (I − I') / (1 + (g' − g)·Z).
 */
export const screened = (
  model: Model, placement: NetPlacement, tips: Tips, y: number, cells: readonly Cell[], spread: Float64Array,
): Estimates => {
  if (placement.function === 'capacitance') return capacitanceScreened(model, placement, y, cells, spread)
  const { component: { resistances: r, junctions: j, size }, slots, adjoint } = model
  const ports: Ports = { ohms: new Map(), response: new Float64Array(size) }
  const { volts, through, slope } = model.work
  const out = new Float64Array(cells.length)
  const across = (a: number, b: number): number => (volts[a] as number) - (volts[b] as number)
  const changesOf = (cell: Cell): Change[] | null => {
    const of = slots.ofCell[cell.index]
    if (of === undefined || of.part < 0) {
      if (cell.nets === null) return []
      const [a, b] = [model.netPlace(cell.nets[0]), model.netPlace(cell.nets[1])]
      const siemens = Math.exp(-(cell.figure?.mean ?? 0))
      return a < 0 || b < 0 ? [] : [{ a, b, amperes: siemens * across(a, b), siemens }]
    }
    const changes: Change[] = []
    for (const setting of of.changes) {
      const place = model.placeOf[setting.slot]
      if (place === undefined || place.at < 0) continue
      const { at } = place
      if (setting.kind === 'resistance') {
        const [a, b] = [r.a[at] as number, r.b[at] as number]
        const siemens = Math.exp(setting.lnSiemens - (setting.unknown < 0 ? 0 : spread[setting.unknown] ?? 0)) - (r.siemens[at] as number)
        if (siemens !== 0) changes.push({ a, b, amperes: siemens * across(a, b), siemens })
        continue
      }
      const [a, b] = [j.a[at] as number, j.c[at] as number]
      const held = (j.forward[at] as number) > 0 || (j.reverse[at] as number) > 0
      const holds = setting.junction.forward !== null || setting.junction.reverse !== null
      if (held === holds) continue
      if (holds) { if (Math.abs(across(a, b)) > turnsFrom) return null } else changes.push({ a, b, amperes: -(through[at] as number), siemens: -(slope[at] as number) })
    }
    return changes
  }
  cells.forEach((cell, which) => {
    const changes = changesOf(cell)
    if (changes === null) { out[which] = NaN; return }
    let moved = 0
    for (const { a, b, amperes, siemens } of changes) {
      const gain = (adjoint[a] as number) - (adjoint[b] as number)
      if (gain === 0 || amperes === 0) continue
      const together = changes.length === 1 ? siemens : changes.reduce((sum, one) =>
        sum + ((one.a === a && one.b === b) || (one.a === b && one.b === a) ? one.siemens : 0), 0)
      moved -= gain * amperes / Math.max(1 + together * ohmsAt(model, ports, tips.minus, a, b), 1e-9)
    }
    const then = Math.min(Math.max(tips.volts + moved, 0), tips.range.volts)
    out[which] = moved === 0 ? y : shownAt(placement.function, then, tips.range, tips.limited)
  })
  return out
}
