/** What stands at each net when sources are put on a network. */
import { type Circuit, compile } from './circuit'
import type { Network } from './elements'
import { type Drive, operatingPoint, workspaceOf } from './newton'

/** Thévenin source: `volts` behind `ohms`; or a current, out of `minus` into `plus`. */
export type Source =
  | { kind: 'thevenin'; plus: string; minus: string; volts: number; ohms: number }
  | { kind: 'current'; plus: string; minus: string; amperes: number }

/** Volts against the reference; null where nothing joins the net to it (floating). */
export type Solution = { ok: true; volts: ReadonlyMap<string, number | null> } | { ok: false; because: string }

/** A Thévenin source joins its nets as its ohms do. */
const withSources = (network: Network, sources: readonly Source[]): Circuit => compile({ elements: [...network.elements,
  ...sources.flatMap((source) => (source.kind === 'thevenin'
    ? [{ kind: 'resistance' as const, part: 'the source', from: source.plus, to: source.minus, ohms: source.ohms }] : []))] })

/**
 * Nodal solution against `reference`. Nets are found floating from the elements that conduct, not from how little they conduct.
 * Not ok: a value that cannot be, a current with no path, or junctions that do not settle; `because` says which.
 */
export const solveNetwork = (network: Network, sources: readonly Source[], reference: string, mostSteps?: number): Solution => {
  const circuit = withSources(network, sources)
  if (circuit.problem !== null) return { ok: false, because: circuit.problem }
  const volts = new Map<string, number | null>(circuit.nets.map((net) => [net, null]))
  volts.set(reference, 0)
  const at = circuit.netNumber.get(reference)
  const number = at === undefined ? -1 : circuit.component[at] ?? -1
  const placeOf = (net: string): number | null => {
    const found = circuit.netNumber.get(net)
    return found === undefined || circuit.component[found] !== number ? null : circuit.place[found] ?? null
  }
  const drives: Drive[] = []
  for (const source of sources) {
    const [plus, minus] = [placeOf(source.plus), placeOf(source.minus)]
    const amperes = source.kind === 'current' ? source.amperes : source.volts / source.ohms
    if (plus !== null && minus !== null && plus !== minus) drives.push({ plus, minus, amperes, siemens: 0 })
    else if (source.kind === 'current' && source.plus !== source.minus) {
      return { ok: false, because: `A current was driven from ${source.minus} to ${source.plus}, and no path joins them.` }
    }
  }
  const component = circuit.components[number]
  const place = placeOf(reference)
  if (!component || place === null || component.size < 2) return { ok: true, volts }
  const work = workspaceOf(component)
  if (!operatingPoint(component, drives, place, work, mostSteps === undefined ? {} : { mostSteps })) {
    return { ok: false, because: 'The junctions of the network did not settle: no operating point was found.' }
  }
  component.nets.forEach((net, within) => volts.set(circuit.nets[net] ?? '', work.volts[within] ?? 0))
  return { ok: true, volts }
}
