/** A record in which every optional part is filled, and one in which every name is as long as the schema lets it be: for tests of what is printed. */
import type { RecordMeter, TestRecordContent } from '../../src-core/record/schema'
import { recordOfRun } from '../../src-core/record/from-run'
import type { RecordStep, RecordValue } from '../../src-core/record/step-schema'
import type { RecordSources } from '../../src-core/record/from-run'
import { lengthened, sourcesMade } from './made-records'

const at = '2026-03-14T08:40:00.000+01:00'

const meter: RecordMeter = {
  id: 'bench-meter', name: 'Bench meter', kind: 'handheld, 6000 counts', serialNumber: 'BM-0417', assetNumber: '17', description: 'Line meter A',
  certificate: { number: 'C-2026-0117', laboratory: 'Harrowby Calibration', accreditation: 'HC 12', calibrated: '2026-01-12', due: '2027-01-11', asFound: 'within its specification', asLeft: 'not adjusted', functions: ['resistance', 'diode'] },
  identity: 'confirmed', accuracy: [{ function: 'resistance', range: 600, percent: 0.5, counts: 3 }, { function: 'diode', range: null, percent: 1, counts: 2 }],
  conditions: { celsiusFrom: 18, celsiusTo: 28, months: 12 },
  standardChecks: [{
    at, kind: 'resistor', label: 'Check resistor A', certificateNumber: 'C-2025-0890', certificateDue: '2027-06-30', reference: 470.02, referenceU: 0.05, value: 470.1, U: 1.9, limit: 1.95, good: true,
    words: 'Check resistor A reads 470.1 Ω, should be 470.02 Ω ± 1.95 Ω: good.',
  }],
  leadCheck: { at, ohms: 0.12, U: 0.06, resolution: 0.1 }, diodeCheck: { at, forwardVolts: 0.612 }, sourceCheck: { at, volts: 1.552 },
  traceable: { claimed: true, because: '', functions: ['resistance', 'diode'] },
}

/** Its parts add up: 1.4² + 0.29² + 0.2² is 1.44². */
const withBudget = (bare: RecordValue): RecordValue => {
  if (bare.uncertainty === null || typeof bare.value !== 'number') return bare
  const value = { ...bare, uncertainty: bare.uncertainty, traceable: { claimed: true, because: '' } }
  const combined = value.uncertainty.U / value.uncertainty.k
  const part = (source: string, distribution: string, share: number, degreesOfFreedom: number | null): NonNullable<NonNullable<RecordValue['uncertainty']>['budget']>['lines'][number] =>
    ({ source, estimate: null, standardUncertainty: combined * Math.sqrt(share), distribution, sensitivity: 1, contribution: combined * Math.sqrt(share), degreesOfFreedom })
  return {
    ...value, conformance: { probability: 0.992, falseAcceptance: 0.008 },
    uncertainty: { ...value.uncertainty, budget: {
      lines: [part('repeatability, pooled from 14 steady values of this function and range', 'normal', 0.04, 56), part('resolution', 'rectangular', 0.06, null), part('stated accuracy of the meter', 'rectangular', 0.9, null)],
      combined, bias: 0, effectiveDegreesOfFreedom: null, coverageProbability: 0.95, k: value.uncertainty.k, expanded: value.uncertainty.U, kFrom: 'normal distribution', remarks: ['The temperature was not given; it is taken as 18 °C to 28 °C.'],
    } },
  }
}

/** Every third value was measured once before. */
const withEarlier = (step: RecordStep, index: number): RecordStep => {
  const [value] = step.values
  return value === undefined || index % 3 !== 0 ? step
    : { ...step, values: [{ ...value, stands: false, replacedBecause: 'Taken back: the technician stepped back at event 31.', verdict: 'fail' }, { ...value, event: value.event + 1000 }] }
}

const preparation: RecordStep[] = [
  { id: 'prepare/disconnect', title: 'Take off supplies and cables', kind: 'do', part: 'preparation', placement: null, function: null, instruction: '', parts: [], powered: false, verdict: 'pass', decided: at, values: [], skipped: null, done: { at, note: null, picture: null } },
  { id: 'prepare/leads-joined', title: 'Leads joined', kind: 'measure', part: 'preparation', placement: { fixture: 'leads-joined', reversed: false }, function: 'resistance', instruction: '', parts: [], powered: false, verdict: 'pass', decided: at, values: [], skipped: null, done: null },
]

export const fullRecord = (steps: number, place: Partial<RecordSources> = {}): TestRecordContent => {
  const made = recordOfRun(sourcesMade({ of: lengthened(steps) }, place))
  const [first, second] = made.steps
  return {
    ...made, meters: [meter], traceable: { claimed: true, because: '' },
    replaces: { number: '3F9A2C11-000000', sha256: 'ab'.repeat(32), because: 'The serial number was misread.' },
    deEnergised: {
      proven: true, words: 'Supplies and cables were taken off. Measured within their limits: bulk, rail-5v.', steps: ['prepare/disconnect'],
      lapsed: [{ at, because: 'the run was paused for 40 minutes' }], poweredSteps: second === undefined ? [] : [second.id],
    },
    steps: [...preparation, ...made.steps.map((step, index) => {
      const filled = withEarlier({ ...step, values: step.values.map(withBudget) }, index)
      return index === 4 ? { ...filled, values: [], verdict: 'not-judged' as const, skipped: { at, because: 'The coating could not be pierced there.' } } : filled
    })],
    notes: [{ at, step: null, words: 'Solder at J1 looks cold.' }], repairs: [{ part: 'R3', what: 'replaced, 220 Ω 1 %', at, by: 'A. Finch' }],
    notJudged: first === undefined ? [] : [{ step: first.id, because: 'It was not judged.' }],
    opinion: first === undefined ? [] : [{ about: first.id, words: 'D3, C8 or U1 may be shorted or leak.' }],
  }
}

const filledTo = (length: number, text: string): string => text.repeat(Math.ceil(length / text.length)).slice(0, length)
const sentence = 'the inner end of the part, through the coating, beside the connector of the climate bus, '
const oneWord = 'Gewächshausklimaregelungsanschlussklemmenbezeichnung'

export const longNames = (place: Partial<RecordSources> = {}): TestRecordContent => {
  const made = fullRecord(24, place)
  const longest = <S extends string | null>(text: S, most: number, by: string): S | string => (text === null ? text : filledTo(most, by))
  return {
    ...made, issuer: filledTo(300, sentence), place: filledTo(200, oneWord), technician: filledTo(120, oneWord), authorisedBy: filledTo(120, sentence),
    customer: longest(made.customer, 200, oneWord), job: longest(made.job, 80, oneWord),
    item: { serialNumber: filledTo(200, 'SN0123456789'), conditionAsReceived: filledTo(1000, sentence) },
    outcome: { ...made.outcome, because: filledTo(9000, sentence) },
    meters: made.meters.map((each) => ({ ...each, kind: filledTo(200, oneWord), serialNumber: filledTo(200, '0123456789'), certificate: each.certificate === null ? null : { ...each.certificate, laboratory: filledTo(200, sentence), asFound: filledTo(200, oneWord) } })),
    steps: made.steps.map((step, index) => ({
      ...step, title: filledTo(200, index % 2 === 0 ? oneWord : sentence),
      placement: step.placement !== null && 'red' in step.placement ? {
        red: { ...step.placement.red, point: `${step.placement.red.point}-${oneWord}`, words: filledTo(200, sentence) }, black: { ...step.placement.black, words: filledTo(200, oneWord) },
      } : step.placement,
      values: step.values.map((value) => ({ ...value, limits: { ...value.limits, words: filledTo(180, 'between 209 Ω and 231 Ω, ') } })),
    })),
    notes: [{ at, step: null, words: filledTo(15_000, sentence) }],
  }
}
