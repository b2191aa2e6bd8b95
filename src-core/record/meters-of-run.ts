/** The meters of a run as a record writes them: what the register says of each, its checks, and whether its values are traceable. */
import type { Meter } from '../meter/instrument'
import type { MeasuredValue } from '../meter/reading'
import { leadCheckU } from '../metrology/uncertainty'
import { withoutDust } from '../quantity/plain-figures'
import { isTouched, meterUsed, type MeterUsed, type Touched } from '../run/meter-of'
import { stepState, type Captured, type RunState } from '../run/state'
import type { RecordMeter } from './schema'
import { functionsClaimed, standingFigures } from './standing-figures'
import type { RecordStep } from './step-schema'
import { claimOf } from './value-claim'
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

type Used = MeterUsed & { meter: Meter | null; touches: Touched[] }

/** By its id: the one the run began with, as it was then; else as the shop knows it now. */
export const meterWithId = (state: RunState, id: string, meters: readonly Meter[]): Meter | null =>
  (state.started.meter?.id === id ? state.started.meter : meters.find((each) => each.id === id) ?? null)

const usedMeters = (state: RunState, meters: readonly Meter[]): Used[] => {
  const captured = state.events.filter(isTouched).map((touch) => ({ touch, used: meterUsed(state, touch) }))
  const first = new Map(captured.map(({ used }) => used).reverse().map((used) => [used.id, used]))
  return [...new Set(captured.map(({ used }) => used.id))].map((id) => ({
    id, name: first.get(id)?.name ?? id, meter: meterWithId(state, id, meters), touches: captured.filter(({ used }) => used.id === id).map(({ touch }) => touch),
  }))
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
      ? { at: moment(leads.utc), ohms: withoutDust(leads.value), U: withoutDust(leadCheckU(resolution, leads.sd)), resolution: withoutDust(resolution) }
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

/** Of the figures of the item that stand. */
const claim = ({ id }: Used, steps: readonly RecordStep[]): RecordMeter['traceable'] => {
  const figures = standingFigures(steps).filter(({ meterId }) => meterId === id)
  return { ...claimOf(figures.map(({ traceable }) => traceable), 'No figure of the item came from it.'), functions: functionsClaimed(figures) }
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

/** @param steps as the record tells them. */
export const recordMetersOf = (state: RunState, sources: MeterSources, steps: readonly RecordStep[], moment: Moment): RecordMeter[] => usedMeters(state, sources.meters).map((used) => {
  const { id, name, meter } = used
  const { certificate = null, conditions = null } = meter?.register ?? {}
  return {
    id, name, kind: meter?.register.kind ?? '', serialNumber: meter?.register.serialNumber ?? '', assetNumber: meter?.register.assetNumber ?? '', description: meter?.description ?? null,
    certificate: certificate === null ? null : {
      number: certificate.number, laboratory: certificate.laboratory, accreditation: certificate.accreditation,
      calibrated: certificate.calibrated, due: certificate.due, asFound: certificate.asFound, asLeft: certificate.asLeft,
      functions: [...new Set(certificate.points.map((point) => point.function))],
    },
    identity: meter !== null && meter.id === state.started.meter?.id ? sources.identity : null,
    accuracy: meter === null ? [] : accuracyOf(meter),
    conditions: conditions === null ? null : { celsiusFrom: conditions.celsiusFrom, celsiusTo: conditions.celsiusTo, months: conditions.months },
    standardChecks: standardChecksOf(used, sources, moment), ...checksOf(state, used, moment), traceable: claim(used, steps),
  }
})
