/** What a sound part is made of between each pair of its pins, at a temperature and with its own deviation from nominal. */
import type { Part, PartParameters } from '../board/part'
import { placesOf, positivePin, type Place } from '../board/part-places'
import type { Element, Exponential, Junction } from './elements'
import { saturationFor, shockley } from './junction-law'
import {
  baseCollector, baseEmitter, bodyDiode, type BreakdownFigures, clampDiode, clampForward, contactOhms, darkOhms, emitterBaseVolts, fuseOhms,
  gasTubeOhms, infraredLed, type JunctionFigures, linkOhms, ntcBeta, ptcPerKelvin, ptcPerKelvinSquared, rectifierDiode, schottkyDiode, signalDiode,
  suppressorBreakdown, thyristorBreakdown, usualBreakoverVolts, usualWindingOhms, varistorBreakdown, visibleLed, zenerBreakdown,
} from './part-parameters'
import { copperFactor, ntcFactor, polynomialFactor } from './resistance-law'

/** `from` and `to` are nets; what lies elsewhere in `sound` are an IC pin's diode to its positive supply. */
export type Piece = { place: string | null; from: string; to: string; sound: Element[] }
/** `value`, `junctions` and `breakdown` multiply resistances and capacitances, saturation currents, and breakdown volts. */
export type Factors = { value: number; junctions: number; breakdown: number }

/** The kind's junction, with what the board states instead. */
export const junctionFigures = (figures: JunctionFigures, own: PartParameters = {}): JunctionFigures => ({
  saturationAmperes: own.saturationAmperes ?? figures.saturationAmperes, ideality: own.ideality ?? figures.ideality,
  seriesOhms: own.seriesOhms ?? figures.seriesOhms, leakageOhms: own.leakageOhms ?? figures.leakageOhms,
  spread: own.junctionSpread ?? figures.spread, barrier: figures.barrier,
})

/** The junctions of a part's kind; null where it has none whose saturation current matters. */
export const figuresOf = (part: Part): JunctionFigures | null => {
  const own = part.parameters
  const led = (usual: typeof visibleLed): JunctionFigures =>
    junctionFigures({ ...usual, saturationAmperes: saturationFor(part.value ?? usual.volts, 1e-3, own?.ideality ?? usual.ideality) }, own)
  switch (part.kind) {
    case 'diode': return junctionFigures(signalDiode, own)
    case 'rectifier': case 'bridge': return junctionFigures(rectifierDiode, own)
    case 'schottky': return junctionFigures(schottkyDiode, own)
    case 'zener': case 'tvs': return junctionFigures(clampForward, own)
    case 'led': return led(visibleLed)
    case 'optocoupler': return led(infraredLed)
    case 'npn': case 'pnp': return junctionFigures(baseEmitter, own)
    case 'n-mosfet': case 'p-mosfet': return junctionFigures(bodyDiode, own)
    case 'ic': return junctionFigures(clampDiode, own)
    case 'resistor': case 'ntc': case 'ptc': case 'ferrite-bead': case 'coil': case 'choke': case 'transformer': case 'capacitor':
    case 'two-way-protector': case 'varistor': case 'gas-tube': case 'thyristor-protector': case 'fuse': case 'link': case 'contact':
    case 'closed-contact': case 'connector': return null
  }
}

const ohmsAt = (part: Part, place: Place, celsius: number): number | null => {
  const own = part.parameters ?? {}
  const winding = (): number => ((place.place === null ? undefined : own.pinOhms?.[place.place]) ?? part.windingOhms ?? usualWindingOhms(part.kind)) * copperFactor(celsius)
  switch (part.kind) {
    case 'resistor': return part.value ?? null
    case 'ntc': return part.value === undefined ? null : part.value * ntcFactor(own.betaKelvin ?? ntcBeta, celsius)
    case 'ptc': return part.value === undefined ? null : part.value * polynomialFactor(own.perKelvin ?? ptcPerKelvin,
      own.perKelvinSquared ?? (own.perKelvin === undefined ? ptcPerKelvinSquared : 0), own.referenceCelsius ?? 25, celsius)
    case 'ferrite-bead': case 'coil': case 'choke': case 'transformer': return winding()
    case 'fuse': return part.value ?? fuseOhms
    case 'link': return part.value ?? linkOhms
    case 'closed-contact': return part.value ?? contactOhms
    case 'gas-tube': return own.leakageOhms ?? gasTubeOhms
    case 'capacitor': return own.leakageOhms ?? null
    case 'ic': return (place.place === null ? undefined : own.pinOhms?.[place.place]) ?? part.value ?? null
    default: return null
  }
}

const avalanche = (volts: number, { amperes, slopeVolts }: BreakdownFigures, own: PartParameters | undefined, factor: number): Exponential =>
  ({ amperes, atVolts: volts * factor, slopeVolts: own?.breakdownSlopeVolts ?? slopeVolts(volts) })

const twoWay: Partial<Record<Part['kind'], BreakdownFigures>> =
  { 'two-way-protector': suppressorBreakdown, varistor: varistorBreakdown, 'thyristor-protector': thyristorBreakdown }

const soundBetween = (part: Part, place: Place, netOf: (pin: string) => string, factors: Factors, celsius: number): Element[] => {
  const [from, to] = [netOf(place.from), netOf(place.to)]
  const own = part.parameters
  const junction = (anode: string, cathode: string, figures: JunctionFigures | null, reverse: Exponential | null = null): Junction[] => (figures === null ? [] : [{
    kind: 'junction', part: part.ref, anode, cathode, reverse, seriesOhms: figures.seriesOhms, leakageSiemens: 1 / figures.leakageOhms,
    forward: shockley(figures.saturationAmperes * factors.junctions, figures.ideality, figures.barrier, celsius),
  }])
  const resistance = (ohms: number | null): Element[] =>
    (ohms === null ? [] : [{ kind: 'resistance', part: part.ref, from, to, ohms: ohms * factors.value }])
  const figures = figuresOf(part)
  switch (part.kind) {
    case 'capacitor': return [
      ...(part.value === undefined ? [] : [{ kind: 'capacitance' as const, part: part.ref, from, to, farads: part.value * factors.value }]),
      ...(own?.leakageOhms === undefined ? [] : resistance(own.leakageOhms)),
    ]
    case 'diode': case 'rectifier': case 'schottky': case 'led': case 'bridge': return junction(from, to, figures)
    case 'zener': case 'tvs': return junction(from, to, figures, part.value === undefined ? null
      : avalanche(part.value, part.kind === 'zener' ? zenerBreakdown : suppressorBreakdown, own, factors.breakdown))
    case 'two-way-protector': case 'varistor': case 'thyristor-protector': {
      const kind = twoWay[part.kind]
      const volts = part.value ?? (part.kind === 'thyristor-protector' ? usualBreakoverVolts : undefined)
      if (kind === undefined || volts === undefined) return []
      const branch = avalanche(volts, kind, own, factors.breakdown)
      return [{ kind: 'junction', part: part.ref, anode: from, cathode: to, forward: branch, reverse: branch,
        seriesOhms: own?.seriesOhms ?? kind.seriesOhms, leakageSiemens: 1 / (own?.leakageOhms ?? kind.leakageOhms) }]
    }
    case 'optocoupler': return place.from === 'anode' ? junction(from, to, figures) : resistance(darkOhms)
    case 'npn': case 'pnp': {
      if (place.from !== 'base' || figures === null) return []
      const [anode, cathode] = part.kind === 'npn' ? [from, to] : [to, from]
      return place.to === 'emitter'
        ? junction(anode, cathode, figures, avalanche(emitterBaseVolts, zenerBreakdown, own, 1))
        : junction(anode, cathode, { ...figures, saturationAmperes: figures.saturationAmperes * (baseCollector.saturationAmperes / baseEmitter.saturationAmperes) })
    }
    case 'n-mosfet': return place.from === 'drain' ? junction(to, from, figures) : []
    case 'p-mosfet': return place.from === 'drain' ? junction(from, to, figures) : []
    case 'ic': {
      const clamps = own?.clamps ?? 'both'
      const plus = positivePin(part)
      return [
        ...resistance(ohmsAt(part, place, celsius)),
        ...(clamps === 'none' && place.from !== plus ? [] : junction(to, from, figures)),
        ...(clamps === 'both' && plus !== null && plus !== place.from ? junction(from, netOf(plus), figures) : []),
      ]
    }
    case 'contact': case 'connector': return []
    case 'resistor': case 'ntc': case 'ptc': case 'ferrite-bead': case 'coil': case 'choke': case 'transformer': case 'gas-tube': case 'fuse':
    case 'link': case 'closed-contact': return resistance(ohmsAt(part, place, celsius))
  }
}

/** @param netOf the net of a pin, as the board's state leaves it. */
export const piecesOf = (part: Part, netOf: (pin: string) => string, factors: Factors, celsius: number): Piece[] =>
  placesOf(part).map((place) => ({ place: place.place, from: netOf(place.from), to: netOf(place.to), sound: soundBetween(part, place, netOf, factors, celsius) }))
