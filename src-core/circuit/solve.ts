/** What stands at each net when a source is put on a network: nodal analysis, piecewise-linear junctions, dense elimination. */
import type { Element, Network } from './network'

/** Thévenin source: `volts` behind `ohms`; or a current, out of `minus` into `plus`. */
export type Source =
  | { kind: 'thevenin'; plus: string; minus: string; volts: number; ohms: number }
  | { kind: 'current'; plus: string; minus: string; amperes: number }

/** Volts against the reference; null where nothing joins the net to it (floating). */
export type Solution = { ok: true; volts: ReadonlyMap<string, number | null> } | { ok: false; because: string }

/** Leakage of a junction, S: 0.1 nA at 1 V, far below what a bench meter shows; it also ties nets that only junctions reach. */
export const junctionLeakage = 1e-10

/** Junctions switched before a solution is given up; the boards of the tests need fewer than 40. */
const usualMostSteps = 500

type Junction = Extract<Element, { kind: 'junction' }>

const endsOf = (element: Element): [string, string] =>
  (element.kind === 'junction' ? [element.anode, element.cathode] : [element.from, element.to])

/** The nets a direct current could reach from the reference. */
const reachable = (network: Network, sources: readonly Source[], reference: string): string[] => {
  const next = new Map<string, string[]>()
  const join = (a: string, b: string): void => {
    next.set(a, [...(next.get(a) ?? []), b])
    next.set(b, [...(next.get(b) ?? []), a])
  }
  for (const element of network.elements) if (element.kind !== 'capacitance') join(...endsOf(element))
  for (const source of sources) if (source.kind === 'thevenin') join(source.plus, source.minus)
  const seen = new Set([reference])
  for (const net of seen) for (const other of next.get(net) ?? []) seen.add(other)
  return [...seen]
}

/**
 * Solves A·x = b in place by elimination with partial pivoting (Golub and Van Loan, Matrix Computations, algorithm 3.4.1; from memory).
 * Null when A is singular to working precision.
 */
export const solveDense = (matrix: readonly (readonly number[])[], right: readonly number[]): number[] | null => {
  const size = right.length
  const rows = matrix.map((row, at) => [...row, right[at] ?? 0])
  const largest = Math.max(...rows.flat().map(Math.abs), 0)
  for (let column = 0; column < size; column += 1) {
    let pivot = column
    for (let row = column + 1; row < size; row += 1) {
      if (Math.abs(rows[row]?.[column] ?? 0) > Math.abs(rows[pivot]?.[column] ?? 0)) pivot = row
    }
    const pivotRow = rows[pivot]
    const head = pivotRow?.[column] ?? 0
    if (!pivotRow || Math.abs(head) <= largest * 1e-18) return null
    rows[pivot] = rows[column] ?? []
    rows[column] = pivotRow
    for (let row = column + 1; row < size; row += 1) {
      const target = rows[row]
      const factor = (target?.[column] ?? 0) / head
      if (!target || factor === 0) continue
      for (let at = column; at <= size; at += 1) target[at] = (target[at] ?? 0) - factor * (pivotRow[at] ?? 0)
    }
  }
  const x = new Array<number>(size).fill(0)
  for (let row = size - 1; row >= 0; row -= 1) {
    const line = rows[row] ?? []
    let sum = line[size] ?? 0
    for (let at = row + 1; at < size; at += 1) sum -= (line[at] ?? 0) * (x[at] ?? 0)
    x[row] = sum / (line[row] ?? 1)
  }
  return x.every(Number.isFinite) ? x : null
}

/**
 * Nodal solution against `reference`. Junctions switch one at a time along the way from no voltage to the solution (Katzenelson's
 * method, 1965; from memory), which ends for networks whose elements never fall; if it does not within its steps, that is reported.
 */
export const solveNetwork = (network: Network, sources: readonly Source[], reference: string, mostSteps = usualMostSteps): Solution => {
  const reached = reachable(network, sources, reference)
  const nets = reached.filter((net) => net !== reference)
  const index = new Map(nets.map((net, at) => [net, at]))
  const inside = new Set(reached)
  const elements = network.elements.filter((element) => {
    const [one, other] = endsOf(element)
    return one !== other && inside.has(one) && inside.has(other)
  })
  const junctions = elements.filter((element): element is Junction => element.kind === 'junction')
  for (const source of sources) {
    if (source.kind === 'current' && !(inside.has(source.plus) && inside.has(source.minus))) {
      return { ok: false, because: `A current was driven from ${source.minus} to ${source.plus}, and no path joins them.` }
    }
  }

  const assemble = (on: readonly boolean[]): number[] | null => {
    const matrix = nets.map(() => new Array<number>(nets.length).fill(0))
    const right = new Array<number>(nets.length).fill(0)
    const add = (row: number | undefined, column: number | undefined, siemens: number): void => {
      const line = row === undefined ? undefined : matrix[row]
      if (line && column !== undefined) line[column] = (line[column] ?? 0) + siemens
    }
    const conduct = (from: string, to: string, siemens: number): void => {
      const [a, b] = [index.get(from), index.get(to)]
      add(a, a, siemens); add(b, b, siemens); add(a, b, -siemens); add(b, a, -siemens)
    }
    const inject = (net: string, amperes: number): void => {
      const at = index.get(net)
      if (at !== undefined) right[at] = (right[at] ?? 0) + amperes
    }
    for (const element of elements) {
      if (element.kind === 'resistance') conduct(element.from, element.to, 1 / element.ohms)
    }
    junctions.forEach((junction, at) => {
      conduct(junction.anode, junction.cathode, junctionLeakage + (on[at] ? 1 / junction.ohms : 0))
      if (!on[at]) return
      inject(junction.anode, junction.volts / junction.ohms)
      inject(junction.cathode, -junction.volts / junction.ohms)
    })
    for (const source of sources) {
      const amperes = source.kind === 'thevenin' ? source.volts / source.ohms : source.amperes
      if (source.kind === 'thevenin') conduct(source.plus, source.minus, 1 / source.ohms)
      inject(source.plus, amperes)
      inject(source.minus, -amperes)
    }
    return solveDense(matrix, right)
  }

  const across = (junction: Junction, volts: readonly number[]): number => {
    const at = (net: string): number => volts[index.get(net) ?? -1] ?? 0
    return at(junction.anode) - at(junction.cathode)
  }

  let present = new Array<number>(nets.length).fill(0)
  const on = junctions.map(() => false)
  for (let step = 0; step < mostSteps; step += 1) {
    const target = assemble(on)
    if (!target) return { ok: false, because: 'The network has no single solution: a value in it is zero or without bounds.' }
    let travel = 1
    let switching = -1
    junctions.forEach((junction, at) => {
      const [here, there] = [across(junction, present), across(junction, target)]
      const crosses = on[at] ? there < junction.volts - 1e-12 : there > junction.volts + 1e-12
      if (!crosses) return
      const share = here === there ? 0 : Math.min(1, Math.max(0, (junction.volts - here) / (there - here)))
      if (share < travel || switching < 0) { travel = share; switching = at }
    })
    if (switching < 0) {
      const volts = new Map<string, number | null>(network.elements.flatMap(endsOf).map((net) => [net, null]))
      nets.forEach((net, at) => volts.set(net, target[at] ?? 0))
      volts.set(reference, 0)
      return { ok: true, volts }
    }
    present = present.map((volts, at) => volts + travel * ((target[at] ?? 0) - volts))
    on[switching] = !on[switching]
  }
  return { ok: false, because: `The junctions of the network did not settle in ${mostSteps} steps.` }
}
