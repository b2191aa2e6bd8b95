/** What every fault would read at every placement, both ways round, in every driven function: once per board, for the diagnosis to look up. */
import type { BoardType } from '../board/board-type'
import { changedPoints, type Found } from './changed-point'
import { type Change, changesOf, type Table } from './changes'
import { type Circuit, compile } from './circuit'
import type { Network } from './elements'
import type { Fault } from './faults'
import { goodPoints, type GoodPoint } from './good-point'
import { type DrivenFunction, genericDrives, type MeterDrives } from './meter-drive'
import { networkOf } from './network'
import { read, readerOf } from './read'
import { usualFaults } from './usual-faults'

export const drivenFunctions: readonly DrivenFunction[] = ['resistance', 'continuity', 'diode']

/**
 * `values[(state · placements + placement) · functions + function]`, SI: Infinity for an overload, NaN where no operating point was found.
 * State 0 is the good board, state n the fault n − 1. Placements are nets, every ordered pair of them.
 */
export type ReadingsTable = { placements: { red: string; black: string }[]; functions: readonly DrivenFunction[]; values: Float64Array }

const figureIn = (what: DrivenFunction, { volts, amperes }: Found): number => (what === 'diode' ? volts : amperes > 0 ? volts / amperes : Infinity)

/** Readings of the good network and of each faulted one between all ordered pairs of `nets`. */
export const tabulate = (
  good: Network, faulted: readonly Network[], nets: readonly string[], drives: MeterDrives = genericDrives, functions = drivenFunctions,
): ReadingsTable => {
  const circuit: Circuit = compile(good)
  const { changes, tables, mostPorts } = changesOf(good, circuit, faulted)
  const placements = nets.flatMap((red) => nets.filter((black) => black !== red).map((black) => ({ red, black })))
  const states = faulted.length + 1
  const values = new Float64Array(states * placements.length * functions.length)
  const wholeReader = readerOf(good)
  const points = circuit.components.map((component, at) => goodPoints(component, tables[at] as Table))
  const changed = circuit.components.map((component, at) => changedPoints(component, tables[at] as Table, mostPorts))
  const found: Found = { volts: 0, amperes: 0 }

  placements.forEach(({ red, black }, placement) => {
    functions.forEach((what, which) => {
      const drive = drives[what]
      const [plus, minus] = drive.plus === 'red' ? [red, black] : [black, red]
      const sign = what === 'diode' && drive.plus === 'black' ? -1 : 1
      const put = (state: number, value: number): void => { values[(state * placements.length + placement) * functions.length + which] = value }
      const shown = (figure: number): number => (figure > drive.ceiling ? Infinity : sign * figure)
      const readWhole = (reader: ReturnType<typeof readerOf>): number => {
        const reading = read(reader, red, black, what, drives)
        return !reading.ok ? Number.NaN : reading.value === 'overload' ? Infinity : reading.value
      }
      const open = ((): number => {
        const last = drive.ranges.at(-1)
        return what === 'diode' && last !== undefined ? shown(last.volts) : Infinity
      })()
      const [one, other] = [circuit.netNumber.get(plus), circuit.netNumber.get(minus)]
      const number = one !== undefined && other !== undefined && circuit.component[one] === circuit.component[other] ? circuit.component[one] as number : -1
      const [from, to] = [circuit.place[one ?? -1] ?? -1, circuit.place[other ?? -1] ?? -1]
      const made: (GoodPoint | null)[] = []
      const solveAt = changed[number]
      const makePoint = points[number]

      /** By the low-rank way in the lowest range that holds it; null where that has to be left to the plain solver. */
      const figure = (change: Extract<Change, { kind: 'ports' }> | null): number | null => {
        if (!solveAt || !makePoint) return null
        let value = Number.NaN
        for (let at = 0; at < drive.ranges.length; at += 1) {
          const range = drive.ranges[at]
          if (range === undefined) break
          const point = (made[at] ??= makePoint(from, to, range))
          if (point === null || !solveAt(point, change === null ? null : change.ports, found)) return null
          value = figureIn(what, found)
          if (value <= range.fullScale) break
        }
        return value
      }
      const whole = number < 0 ? null : figure(null)
      const goodValue = number < 0 ? open : whole === null ? readWhole(wholeReader) : shown(whole)
      put(0, goodValue)
      changes.forEach((change, at) => {
        if (change.kind === 'none') return put(at + 1, goodValue)
        if (change.kind === 'read') return put(at + 1, readWhole(change.reader()))
        const { component, pieces, single } = change.ports
        if (component !== number) return put(at + 1, goodValue)
        if (pieces !== null) {
          if (pieces[from] !== pieces[to]) return put(at + 1, open)
          return put(at + 1, single ? goodValue : readWhole(change.reader()))
        }
        const changedFigure = figure(change)
        return put(at + 1, changedFigure === null ? readWhole(change.reader()) : shown(changedFigure))
      })
    })
  })
  return { placements, functions, values }
}

export type Dictionary = ReadingsTable & { faults: Fault[] }

/** Of every usual single fault (or those given) at every pair of nets that have a test point. */
export const dictionaryOf = (board: BoardType, { drives = genericDrives, faults = usualFaults(board) }: { drives?: MeterDrives; faults?: Fault[] } = {}): Dictionary => {
  const nets = [...new Set(board.testPoints.map(({ net }) => net))]
  return { faults, ...tabulate(networkOf(board, []), faults.map((fault) => networkOf(board, [fault])), nets, drives) }
}
