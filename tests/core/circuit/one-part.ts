/** A board of one part, and what its elements conduct by the formula of elements.ts, worked out here once more. */
import type { BoardType } from '../../../src-core/board/board-type'
import type { Part } from '../../../src-core/board/part'
import type { Element, Exponential, Junction } from '../../../src-core/circuit/elements'
import { networkOf, type NetworkOptions } from '../../../src-core/circuit/network'
import { faultsOf, sampleBoard } from './sample'

export const boardOf = (...parts: Part[]): BoardType => ({
  ...sampleBoard(), parts, nets: [...new Set(parts.flatMap(({ pins }) => Object.values(pins)))], testPoints: [], energyStores: [],
})

/** Pins become nets of the same name in capitals. */
export const partOf = (kind: Part['kind'], pins: readonly string[], more: Partial<Part> = {}): Part =>
  ({ ref: 'X1', kind, pins: Object.fromEntries(pins.map((pin) => [pin, pin.toUpperCase()])), ...more })

export const elementsOf = (part: Part, faults: readonly string[] = [], options: NetworkOptions = {}): Element[] => {
  const board = boardOf(part)
  return networkOf(board, faultsOf(board, ...faults), options).elements
}

export const junctionOf = (elements: readonly Element[], at = 0): Junction => {
  const found = elements.filter((element) => element.kind === 'junction')[at]
  if (found === undefined) throw new Error('no such junction')
  return found
}

export const ohmsOf = (elements: readonly Element[]): number[] => elements.flatMap((element) => (element.kind === 'resistance' ? [element.ohms] : []))

const branch = (one: Exponential | null, volts: number): number =>
  (one === null ? 0 : one.amperes * (Math.exp((volts - one.atVolts) / one.slopeVolts) - Math.exp(-one.atVolts / one.slopeVolts)))
export const amperesThrough = (junction: Junction, volts: number): number =>
  branch(junction.forward, volts) - branch(junction.reverse, -volts) + volts * junction.leakageSiemens

/** From anode to cathode, series resistance and all, by halving. */
export const voltsAt = (junction: Junction, amperes: number): number => {
  let [low, high] = [-1000, 1000]
  for (let halved = 0; halved < 200; halved += 1) {
    const middle = (low + high) / 2
    if (amperesThrough(junction, middle) < amperes) low = middle
    else high = middle
  }
  return (low + high) / 2 + amperes * junction.seriesOhms
}
