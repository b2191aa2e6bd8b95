/** What a meter reads between two nets of a compiled circuit, and how that reading follows each element's value. */
import type { MeterFunction } from '../meter/reading'
import { type Circuit, compile, type Component } from './circuit'
import type { Element, Network } from './elements'
import { substitute } from './eliminate'
import { type DriveRange, genericDrives, type MeterDrive, type MeterDrives } from './meter-drive'
import { operatingPoint, type Workspace, workspaceOf } from './newton'

/**
 * `value` in SI of the function's unit; volts and amperes are those at the tips (0 where the function drives nothing); `range` is what
 * drove them, null where nothing did.
 */
export type ExpectedReading =
  | { ok: true; value: number | 'overload'; volts: number; amperes: number; range: DriveRange | null }
  | { ok: false; because: string }

/** Per element of the network, in its order: ∂(value) / ∂ ln(ohms, forward amperes or farads). All 0 with an overload. */
export type ReadingWithGradient = { reading: ExpectedReading; gradient: Float64Array }

/** A capacitor with less than this across it is not seen by a capacitance function: the meter shows overload. */
const leastOhmsAcrossCapacitor = 100

/** What one circuit is read with; keep it for as long as the circuit. One reading at a time. */
export type Reader = { circuit: Circuit; workspaces: (Workspace | undefined)[] }
export const readerOf = (network: Network): Reader => ({ circuit: compile(network), workspaces: [] })

const workspaceAt = (reader: Reader, number: number, component: Component): Workspace =>
  (reader.workspaces[number] ??= workspaceOf(component))

/** Where the tips stand: in one component, or with nothing between them. */
type Tips = { component: Component; work: Workspace; plus: number; minus: number }

const tipsAt = (reader: Reader, plus: string, minus: string): Tips | null => {
  const { circuit } = reader
  const [one, other] = [circuit.netNumber.get(plus), circuit.netNumber.get(minus)]
  if (one === undefined || other === undefined) return null
  const number = circuit.component[one] as number
  const component = circuit.components[number]
  if (component === undefined || circuit.component[other] !== number) return null
  return { component, work: workspaceAt(reader, number, component), plus: circuit.place[one] as number, minus: circuit.place[other] as number }
}

type Driven = { volts: number; amperes: number; /** Whether the current limit holds. */ limited: boolean }

/** Voltage and current of one range at the tips; null where it does not settle. `warm`: from the solution that stands. */
const driven = (tips: Tips | null, { volts, ohms, amperes }: DriveRange, warm: boolean): Driven | null => {
  if (tips === null) return { volts, amperes: 0, limited: false }
  const { component, work, plus, minus } = tips
  if (!operatingPoint(component, [{ plus, minus, amperes: volts / ohms, siemens: 1 / ohms }], minus, work, { warm })) return null
  const across = work.volts[plus] as number
  const flows = (volts - across) / ohms
  if (flows <= amperes) return { volts: across, amperes: flows, limited: false }
  if (!operatingPoint(component, [{ plus, minus, amperes, siemens: 0 }], minus, work, { warm: true })) return null
  return { volts: work.volts[plus] as number, amperes, limited: true }
}

const figureOf = (what: 'ohms' | 'volts', { volts, amperes }: Driven): number =>
  (what === 'volts' ? volts : amperes > 0 ? volts / amperes : Infinity)

type Taken = { driven: Driven; range: DriveRange; figure: number; tips: Tips | null }

const unsettled = { ok: false as const, because: 'The junctions between the tips did not settle: no operating point was found.' }

/** The lowest range that holds the reading, else the highest. */
const take = (reader: Reader, red: string, black: string, what: 'ohms' | 'volts', drive: MeterDrive): Taken | null => {
  const [plus, minus] = drive.plus === 'red' ? [red, black] : [black, red]
  const tips = tipsAt(reader, plus, minus)
  let taken: Taken | null = null
  for (const range of drive.ranges) {
    const found: Driven | null = plus === minus ? { volts: 0, amperes: Math.min(range.amperes, range.volts / range.ohms), limited: false }
      : driven(tips, range, taken !== null)
    if (found === null) return null
    taken = { driven: found, range, figure: figureOf(what, found), tips: plus === minus ? null : tips }
    if (taken.figure <= range.fullScale) break
  }
  return taken
}

const settledReading = (taken: Taken | null, drive: MeterDrive, sign: number): ExpectedReading => {
  if (taken === null) return unsettled
  const { driven: { volts, amperes }, range, figure } = taken
  return { ok: true, value: figure > drive.ceiling ? 'overload' : sign * figure, volts, amperes, range }
}

const signOf = (what: MeterFunction, drive: MeterDrive): number => (what === 'diode' && drive.plus === 'black' ? -1 : 1)

/** Capacitances that lie straight across two nets, in parallel, F. */
export const faradsAcross = ({ elements }: { elements: readonly Element[] }, a: string, b: string): number =>
  elements.reduce<number>((sum, element) =>
    (element.kind === 'capacitance' && ((element.from === a && element.to === b) || (element.from === b && element.to === a))
      ? sum + element.farads : sum), 0)

/** Of the volts between the tips of a resistance reading, what share lies between each of these pairs of nets; 0 where nothing joins them to the tips. */
export const sharesAcross = (reader: Reader, red: string, black: string, pairs: readonly (readonly [string, string])[], drives: MeterDrives = genericDrives): Float64Array => {
  const tips = take(reader, red, black, 'ohms', drives.resistance)?.tips ?? null
  const shares = new Float64Array(pairs.length)
  if (tips === null) return shares
  const { circuit } = reader
  const { component, work: { volts }, plus, minus } = tips
  const between = (volts[plus] as number) - (volts[minus] as number)
  const place = (net: string): number | null => {
    const number = circuit.netNumber.get(net)
    return number === undefined || circuit.components[circuit.component[number] ?? -1] !== component ? null : circuit.place[number] ?? null
  }
  pairs.forEach(([a, b], at) => {
    const [one, other] = [place(a), place(b)]
    if (one !== null && other !== null && between !== 0) shares[at] = ((volts[one] ?? 0) - (volts[other] ?? 0)) / between
  })
  return shares
}

/** `red` and `black` are nets. Not ok: a function that is not computed, a value that cannot be, junctions that do not settle. */
export const read = (reader: Reader, red: string, black: string, what: MeterFunction, drives: MeterDrives = genericDrives): ExpectedReading => {
  if (reader.circuit.problem !== null) return { ok: false, because: reader.circuit.problem }
  switch (what) {
    case 'resistance': case 'continuity': return settledReading(take(reader, red, black, 'ohms', drives[what]), drives[what], 1)
    case 'diode': return settledReading(take(reader, red, black, 'volts', drives.diode), drives.diode, signOf(what, drives.diode))
    case 'dc-voltage': return { ok: true, value: 0, volts: 0, amperes: 0, range: null }
    case 'capacitance': {
      const across = take(reader, red, black, 'ohms', drives.resistance)
      if (across === null) return unsettled
      const value = across.figure < leastOhmsAcrossCapacitor ? 'overload' : faradsAcross(reader.circuit, red, black)
      return { ok: true, value, volts: 0, amperes: 0, range: null }
    }
    case 'ac-voltage': case 'inductance': case 'frequency': case 'temperature': case 'dc-current': case 'ac-current':
      return { ok: false, because: `What a meter reads in ${what} is not computed.` }
  }
}

/** ∂(tip voltage) / ∂ ln(value) by the adjoint: one more substitution with 1 A at the tip, since the equations are symmetric. */
const addTipGradient = ({ component, work, plus, minus }: Tips, gradient: Float64Array, factor: number): void => {
  const adjoint = new Float64Array(component.size)
  work.amperes.fill(0)
  work.amperes[plus] = 1
  substitute(work.siemens, component.size, minus, work.sums, work.amperes, adjoint)
  const { resistances, junctions } = component
  for (let at = 0; at < resistances.count; at += 1) {
    const [a, b] = [resistances.a[at] as number, resistances.b[at] as number]
    const follows = (adjoint[a] as number) - (adjoint[b] as number)
    const flows = ((work.volts[a] as number) - (work.volts[b] as number)) * (resistances.siemens[at] as number)
    gradient[resistances.element[at] as number] = factor * follows * flows
  }
  for (let at = 0; at < junctions.count; at += 1) {
    const follows = (adjoint[junctions.a[at] as number] as number) - (adjoint[junctions.c[at] as number] as number)
    gradient[junctions.element[at] as number] = -factor * follows * (work.perForward[at] as number)
  }
}

/** As `read`, with the gradient of the value at one adjoint substitution more. The range and the current limit are held. */
export const readWithGradient = (
  reader: Reader, red: string, black: string, what: MeterFunction, drives: MeterDrives = genericDrives,
): ReadingWithGradient => {
  const gradient = new Float64Array(reader.circuit.elements.length)
  if (reader.circuit.problem !== null || !(what === 'resistance' || what === 'continuity' || what === 'diode')) {
    const reading = read(reader, red, black, what, drives)
    if (what === 'capacitance' && reading.ok && reading.value !== 'overload') {
      reader.circuit.elements.forEach((element, at) => { if (element.kind === 'capacitance') gradient[at] = faradsAcross({ elements: [element] }, red, black) })
    }
    return { reading, gradient }
  }
  const drive = drives[what]
  const sign = signOf(what, drive)
  const taken = take(reader, red, black, what === 'diode' ? 'volts' : 'ohms', drive)
  const reading = settledReading(taken, drive, sign)
  if (taken === null || taken.tips === null || !reading.ok || reading.value === 'overload') return { reading, gradient }
  const { driven: { volts, limited }, range } = taken
  const perVolt = what === 'diode' ? sign : limited ? 1 / range.amperes : (range.ohms * range.volts) / (range.volts - volts) ** 2
  addTipGradient(taken.tips, gradient, perVolt)
  return { reading, gradient }
}
