/** A part from a donor board is measured alone before it is fitted: a board type of that one part, with a small sequence of its own. */
import type { BoardType, MeasureStep, Step } from '../board/board-type'
import type { Part } from '../board/part'
import { placesOf } from '../board/part-places'

const prefix = 'donor-'
export const isDonorBoard = (board: string): boolean => board.startsWith(prefix)

const words = (pin: string): string => `${/^[a-z]+$/.test(pin) ? `the ${pin}` : `pin ${pin}`} of the loose part`

const step = (id: string, title: string, ref: string, red: string, black: string, rest: Pick<MeasureStep, 'function'> & Partial<MeasureStep>): Step =>
  ({ kind: 'measure', id, title, parts: [ref], red, black, then: [], ...rest })

/** A loose charged capacitor is a source: it is emptied first. */
const emptied: Step = {
  kind: 'do', id: 'emptied', title: 'Empty the capacitor', parts: [], then: [],
  words: 'Discharge the loose capacitor through 100 Ω for five seconds, never with a screwdriver.', caution: 'A capacitor from another board can still hold a charge.',
}

/** Steps of one kind of part alone; empty: a meter cannot tell whether such a part is good. Limits left out are computed for the meter. */
const stepsOf = (part: Part): Step[] => {
  const { ref } = part
  const [place] = placesOf(part)
  const conducts = (from: string, to: string, name = ''): Step[] => [
    step(`${from}-${to}-forward`, `${ref}${name} forward`, ref, from, to, { function: 'diode' }),
    step(`${from}-${to}-reverse`, `${ref}${name} reverse`, ref, to, from, { function: 'diode', limits: 'open' }),
  ]
  if (place === undefined) return []
  switch (part.kind) {
    case 'resistor': return part.value === undefined ? [] : [step('ohms', `${ref} resistance`, ref, place.from, place.to, { function: 'resistance', limits: { nominal: part.value, tolerance: Math.max(part.tolerance ?? 0, 0.01) } })]
    case 'fuse': case 'link': case 'closed-contact': return [step('ohms', `${ref} resistance`, ref, place.from, place.to, part.value === undefined ? { function: 'resistance', limits: 'short' } : { function: 'resistance' })]
    case 'coil': case 'ferrite-bead': case 'ntc': case 'ptc': return [step('ohms', `${ref} resistance`, ref, place.from, place.to, { function: 'resistance' })]
    case 'choke': case 'transformer': return placesOf(part).map(({ from, to }) => step(`ohms-${from}`, `${ref} winding ${from}`, ref, from, to, { function: 'resistance' }))
    case 'capacitor': return [emptied,
      ...(part.value === undefined ? [] : [step('farads', `${ref} capacitance`, ref, place.from, place.to, { function: 'capacitance', limits: { nominal: part.value, tolerance: Math.max(part.tolerance ?? 0.2, 0.02) } })]),
      step('leak', `${ref} leak`, ref, place.from, place.to, { function: 'resistance', limits: { atLeast: 1e5 }, where: 'Common practice, no source: a sound one of this size does not leak under 100 kΩ.' })]
    case 'diode': case 'rectifier': case 'schottky': case 'zener': case 'tvs': case 'led': return conducts('anode', 'cathode')
    case 'npn': return [...conducts('base', 'emitter', ' base to emitter'), ...conducts('base', 'collector', ' base to collector')]
    case 'pnp': return [...conducts('emitter', 'base', ' emitter to base'), ...conducts('collector', 'base', ' collector to base')]
    case 'n-mosfet': return [...conducts('source', 'drain', ' body diode'), step('gate', `${ref} gate`, ref, 'gate', 'source', { function: 'resistance', limits: { atLeast: 1e6 } })]
    case 'p-mosfet': return [...conducts('drain', 'source', ' body diode'), step('gate', `${ref} gate`, ref, 'gate', 'source', { function: 'resistance', limits: { atLeast: 1e6 } })]
    case 'two-way-protector': case 'varistor': case 'gas-tube': case 'thyristor-protector': return placesOf(part).map(({ from, to }) => step(`leak-${from}`, `${ref} leak`, ref, from, to, { function: 'resistance', limits: { atLeast: 1e6 }, means: 'An open one reads like a good one.' }))
    default: return []
  }
}

/** Why a part of this kind is not measured alone, in a sentence; null: it is. */
export const refusalToTestAlone = (part: Part): string | null => (stepsOf(part).length > 0 ? null
  : `A meter cannot tell whether a loose ${part.kind === 'ic' ? 'IC' : part.kind} is good. Fit a new one, or take the donor’s on trust: the log says that it was not measured.`)

/** Why no loose part is measured alone for this unit, in a sentence; null: it is. */
export const refusalOfDonorTest = (part: Part, isPractice: boolean): string | null =>
  (isPractice ? 'There is no donor board in practice: fit a new part.' : refusalToTestAlone(part))

/** The board type of the loose part. Its first test points are its pins, each a net of its own. */
export const donorBoard = (of: BoardType, part: Part): BoardType => {
  const pins = Object.keys(part.pins)
  // It lies on no picture any more.
  const { place: _, ...loose } = part
  return {
    schema: of.schema, id: `${prefix}${of.id}`.slice(0, 40), name: `Loose ${part.ref} for ${of.name}`.slice(0, 80), revision: of.revision, hazard: 'extra-low', mainsReferenced: false,
    cautions: [], pictures: [], nets: pins.map((pin) => `P_${pin}`.replace(/[^A-Za-z0-9_.+-]/g, '_')),
    testPoints: pins.map((pin) => ({ id: pin, net: `P_${pin}`.replace(/[^A-Za-z0-9_.+-]/g, '_'), picture: 'none', x: 0, y: 0, words: words(pin) })),
    parts: [{ ...loose, pins: Object.fromEntries(pins.map((pin) => [pin, `P_${pin}`.replace(/[^A-Za-z0-9_.+-]/g, '_')])) }],
    energyStores: [], disconnect: ['the part from its donor board: it lies loose before you'],
    sequence: { id: `alone-${part.ref}`.slice(0, 40), version: 1, steps: stepsOf(part) },
  }
}

/** What stands on the run of such a test, and is looked for when the part is logged. */
export const donorName = (part: string, donor: string): string => `${part} from ${donor}`.slice(0, 80)
