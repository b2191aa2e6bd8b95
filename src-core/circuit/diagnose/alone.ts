/** Whether a part with a leg lifted would tell its states apart. */
import type { BoardType, Part } from '../../board/board-type'
import { placesOf } from '../../board/part-places'
import type { Fault } from '../faults'
import type { MeterDrives } from '../meter-drive'
import { networkOf } from '../network'
import { read, readerOf } from '../read'
import { agree, type Gauge } from './allowed-placements'
import { onScale } from './display-scale'
import type { MeterFunction } from '../../meter/reading'

const functions: readonly MeterFunction[] = ['resistance', 'diode']

/** Measured by itself, pin against pin, both ways. `capacitance`: whether the meter measures it. */
export const tellsAlone = (board: BoardType, part: Part, fault: Fault, drives: MeterDrives, gaugeOf: (what: MeterFunction) => Gauge, capacitance = false): boolean => {
  const pins = Object.fromEntries(Object.keys(part.pins).map((pin) => [pin, pin]))
  const only = { ...board, nets: Object.keys(pins), parts: [{ ...part, pins }] }
  const [good, bad] = [readerOf(networkOf(only, [])), readerOf(networkOf(only, [fault]))]
  const taken = capacitance && part.kind === 'capacitor' ? [...functions, 'capacitance' as const] : functions
  return placesOf(part).some(({ from, to }) => taken.some((what) => [[from, to], [to, from]].some(([red = '', black = '']) => {
    const shown = [good, bad].map((reader) => read(reader, red, black, what, drives))
    const [a, b] = shown.map((one) => (one.ok && one.value !== 'overload' ? onScale(what, one.value) : Infinity))
    return a !== undefined && b !== undefined && !agree(gaugeOf(what), what, a, b)
  })))
}
