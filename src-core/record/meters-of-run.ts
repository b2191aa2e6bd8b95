/** The meters of a run as a record writes them: what the register says of each, its checks, and whether its values are traceable. */
import type { Meter } from '../meter/instrument'
import type { MeasuredValue } from '../meter/reading'
import { withoutDust } from '../quantity/plain-figures'
import { meterOf, readByEyeWords } from '../run/meter-of'
import { stepState, type Captured, type RunState } from '../run/state'
import type { RecordMeter } from './schema'
import type { Moment } from './values-of-run'

/** The judgement on a meter at a moment; the only judge of it is passed in. */
export type Traceability = { traceable: true } | { traceable: false; because: string }

/** A check standard measured with a meter, as far as a record tells of it. */
export type StandardCheck = {
  utc: string; meter: string
  standard: { kind: 'resistor' | 'diode'; label: string; certificateNumber: string; value: number; U: number; due: string }
  value: MeasuredValue; U: number | null; limit: number; good: boolean
  words: string
}

export type MeterSources = {
  /** As the shop knows the meters now: for those a run went on with. */
  meters: readonly Meter[]
  /** How sure it was which meter the run began with; null: not asked. */
  identity: RecordMeter['identity']
  checks: readonly StandardCheck[]
  traceable: (meter: Meter, utc: string) => Traceability
  /** A check that failed later casts doubt on this run. */
  underReview: boolean
}

type Used = { name: string; meter: Meter | null; touches: Captured[] }

/** By its name: the one the run began with, or that it went on with. */
const meterNamed = (state: RunState, name: string, meters: readonly Meter[]): Meter | null => {
  if (name === readByEyeWords) return null
  if (state.started.meter?.name === name) return state.started.meter
  const id = state.events.flatMap((event) => (event.kind === 'meter-back' && event.meter?.name === name ? [event.meter.id] : [])).at(-1)
  return state.started.meter?.id === id ? state.started.meter : meters.find((each) => each.id === id) ?? null
}

const usedMeters = (state: RunState, meters: readonly Meter[]): Used[] => {
  const captured = state.events.filter((event): event is Captured => event.kind === 'captured')
  const names = [...new Set(captured.map((touch) => meterOf(state, touch)))]
  return names.map((name) => ({ name, meter: meterNamed(state, name, meters), touches: captured.filter((touch) => meterOf(state, touch) === name) }))
}

/** The last value of a check that this run made with this meter. */
const madeHere = (state: RunState, step: string, used: Used): (Captured & { value: number }) | null => {
  const touch = stepState(state, step).captured.at(-1)
  return touch !== undefined && used.touches.includes(touch) && typeof touch.value === 'number' ? { ...touch, value: touch.value } : null
}

const checksOf = (state: RunState, used: Used, moment: Moment): Pick<RecordMeter, 'leadCheck' | 'diodeCheck' | 'sourceCheck'> => {
  const last = used.touches.at(-1)?.utc ?? ''
  /** What was checked after this run says nothing of it. */
  const before = <C extends { utc: string }>(check: C | null | undefined): C | null => (check != null && check.utc <= last ? check : null)
  const leads = madeHere(state, 'prepare/leads-joined', used)
  const diode = madeHere(state, 'prepare/known-diode', used)
  const source = madeHere(state, 'prepare/known-source', used)
  const kept = { leads: before(used.meter?.leadCheck), diode: before(used.meter?.diodeCheck), source: before(used.meter?.sourceCheck) }
  const resolution = leads?.resolution ?? 0
  return {
    leadCheck: leads !== null
      ? { at: moment(leads.utc), ohms: withoutDust(leads.value), U: withoutDust(2 * Math.sqrt(resolution ** 2 / 12 + (leads.sd ?? 0) ** 2)), resolution: withoutDust(resolution) }
      : kept.leads === null ? null : { at: moment(kept.leads.utc), ohms: withoutDust(kept.leads.ohms), U: withoutDust(kept.leads.U), resolution: withoutDust(kept.leads.resolution) },
    diodeCheck: diode !== null ? { at: moment(diode.utc), forwardVolts: withoutDust(diode.value) }
      : kept.diode === null ? null : { at: moment(kept.diode.utc), forwardVolts: withoutDust(kept.diode.forwardVolts) },
    sourceCheck: source !== null ? { at: moment(source.utc), volts: withoutDust(source.value) }
      : kept.source === null ? null : { at: moment(kept.source.utc), volts: withoutDust(kept.source.volts) },
  }
}

const accuracyOf = (meter: Meter): RecordMeter['accuracy'] => [
  ...Object.entries(meter.accuracy).map(([fn, { percent, counts }]) => ({ function: fn, range: null, percent, counts })),
  ...meter.register.ranges.map(({ function: fn, range, percent, counts }) => ({ function: fn, range, percent, counts })),
]

const claim = (state: RunState, { name, meter, touches }: Used, sources: MeterSources): RecordMeter['traceable'] => {
  const no = (because: string): RecordMeter['traceable'] => ({ claimed: false, because })
  if (name === readByEyeWords) return no('Values read by eye and typed in are not traceable.')
  if (meter === null) return no(`Nothing is known of ${name} any more.`)
  if (meter.id === state.started.meter?.id && sources.identity === 'assumed') return no(`Which meter it was, was assumed: nobody confirmed that it was ${name}.`)
  if (sources.underReview) return no(`A later check of ${name} failed: its values of this run are under review.`)
  const against = [touches[0], touches.at(-1)].flatMap((touch) => {
    const judged = touch === undefined ? null : sources.traceable(meter, touch.utc)
    return judged === null || judged.traceable ? [] : [judged.because]
  })[0]
  return against === undefined ? { claimed: true, because: '' } : no(against)
}

const standardChecksOf = (used: Used, { checks }: MeterSources, moment: Moment): RecordMeter['standardChecks'] => {
  const last = used.touches.at(-1)?.utc ?? ''
  const own = checks.filter((check) => check.meter === used.meter?.id && check.utc <= last)
  // Of each kind the newest before the run's last value: that is the one a claim rests on.
  const newest = (['resistor', 'diode'] as const).flatMap((kind) => own.filter(({ standard }) => standard.kind === kind).sort((a, b) => Date.parse(a.utc) - Date.parse(b.utc)).slice(-1))
  return newest.map((check) => ({
    at: moment(check.utc), kind: check.standard.kind, label: check.standard.label, certificateNumber: check.standard.certificateNumber, certificateDue: check.standard.due,
    reference: withoutDust(check.standard.value), referenceU: withoutDust(check.standard.U), value: typeof check.value === 'number' ? withoutDust(check.value) : check.value,
    U: check.U === null ? null : withoutDust(check.U), limit: withoutDust(check.limit), good: check.good, words: check.words,
  }))
}

export const recordMetersOf = (state: RunState, sources: MeterSources, moment: Moment): RecordMeter[] => usedMeters(state, sources.meters).map((used) => {
  const { name, meter } = used
  const { certificate = null, conditions = null } = meter?.register ?? {}
  return {
    name, kind: meter?.register.kind ?? '', serialNumber: meter?.register.serialNumber ?? '', assetNumber: meter?.register.assetNumber ?? '', description: meter?.description ?? null,
    certificate: certificate === null ? null : {
      number: certificate.number, laboratory: certificate.laboratory, accreditation: certificate.accreditation,
      calibrated: certificate.calibrated, due: certificate.due, asFound: certificate.asFound, asLeft: certificate.asLeft,
    },
    identity: meter !== null && meter.id === state.started.meter?.id ? sources.identity : null,
    accuracy: meter === null ? [] : accuracyOf(meter), 
    conditions: conditions === null ? null : { celsiusFrom: conditions.celsiusFrom, celsiusTo: conditions.celsiusTo, months: conditions.months },
    standardChecks: standardChecksOf(used, sources, moment), ...checksOf(state, used, moment), traceable: claim(state, used, sources),
  }
})
