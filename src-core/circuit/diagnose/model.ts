/** Predictions for a board in any combination of fault states: one circuit, whose values are changed in place. */
import type { MeterFunction } from '../../meter/reading'
import { type Circuit, compile, type Component } from '../circuit'
import { substitute } from '../eliminate'
import type { DrivenFunction, DriveRange, MeterDrives } from '../meter-drive'
import { operatingPoint, type Workspace, workspaceOf } from '../newton'
import { type Capacitor, capacitanceShown } from './capacitance-sight'
import type { Cell } from './cells'
import { onScale, slopeOfScale } from './display-scale'
import type { Setting, Slots } from './slots'

/** Nets under the tips. */
export type NetPlacement = { red: string; black: string; function: MeterFunction }

/**
 * What stands at one placement. `y`: the reading on its scale, unbounded by the meter's ceiling; `slopes`: by the unknowns of the board, then by
 * the figures of the cells in their order. `own`: voltage of each junction.
 */
export type Sight = { y: number; slopes: Float64Array; own: Float64Array }

/** How the source stands at the placement that was solved last; nets and junctions are in the model's workspace, `adjoint` as well. */
export type Tips = { plus: number; minus: number; volts: number; amperes: number; limited: boolean; range: DriveRange }

type Place = { kind: 'resistance' | 'junction'; at: number }

/** Where the board's unknowns act while every part is sound, part by part in one row. */
type Links = { count: number; part: Int32Array; junction: Uint8Array; at: Int32Array; unknown: Int32Array }

export type Model = {
  slots: Slots
  drives: MeterDrives
  component: Component; work: Workspace
  /** What the tips' voltage gains by an ampere driven into each net; of the placement that was solved last. */
  adjoint: Float64Array
  links: Links
  /** Place of each net in the component; −1 for one that is not there. */
  netPlace: (net: string) => number
  /** Where each slot's values are. */
  placeOf: readonly Place[]
  /** Those a capacitance function may see; none where the meter has no such function. */
  capacitors: readonly Capacitor[]
  loaded: { spread: Float64Array | null; cells: readonly Cell[]; figures: ArrayLike<number> }
}

export const modelOf = (slots: Slots, drives: MeterDrives, capacitors: readonly Capacitor[] = []): Model => {
  const circuit: Circuit = compile({ elements: slots.elements })
  const component = circuit.components.reduce((largest, one) => (one.size > largest.size ? one : largest))
  const placeOf = slots.elements.map((): Place => ({ kind: 'resistance', at: -1 }))
  component.resistances.element.forEach((slot, at) => { placeOf[slot] = { kind: 'resistance', at } })
  component.junctions.element.forEach((slot, at) => { placeOf[slot] = { kind: 'junction', at } })
  const linked = slots.sound.flatMap((settings, part) => settings.flatMap(({ slot, unknown, kind }) => {
    const at = placeOf[slot]?.at ?? -1
    return unknown < 0 || at < 0 ? [] : [{ part, junction: kind === 'junction' ? 1 : 0, at, unknown }]
  }))
  const links: Links = {
    count: linked.length, part: Int32Array.from(linked, ({ part }) => part), junction: Uint8Array.from(linked, ({ junction }) => junction),
    at: Int32Array.from(linked, ({ at }) => at), unknown: Int32Array.from(linked, ({ unknown }) => unknown),
  }
  return {
    slots, drives, component, work: workspaceOf(component), adjoint: new Float64Array(component.size), links, placeOf, capacitors, loaded: { spread: null, cells: [], figures: [] },
    netPlace: (net) => { const number = circuit.netNumber.get(net); return number === undefined ? -1 : circuit.place[number] ?? -1 },
  }
}

const put = (model: Model, setting: Setting, x: Float64Array, figure: number): void => {
  const place = model.placeOf[setting.slot]
  if (place === undefined || place.at < 0) return
  const { at } = place
  const spread = setting.unknown < 0 ? 0 : x[setting.unknown] ?? 0
  if (setting.kind === 'resistance') {
    model.component.resistances.siemens[at] = Math.exp(setting.lnSiemens - spread + setting.figure * figure)
    return
  }
  const j = model.component.junctions
  const { junction } = setting
  const amperes = junction.forward === null ? 0 : Math.exp(setting.lnAmperes + spread)
  j.series[at] = junction.seriesOhms
  j.leakage[at] = junction.leakageSiemens
  j.forward[at] = amperes
  j.forwardAt[at] = junction.forward?.atVolts ?? 0
  j.forwardSlope[at] = junction.forward?.slopeVolts ?? 1
  j.forwardZero[at] = junction.forward === null ? 0 : amperes * Math.exp(-junction.forward.atVolts / junction.forward.slopeVolts)
  j.reverse[at] = junction.reverse?.amperes ?? 0
  j.reverseAt[at] = junction.reverse?.atVolts ?? 0
  j.reverseSlope[at] = junction.reverse?.slopeVolts ?? 1
  j.reverseZero[at] = junction.reverse === null ? 0 : junction.reverse.amperes * Math.exp(-junction.reverse.atVolts / junction.reverse.slopeVolts)
}

const spareSiemens = 1e-16

/** Makes the circuit that of these cells with these figures, everything else sound, the board's unknowns at `spread` (not changed afterwards). */
export const load = (model: Model, cells: readonly Cell[], spread: Float64Array, figures: ArrayLike<number>): void => {
  const { slots, component: { resistances, siemens, size }, loaded } = model
  const same = loaded.spread === spread
  const changed = new Set(cells.map(({ index }) => slots.ofCell[index]?.part ?? -1))
  if (!same) slots.sound.forEach((settings, part) => { if (!changed.has(part)) for (const setting of settings) put(model, setting, spread, 0) })
  else for (const { index } of loaded.cells) {
    const part = slots.ofCell[index]?.part ?? -1
    if (!changed.has(part)) for (const setting of slots.sound[part] ?? []) put(model, setting, spread, 0)
  }
  let spares = 0
  cells.forEach((cell, at) => {
    const of = slots.ofCell[cell.index]
    const figure = cell.figure === null ? 0 : (figures[at] ?? 0) - cell.figure.origin
    if (of !== undefined && of.part >= 0) for (const setting of of.settings) put(model, setting, spread, figure)
    else if (cell.nets !== null) {
      const spare = model.placeOf[slots.spare[spares] ?? -1]
      spares += 1
      if (spare === undefined) return
      const [a, b] = [model.netPlace(cell.nets[0]), model.netPlace(cell.nets[1])]
      if (a < 0 || b < 0 || a === b) return
      resistances.a[spare.at] = a
      resistances.b[spare.at] = b
      resistances.at[spare.at] = Math.min(a, b) * size + Math.max(a, b)
      resistances.siemens[spare.at] = Math.exp(-(figures[at] ?? 0))
    }
  })
  for (; spares < slots.spare.length; spares += 1) {
    const spare = model.placeOf[slots.spare[spares] ?? -1]
    if (spare !== undefined) resistances.siemens[spare.at] = spareSiemens
  }
  siemens.fill(0)
  for (let at = 0; at < resistances.count; at += 1) {
    const pair = resistances.at[at] as number
    siemens[pair] = (siemens[pair] as number) + (resistances.siemens[at] as number)
  }
  loaded.spread = spread
  loaded.cells = cells
  loaded.figures = figures
}

const driven = (model: Model, plus: number, minus: number, range: DriveRange, warm: boolean): Tips | null => {
  const { volts, ohms, amperes } = range
  const { component, work } = model
  if (!operatingPoint(component, [{ plus, minus, amperes: volts / ohms, siemens: 1 / ohms }], minus, work, { warm })) return null
  const across = work.volts[plus] as number
  const flows = (volts - across) / ohms
  if (flows <= amperes) return { plus, minus, volts: across, amperes: flows, limited: false, range }
  if (!operatingPoint(component, [{ plus, minus, amperes, siemens: 0 }], minus, work, { warm: true })) return null
  return { plus, minus, volts: work.volts[plus] as number, amperes, limited: true, range }
}

export const drivenFunction = (what: MeterFunction): DrivenFunction | null =>
  (what === 'resistance' || what === 'continuity' || what === 'diode' ? what : null)

const mostOhms = 1e12

/** On the scale, from the voltage at the tips; ohms as the meter's ratio makes them. */
export const shownAt = (what: MeterFunction, volts: number, range: DriveRange, limited: boolean): number => {
  if (what === 'diode') return volts
  const amperes = limited ? range.amperes : (range.volts - volts) / range.ohms
  return onScale(what, amperes > volts / mostOhms ? volts / amperes : mostOhms)
}

const perVoltOf = (what: MeterFunction, volts: number, range: DriveRange, limited: boolean): number => {
  if (what === 'diode') return 1
  if (limited) return slopeOfScale(what, volts / range.amperes) / range.amperes
  const left = Math.max(range.volts - volts, range.volts * 1e-9)
  return slopeOfScale(what, (range.ohms * volts) / left) * (range.ohms * range.volts) / left ** 2
}

/** Solves the loaded circuit at a placement; `from`: junction voltages of a similar circuit there. Null: no operating point was found. */
const solved = (model: Model, placement: NetPlacement, what: DrivenFunction, from: Float64Array | null): Tips | null => {
  const drive = model.drives[what]
  const red = model.netPlace(placement.red)
  const black = model.netPlace(placement.black)
  const [plus, minus] = drive.plus === 'red' ? [red, black] : [black, red]
  if (plus < 0 || minus < 0 || plus === minus) return null
  const { work } = model
  if (from !== null) work.own.set(from)
  let tips: Tips | null = null
  for (const range of drive.ranges) {
    tips = driven(model, plus, minus, range, from !== null || tips !== null)
    if (tips === null || (what === 'diode' ? tips.volts : tips.volts / tips.amperes) <= range.fullScale) break
  }
  if (tips === null) return null
  work.amperes.fill(0)
  work.amperes[plus] = 1
  substitute(work.siemens, model.component.size, minus, work.sums, work.amperes, model.adjoint)
  return tips
}

const addSlope = (model: Model, slopes: Float64Array, setting: Setting, figureAt: number, perVolt: number): void => {
  const at = model.placeOf[setting.slot]?.at ?? -1
  if (at < 0) return
  const { component: { resistances: r, junctions: j }, work: { volts, perForward }, adjoint } = model
  if (setting.kind === 'resistance') {
    const [a, b] = [r.a[at] as number, r.b[at] as number]
    const perLn = -((adjoint[a] as number) - (adjoint[b] as number)) * ((volts[a] as number) - (volts[b] as number)) * (r.siemens[at] as number) * perVolt
    if (setting.unknown >= 0) slopes[setting.unknown] = (slopes[setting.unknown] as number) - perLn
    slopes[figureAt] = (slopes[figureAt] as number) + perLn * setting.figure
  } else if (setting.unknown >= 0) {
    const follows = (adjoint[j.a[at] as number] as number) - (adjoint[j.c[at] as number] as number)
    slopes[setting.unknown] = (slopes[setting.unknown] as number) - follows * (perForward[at] as number) * perVolt
  }
}

const spareSetting = (slot: number): Setting => ({ kind: 'resistance', slot, lnSiemens: 0, unknown: -1, figure: -1 })

const slopesAt = (model: Model, perVolt: number): Float64Array => {
  const { slots, links, component: { resistances: r, junctions: j }, work: { volts, perForward }, adjoint, loaded: { cells } } = model
  const known = slots.unknowns.length
  const slopes = new Float64Array(known + cells.length)
  for (let link = 0; link < links.count; link += 1) {
    const part = links.part[link] as number
    let isChanged = false
    for (let which = 0; which < cells.length; which += 1) if (slots.ofCell[cells[which]?.index ?? -1]?.part === part) isChanged = true
    if (isChanged) continue
    const at = links.at[link] as number
    const unknown = links.unknown[link] as number
    const isJunction = links.junction[link] === 1
    const [a, b] = isJunction ? [j.a[at] as number, j.c[at] as number] : [r.a[at] as number, r.b[at] as number]
    const follows = (adjoint[a] as number) - (adjoint[b] as number)
    if (follows === 0) continue
    const moved = isJunction ? -(perForward[at] as number) : ((volts[a] as number) - (volts[b] as number)) * (r.siemens[at] as number)
    slopes[unknown] = (slopes[unknown] as number) + follows * moved * perVolt
  }
  let spares = 0
  cells.forEach((cell, at) => {
    const of = slots.ofCell[cell.index]
    if (of !== undefined && of.part >= 0) for (const setting of of.settings) addSlope(model, slopes, setting, known + at, perVolt)
    else if (cell.nets !== null) {
      addSlope(model, slopes, spareSetting(slots.spare[spares] ?? -1), known + at, perVolt)
      spares += 1
    }
  })
  return slopes
}

const capacitanceView = (model: Model, placement: NetPlacement, from: Float64Array | null): { sight: Sight; tips: Tips } | null => {
  const tips = solved(model, placement, 'resistance', from)
  return tips === null ? null
    : { tips, sight: { ...capacitanceShown(model, placement, tips.amperes > tips.volts / mostOhms ? tips.volts / tips.amperes : mostOhms), own: model.work.own.slice() } }
}

/** What the loaded circuit shows at a placement, and how the source stands there; `from`: junction voltages of a similar circuit. */
export const viewAt = (model: Model, placement: NetPlacement, from: Float64Array | null): { sight: Sight; tips: Tips } | null => {
  if (placement.function === 'capacitance') return capacitanceView(model, placement, from)
  const what = drivenFunction(placement.function)
  const tips = what === null ? null : solved(model, placement, what, from)
  if (what === null || tips === null) return null
  const perVolt = perVoltOf(what, tips.volts, tips.range, tips.limited)
  return { tips, sight: { y: shownAt(what, tips.volts, tips.range, tips.limited), slopes: slopesAt(model, perVolt), own: model.work.own.slice() } }
}

export const sightAt = (model: Model, placement: NetPlacement, from: Sight | null): Sight | null =>
  viewAt(model, placement, from?.own ?? null)?.sight ?? null

/** Only where the reading lies on its scale. */
export const readingAt = (model: Model, placement: NetPlacement, from: Float64Array | null): number | null => {
  if (placement.function === 'capacitance') return capacitanceView(model, placement, from)?.sight.y ?? null
  const what = drivenFunction(placement.function)
  const tips = what === null ? null : solved(model, placement, what, from)
  return what === null || tips === null ? null : shownAt(what, tips.volts, tips.range, tips.limited)
}
