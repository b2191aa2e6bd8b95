/** The board as a network: its parts become resistances, junctions and capacitances between nets, with faults and tolerances in them. */
import type { BoardType, Part } from '../board/board-type'
import type { Element, Exponential, Network } from './elements'
import { type Fault, negativeSupplyPins } from './faults'
import type { Random } from './seeded-random'

/** What each part's value is multiplied by; a part that is not named has its nominal value. */
export type Spread = Readonly<Record<string, number>>

/** k·T/q at 25 °C, V (the constants of the SI, 2019). */
const thermalVolts = 1.380649e-23 * 298.15 / 1.602176634e-19

/** A silicon junction: 0.58 V at 1 mA, 0.48 V at 0.1 mA (common practice, no source). `leakageSiemens`: 0.1 nA at 1 V. */
export const siliconJunction = {
  forward: { amperes: 2.52e-9, atVolts: 0, slopeVolts: 1.752 * thermalVolts }, seriesOhms: 0.6, leakageSiemens: 1e-10,
}
/** The value is the voltage at 5 mA; 5 Ω there (common practice, no source). */
const breakdownAt = (volts: number): Exponential => ({ amperes: 5e-3, atVolts: volts, slopeVolts: thermalVolts })
const usualWindingOhms = 1
const usualFuseOhms = 0.1

/** Draws every part inside its tolerance, evenly. */
export const drawSpread = (board: BoardType, random: Random): Spread =>
  Object.fromEntries(board.parts.map((part) => [part.ref, 1 + (part.tolerance ?? 0) * (2 * random() - 1)]))

/** One piece of a part: between which nets, which pin names it, and what a sound one is made of. */
type Piece = { pin: string; from: string; to: string; sound: Element[] }

const resistance = (part: Part, from: string, to: string, ohms: number): Element => ({ kind: 'resistance', part: part.ref, from, to, ohms })

const piecesOf = (part: Part, factor: number): Piece[] => {
  const pins = Object.entries(part.pins)
  const [first, second] = pins
  if (!first || !second) return []
  const [pin, from] = first
  const to = second[1]
  const whole = (sound: Element[]): Piece[] => [{ pin, from, to, sound }]
  switch (part.kind) {
    case 'resistor': return whole(part.value === undefined ? [] : [resistance(part, from, to, part.value * factor)])
    case 'fuse': return whole([resistance(part, from, to, (part.value ?? usualFuseOhms) * factor)])
    case 'coil': return whole([resistance(part, from, to, (part.windingOhms ?? usualWindingOhms) * factor)])
    case 'capacitor': return whole(part.value === undefined ? []
      : [{ kind: 'capacitance', part: part.ref, from, to, farads: part.value * factor }])
    case 'choke':
      return pins.flatMap(([start, net], at) => {
        const end = at % 2 === 0 ? pins[at + 1] : undefined
        if (!end) return []
        const winding = resistance(part, net, end[1], (part.windingOhms ?? usualWindingOhms) * factor)
        return [{ pin: start, from: net, to: end[1], sound: [winding] }]
      })
    case 'diode':
    case 'zener': {
      const { anode, cathode } = part.pins
      if (anode === undefined || cathode === undefined) return []
      return [{ pin: 'anode', from: anode, to: cathode, sound: junctionsOf(part, anode, cathode, factor) }]
    }
    case 'two-way-protector': return whole(part.value === undefined ? [] : [{
      kind: 'junction', part: part.ref, anode: from, cathode: to, forward: breakdownAt(part.value * factor),
      reverse: breakdownAt(part.value * factor), seriesOhms: siliconJunction.seriesOhms, leakageSiemens: siliconJunction.leakageSiemens,
    }])
    case 'contact': return whole([])
    case 'connector': return []
    case 'ic': {
      const ground = pins.find(([name]) => negativeSupplyPins.includes(name.toUpperCase()))
      const ohms = part.value
      if (!ground || ohms === undefined) return []
      return pins.filter((one) => one !== ground)
        .map(([name, net]) => ({ pin: name, from: net, to: ground[1], sound: [resistance(part, net, ground[1], ohms * factor)] }))
    }
  }
}

const junctionsOf = (part: Part, anode: string, cathode: string, factor: number): Element[] => [{
  kind: 'junction', part: part.ref, anode, cathode, ...siliconJunction,
  reverse: part.kind === 'zener' && part.value !== undefined ? breakdownAt(part.value * factor) : null,
}]

const turned = (element: Element): Element =>
  element.kind === 'junction' ? { ...element, anode: element.cathode, cathode: element.anode } : element

const drifted = (element: Element, factor: number): Element => {
  switch (element.kind) {
    case 'resistance': return { ...element, ohms: element.ohms * factor }
    case 'capacitance': return { ...element, farads: element.farads * factor }
    case 'junction': return element
  }
}

const withFault = (piece: Piece, elements: Element[], fault: Fault): Element[] => {
  const across = (ohms: number): Element => ({ kind: 'resistance', part: fault.ref, from: piece.from, to: piece.to, ohms })
  switch (fault.kind) {
    case 'open': return []
    case 'short': return [across(fault.ohms)]
    case 'leaky': return [...elements, across(fault.ohms)]
    case 'drifted': return elements.map((element) => drifted(element, fault.factor))
    case 'reversed': return elements.map(turned)
  }
}

/**
 * The network of a board with nothing supplied and its links open. Connectors and sound contacts carry nothing; an IC is its inputs' resistance to its
 * negative supply pin (its substrate junctions are not modelled here). An open part is gone; `spread` multiplies values.
 */
export const networkOf = (board: BoardType, faults: readonly Fault[], spread: Spread = {}): Network => ({
  elements: board.parts.flatMap((part) =>
    piecesOf(part, spread[part.ref] ?? 1).flatMap((piece) =>
      faults.filter((fault) => fault.ref === part.ref && (fault.pin === null || fault.pin === piece.pin))
        .reduce((elements, fault) => withFault(piece, elements, fault), piece.sound))),
})
