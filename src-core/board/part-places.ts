/** Which pins a part of each kind has, and the places between them where it conducts, or fails: windings, junctions, inputs. */
import type { Part, PartKind } from './part'

/** A pair of pins, and how a fault there is named after the part: null where the part has one place only. */
export type Place = { place: string | null; from: string; to: string }

/** Pin names that mean an IC's negative supply. */
export const negativeSupplyPins: readonly string[] = ['GND', 'VSS', 'VEE', '0V', 'V-', '-']
/** Pin names that mean an IC's positive supply: its clamp diodes lead there. */
export const positiveSupplyPins: readonly string[] = ['VCC', 'VDD', 'VS', 'V+', '+', '5V', '3V3']

/** `pairs`: an even number of pins, two a winding. `named`: exactly these; `more` allows others, which carry nothing. */
type Pins = { pins: 'two' } | { pins: 'pairs' } | { pins: 'any' } | { pins: 'named'; names: readonly string[]; more?: true; or?: 'two' }

const junction: Pins = { pins: 'named', names: ['anode', 'cathode'] }
const bipolar: Pins = { pins: 'named', names: ['base', 'collector', 'emitter'] }
const fieldEffect: Pins = { pins: 'named', names: ['gate', 'drain', 'source'] }
const two: Pins = { pins: 'two' }

const pinsOfKind: Record<PartKind, Pins> = {
  resistor: two, ntc: two, ptc: two, 'ferrite-bead': two, coil: two, capacitor: two,
  choke: { pins: 'pairs' }, transformer: { pins: 'pairs' },
  diode: { ...junction, more: true }, zener: { ...junction, more: true }, rectifier: junction, schottky: junction, tvs: junction, led: junction,
  'two-way-protector': two, varistor: two, 'thyristor-protector': two, 'gas-tube': { pins: 'named', names: ['a', 'b', 'common'], or: 'two' },
  bridge: { pins: 'named', names: ['AC1', 'AC2', 'plus', 'minus'] },
  optocoupler: { pins: 'named', names: ['anode', 'cathode', 'collector', 'emitter'] },
  npn: bipolar, pnp: bipolar, 'n-mosfet': fieldEffect, 'p-mosfet': fieldEffect,
  fuse: two, link: two, contact: two, 'closed-contact': two, ic: { pins: 'any' }, connector: { pins: 'any' },
}

/** "a diode", "an npn". */
export const kindInWords = (kind: PartKind): string => (/^(ic|led|npn|ntc|n-)/.test(kind) ? `an ${kind}` : `a ${kind}`)
const listed = (names: readonly string[]): string => `${names.slice(0, -1).map((name) => `"${name}"`).join(', ')} and "${names.at(-1) ?? ''}"`

/** What is wrong with a part's pins and what to do, or null. */
export const pinsMisfit = (part: Part): string | null => {
  const pins = Object.keys(part.pins)
  const rule = pinsOfKind[part.kind]
  switch (rule.pins) {
    case 'two': return pins.length === 2 ? null : `${part.ref} is ${kindInWords(part.kind)}; it must have two pins, not ${pins.length}`
    case 'pairs': return pins.length >= 2 && pins.length % 2 === 0 ? null
      : `${part.ref} is ${kindInWords(part.kind)}; list its pins in pairs, one pair a winding`
    case 'named': {
      const fits = rule.names.every((name) => pins.includes(name)) && (rule.more === true || pins.length === rule.names.length)
      return fits || (rule.or === 'two' && pins.length === 2) ? null
        : `${part.ref} is ${kindInWords(part.kind)}; name its pins ${listed(rule.names)}${rule.or === 'two' ? ', or give it two' : ''}`
    }
    case 'any': return part.kind !== 'ic' || part.value === undefined || negativePin(part) !== null ? null
      : `${part.ref} has the resistance of its inputs, so one pin must be its negative supply: ${negativeSupplyPins.map((name) => `"${name}"`).join(', ')}`
  }
}

const pinAmong = (part: Part, names: readonly string[]): string | null =>
  Object.keys(part.pins).find((pin) => names.includes(pin.toUpperCase())) ?? null
export const negativePin = (part: Part): string | null => pinAmong(part, negativeSupplyPins)
export const positivePin = (part: Part): string | null => pinAmong(part, positiveSupplyPins)

const named = (...pairs: [string, string][]): Place[] => pairs.map(([from, to]) => ({ place: `${from}-${to}`, from, to }))

/** Parts are not changed once they are read, and a network is made of them thousands of times. */
const known = new WeakMap<Part, Place[]>()

/**
 * In the order of the pins; the names end up in a fault's `pin`: an input of an IC by its pin, a winding by its first pin, a junction by both
 * ("base-emitter", "AC1-plus"). Empty for a connector, and where the pins do not fit the kind.
 */
export const placesOf = (part: Part): readonly Place[] => {
  const places = known.get(part) ?? placesBetween(part)
  known.set(part, places)
  return places
}

const placesBetween = (part: Part): Place[] => {
  if (pinsMisfit(part) !== null) return []
  const pins = Object.keys(part.pins)
  const [first = '', second = ''] = pins
  switch (part.kind) {
    case 'choke': case 'transformer':
      return pins.flatMap((from, at) => { const to = pins[at + 1]; return at % 2 === 0 && to !== undefined ? [{ place: from, from, to }] : [] })
    case 'diode': case 'rectifier': case 'schottky': case 'zener': case 'tvs': case 'led': return [{ place: null, from: 'anode', to: 'cathode' }]
    case 'gas-tube': return pins.length === 2 ? [{ place: null, from: first, to: second }] : named(['a', 'common'], ['b', 'common'])
    case 'bridge': return named(['AC1', 'plus'], ['AC2', 'plus'], ['minus', 'AC1'], ['minus', 'AC2'])
    case 'optocoupler': return named(['anode', 'cathode'], ['collector', 'emitter'])
    case 'npn': case 'pnp': return named(['base', 'emitter'], ['base', 'collector'], ['collector', 'emitter'])
    case 'n-mosfet': case 'p-mosfet': return named(['gate', 'source'], ['drain', 'source'])
    case 'ic': {
      const to = negativePin(part)
      return to === null ? [] : pins.filter((pin) => !negativeSupplyPins.includes(pin.toUpperCase())).map((pin) => ({ place: pin, from: pin, to }))
    }
    case 'connector': return []
    case 'resistor': case 'ntc': case 'ptc': case 'ferrite-bead': case 'coil': case 'capacitor': case 'two-way-protector': case 'varistor':
    case 'thyristor-protector': case 'fuse': case 'link': case 'contact': case 'closed-contact': return [{ place: null, from: first, to: second }]
  }
}
