/** Fits a meter's source in diode test and resistance from what it shows on known resistors and a diode; says what cannot be known from that. */
import type { MeasuredValue } from '../meter/reading'
import type { MeterSource } from '../meter/register'
import { curveThrough, diodeVolts, shownInSeries, type DiodeCurve } from './diode-curve'
import { foundWords, openWords, resistorWords, type Foundling } from './fit-words'
import { atMost, drivenAt, fitLine, type DrivenPoint, type LineFit, type SourceLine } from './source-line'

export type SourceResistor = 'first' | 'second'
/** Between the tips; “reversed”: red on the cathode. The diode across or in series with a resistor is placed so that it conducts. */
export type FitPlacement = 'apart' | SourceResistor | 'diode' | 'diode-reversed' | 'diode-across-first' | 'diode-and-second'

export type FitReading = { function: 'diode' | 'resistance'; placement: FitPlacement; value: MeasuredValue; resolution: number | null; range: number | null }

type Ohms = Record<SourceResistor, number>

/** Kit figures of the resistors, Ω; and the diode's calibrated voltage where it has one. */
export type FitKit = { ohms: Ohms; diode: { volts: number; amperes: number } | null }

export type Plus = 'red' | 'black' | null
/** Relative expanded uncertainties (k = 2) that come of the display's last digit and a repeatability of 0.1 %; not of the meter's own accuracy. */
export type Sureness = { volts: number; ohms: number }
export type FittedSource = { source: MeterSource; ohmsAtMost: boolean; sure: Sureness }
export type SourceFit = {
  fitted: FittedSource[]
  /** What was found, a sentence each. */
  found: string[]
  /** What these readings cannot tell, and what to do about it. */
  open: string[]
}

const functions = ['diode', 'resistance'] as const
const usualResistors: readonly SourceResistor[] = ['first', 'second']
/** A resistor that reads further off than this is not the one of the kit. */
const kitTolerance = 0.05
/** Beside the last digit (common practice, no source). */
const repeatability = 0.001
/** A diode conducts towards the lower of two figures this much apart. */
const clearlyLower = 3
/** A fit less sure than this is told, not kept. */
const leastSure = 0.25
/** The diode's calibrated voltage and the fit may differ by this much: its temperature alone gives 2 mV/K (common practice, no source). */
const diodeAgrees = 0.03

type Seen = (fn: FitReading['function'], placement: FitPlacement) => FitReading | undefined
const seenIn = (readings: readonly FitReading[]): Seen => (fn, placement) => readings.findLast((each) => each.function === fn && each.placement === placement)
const figure = (reading: FitReading | undefined): number | null => (typeof reading?.value === 'number' ? Math.abs(reading.value) : null)

/** The resistors as the meter itself reads them: nearer to the truth than their colour bands. */
const trueOhms = (seen: Seen, kit: FitKit): { ohms: Ohms; wrong: string[] } => {
  const ohms = { ...kit.ohms }
  const wrong: string[] = []
  for (const one of usualResistors) {
    const [said, read] = [kit.ohms[one], figure(seen('resistance', one))]
    if (read === null) continue
    if (Math.abs(read - said) > kitTolerance * said) wrong.push(resistorWords(one, read, said))
    else ohms[one] = read
  }
  return { ohms, wrong }
}

/** Which lead is plus: the way round in which the diode conducts. Null: it conducted neither way, or both. */
export const plusOf = (forward: MeasuredValue | undefined, reversed: MeasuredValue | undefined, openShows: MeasuredValue | undefined): Plus => {
  if (forward === undefined || reversed === undefined) return null
  const open = typeof openShows === 'number' ? Math.abs(openShows) * 0.97 : Infinity
  const conducts = (value: MeasuredValue): number => (typeof value === 'number' && Math.abs(value) < open ? Math.abs(value) : Infinity)
  const [f, r] = [conducts(forward), conducts(reversed)]
  if (f * clearlyLower < r) return 'red'
  return r * clearlyLower < f ? 'black' : null
}

const diodePoints = (seen: Seen, ohms: Ohms): DrivenPoint[] => usualResistors.flatMap((one) => {
  const volts = figure(seen('diode', one))
  return volts === null || volts === 0 ? [] : [{ volts, amperes: volts / ohms[one] }]
})

const diodeFit = (seen: Seen, ohms: Ohms): LineFit => fitLine(diodePoints(seen, ohms), figure(seen('diode', 'apart')))

/** The way round in which it conducts. */
const conducting = (seen: Seen, fn: FitReading['function'], plus: Plus): FitReading | undefined =>
  plus === null ? undefined : seen(fn, plus === 'red' ? 'diode' : 'diode-reversed')

/** What the source drives at a voltage, also where only its limit is known. */
const driven = (fit: LineFit, volts: number): number | null =>
  fit.kind === 'source' ? drivenAt(fit.line, volts) : fit.kind === 'limit-only' && volts <= fit.upToVolts * 1.1 ? fit.amperes : null

const curveOf = (seen: Seen, ohms: Ohms, fit: LineFit, plus: Plus): DiodeCurve | null => {
  const alone = figure(conducting(seen, 'diode', plus))
  const [beside, bare] = [figure(seen('diode', 'diode-across-first')), figure(seen('diode', 'first'))]
  if (alone === null || beside === null || bare === null) return null
  const high = driven(fit, alone)
  const low = driven(fit, beside)
  const bareDriven = driven(fit, bare)
  if (high === null || low === null || bareDriven === null) return null
  // What the diode takes away from the resistor, from the drop it makes there: the resistor's own value matters little.
  return curveThrough({ volts: alone, amperes: high }, { volts: beside, amperes: low - bareDriven + (bare - beside) / ohms.first })
}

/** Points of the resistance function, with the range they were shown on: told by its resolution. */
type RangePoint = DrivenPoint & { resolution: number | null; range: number | null }

const resistancePoints = (seen: Seen, ohms: Ohms, curve: DiodeCurve | null, plus: Plus): RangePoint[] => {
  if (curve === null || plus === null) return []
  const at = (reading: FitReading | undefined, solve: (shown: number) => DrivenPoint | null): RangePoint[] => {
    const shown = figure(reading)
    const point = shown === null || shown === 0 ? null : solve(shown)
    return point === null || reading === undefined ? [] : [{ ...point, resolution: reading.resolution, range: reading.range }]
  }
  return [
    ...at(conducting(seen, 'resistance', plus), (shown) => shownInSeries(curve, shown, 0)),
    ...at(seen('resistance', 'diode-and-second'), (shown) => shownInSeries(curve, shown, ohms.second)),
  ]
}

const sameRange = (a: RangePoint, b: RangePoint): boolean =>
  a.resolution !== null && b.resolution !== null ? Math.abs(a.resolution / b.resolution - 1) < 1e-6 : a.range !== null && a.range === b.range

type RangeFit = { points: RangePoint[]; fit: LineFit }
const rangeFits = (points: readonly RangePoint[]): RangeFit[] => {
  const groups = points.reduce<RangePoint[][]>((all, point) => {
    const own = all.find(([first]) => first !== undefined && sameRange(first, point))
    return own === undefined ? [...all, [point]] : all.map((group) => (group === own ? [...group, point] : group))
  }, [])
  return groups.map((group) => ({ points: group, fit: fitLine(group, null) }))
}

type Whole = { plus: Record<'diode' | 'resistance', Plus>; diode: LineFit; curve: DiodeCurve | null; ranges: RangeFit[]; wrong: string[] }

const whole = (readings: readonly FitReading[], kit: FitKit): Whole => {
  const seen = seenIn(readings)
  const { ohms, wrong } = trueOhms(seen, kit)
  const plus = (fn: FitReading['function']): Plus => plusOf(seen(fn, 'diode')?.value, seen(fn, 'diode-reversed')?.value, seen(fn, 'apart')?.value)
  const both = { diode: plus('diode'), resistance: plus('resistance') }
  const diode = diodeFit(seen, ohms)
  const curve = curveOf(seen, ohms, diode, both.diode)
  return { plus: both, diode, curve, ranges: rangeFits(resistancePoints(seen, ohms, curve, both.resistance)), wrong }
}

const lineOf = (fit: LineFit | undefined): SourceLine | null => (fit?.kind === 'source' ? fit.line : null)

/** Each reading moved by what it may be off, one after the other; what the source moves by adds up as variances (JCGM 100:2008, 5.1.2). */
const sureness = (readings: readonly FitReading[], kit: FitKit, base: SourceLine, pick: (of: Whole) => SourceLine | null): Sureness => {
  const sums = readings.reduce((sum, reading, index) => {
    if (typeof reading.value !== 'number') return sum
    const u = Math.hypot(repeatability * reading.value, (reading.resolution ?? 0) / Math.sqrt(12))
    const moved = readings.map((each, k) => (k === index && typeof each.value === 'number' ? { ...each, value: each.value + u } : each))
    const line = pick(whole(moved, kit))
    // A fit that falls apart under so little is not sure of anything.
    return line === null ? { volts: Infinity, ohms: Infinity }
      : { volts: sum.volts + (line.volts / base.volts - 1) ** 2, ohms: sum.ohms + (line.ohms / base.ohms - 1) ** 2 }
  }, { volts: 0, ohms: 0 })
  return { volts: 2 * Math.sqrt(sums.volts), ohms: 2 * Math.sqrt(sums.ohms) }
}

const fourDigits = (value: number): number => Number(value.toPrecision(4))
const sourceFrom = (fn: 'diode' | 'resistance', range: number | null, line: SourceLine, plus: 'red' | 'black'): MeterSource => ({
  function: fn, range, volts: fourDigits(line.volts), ohms: fourDigits(line.ohms), amperes: line.amperes === null ? null : fourDigits(line.amperes), plus, basis: 'fitted',
})

/** Why the diode's own calibration speaks against the fit; null: it does not, or there is none. */
const diodeDoubt = ({ curve }: Whole, kit: FitKit): string | null => {
  if (curve === null || kit.diode === null) return null
  const off = diodeVolts(curve, kit.diode.amperes) - kit.diode.volts
  return Math.abs(off) <= diodeAgrees ? null : openWords.diodeDisagrees(off)
}

/** Readings of one meter, in one sitting. Nothing is taken for granted: what the readings do not show is in `open`. */
export const fitSource = (readings: readonly FitReading[], kit: FitKit): SourceFit => {
  const all = whole(readings, kit)
  if (all.wrong.length > 0) return { fitted: [], found: [], open: all.wrong }
  const doubt = diodeDoubt(all, kit)
  if (doubt !== null) return { fitted: [], found: [], open: [doubt] }
  const found: string[] = []
  const open: string[] = []
  const fitted: FittedSource[] = []
  const take = (thing: Foundling, fit: LineFit, plus: Plus, pick: (of: Whole) => SourceLine | null): void => {
    if (plus !== null) found.push(foundWords.plus(thing, plus))
    if (fit.kind === 'none') return void open.push(openWords.none(thing, fit.because))
    if (fit.kind === 'limit-only') {
      found.push(foundWords.limit(thing, fit.amperes, fit.upToVolts))
      return void open.push(openWords.voltsBehindLimit(thing))
    }
    const sure = sureness(readings, kit, fit.line, pick)
    const line = sure.ohms > leastSure ? atMost(fit.line) : fit.line
    if (sure.volts > leastSure || (sure.ohms > leastSure && !line.ohmsAtMost)) return void open.push(openWords.notSure(thing))
    found.push(foundWords.source(thing, line, sure))
    if (plus !== null) fitted.push({ source: sourceFrom(thing.function, thing.range, line, plus), ohmsAtMost: line.ohmsAtMost, sure })
  }
  for (const fn of functions) if (all.plus[fn] === null) open.push(openWords.plus(fn))
  take({ function: 'diode', range: null }, all.diode, all.plus.diode, (of) => lineOf(of.diode))
  if (all.plus.resistance !== null && all.curve === null) {
    found.push(foundWords.plus({ function: 'resistance', range: null }, all.plus.resistance))
    open.push(openWords.noCurve)
  } else if (all.plus.resistance !== null && all.ranges.length === 0) open.push(openWords.noResistance)
  all.ranges.forEach(({ points, fit }, index) => {
    take({ function: 'resistance', range: points[0]?.range ?? null }, fit, all.plus.resistance, (of) => lineOf(of.ranges[index]?.fit))
  })
  return { fitted, found, open }
}
