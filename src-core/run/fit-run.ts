/** Fitting a meter's source at the bench: a run with no board that asks for the placements, and keeps what they tell. */
import type { BenchKit, Meter } from '../meter/instrument'
import type { Branch } from '../board/board-type'
import type { MeterSource } from '../meter/register'
import { fitSource, type FitKit, type FitPlacement, type FitReading, type SourceFit } from '../metrology/fit-source'
import { benchBoard } from './bench-board'
import type { RunEventBody } from './event'
import { makePlan, type Fixture, type MeasurePlanStep, type Plan } from './plan'
import { preparationSteps } from './preparation'
import { standingTouch } from './standing'
import { stepState, type RunState } from './state'
import { anyValue } from './walk'

export const fitBoardId = 'source-fit'
const bench = benchBoard(fitBoardId, 'Source of the meter', 'source-fit')

type Place = { fixture: Fixture; reversed: boolean; placement: FitPlacement; title: string; where: string; then?: Branch[] }

const diodeOf = (kit: BenchKit): { label: string; calibrated: FitKit['diode'] } => {
  const check = kit.checkStandards.diode
  return check === null || check.amperes === null ? { label: kit.knownDiode.label, calibrated: null }
    : { label: check.label, calibrated: { volts: check.volts, amperes: check.amperes } }
}

const step = (fn: 'diode' | 'resistance', id: string, { fixture, reversed, placement, title, where, then = [] }: Place): MeasurePlanStep => ({
  kind: 'measure', id: `fit/${fn}/${id}`, title, parts: [], where, caution: null, means: '', then, keepsContact: false, powered: false,
  placement: { fixture, reversed }, function: fn, limits: anyValue, purpose: { kind: 'source-fit', placement },
})

/** A reversed diode reads above these: then it conducts with red on its anode. */
const reversedAbove = (kit: BenchKit) => ({ diode: kit.knownDiode.mostVolts * 1.1, resistance: 3e6 })

const stepsFor = (kit: BenchKit): MeasurePlanStep[] => {
  const { first, second } = kit.sourceResistors
  const diode = diodeOf(kit).label
  const [one, other] = [`One tip on each end of ${first.label}.`, `One tip on each end of ${second.label}.`]
  const both = (fn: 'diode' | 'resistance', after: string): MeasurePlanStep[] => [
    step(fn, 'first', { fixture: 'first-resistor', reversed: false, placement: 'first', title: 'First resistor', where: one }),
    step(fn, 'second', { fixture: 'second-resistor', reversed: false, placement: 'second', title: 'Second resistor', where: other }),
    step(fn, 'diode', { fixture: 'known-diode', reversed: false, placement: 'diode', title: 'Diode, red on its anode', where: `Red on the anode of ${diode}, black on its cathode. Take what shows, open or not.` }),
    step(fn, 'diode-reversed', {
      fixture: 'known-diode', reversed: true, placement: 'diode-reversed', title: 'Diode, red on its cathode', where: `Red on the cathode of ${diode}, black on its anode. Take what shows, open or not.`,
      then: [{ when: { above: reversedAbove(kit)[fn] }, goTo: after }, { when: 'pass', goTo: `${after}-reversed` }],
    }),
  ]
  const across = (reversed: boolean): MeasurePlanStep => step('diode', reversed ? 'across-reversed' : 'across', {
    fixture: 'diode-across-first', reversed, placement: 'diode-across-first', title: 'Diode across the first resistor',
    where: `Hold ${first.label} across ${diode}, so that both lie between the tips; red on the ${reversed ? 'cathode' : 'anode'}.`, then: [{ when: 'pass', goTo: 'fit/resistance/first' }],
  })
  const series = (reversed: boolean): MeasurePlanStep => step('resistance', reversed ? 'series-reversed' : 'series', {
    fixture: 'diode-and-second', reversed, placement: 'diode-and-second', title: 'Diode and second resistor in series',
    where: `Join ${second.label} to the cathode of ${diode}. ${reversed ? 'Red on the resistor’s far end, black on the anode' : 'Red on the anode, black on the resistor’s far end'}.`, then: [{ when: 'pass', goTo: 'end' }],
  })
  return [...both('diode', 'fit/diode/across'), across(false), across(true), ...both('resistance', 'fit/resistance/series'), series(false), series(true)]
}

export const fitPlan = (kit: BenchKit): Plan => {
  const session = preparationSteps(bench, kit)
  // What open leads show in diode test is a reading of the fit: a figure is the voltage of the source itself.
  const apart = session.filter(({ id }) => id === 'prepare/leads-apart/diode').map((each) => ({ ...each, id: 'fit/diode/apart' }))
  return { ...makePlan(bench, session.filter(({ id }) => id === 'prepare/leads-apart/resistance')), steps: [...apart, ...stepsFor(kit)] }
}

const placementOf = (id: string, purpose: MeasurePlanStep['purpose']): FitPlacement | null =>
  id === 'fit/diode/apart' ? 'apart' : purpose?.kind === 'source-fit' ? purpose.placement : null

export const fitReadings = (plan: Plan, state: RunState): FitReading[] => plan.steps.flatMap((each): FitReading[] => {
  const placement = each.kind === 'measure' ? placementOf(each.id, each.purpose) : null
  const own = stepState(state, each.id)
  const touch = standingTouch(own)
  if (placement === null || touch === null || own.decided === null || own.decided.verdict === 'doubtful' || touch.evidence === 'typed') return []
  if (touch.function !== 'diode' && touch.function !== 'resistance') return []
  return [{ function: touch.function, placement, value: touch.value, resolution: touch.resolution, range: touch.range }]
})

export const fitOfRun = (plan: Plan, state: RunState): SourceFit => {
  if (state.otherMeterSince !== null || state.started.meter === null) return { fitted: [], found: [], open: ['Another meter came into this run, so nothing was fitted. Start it again.'] }
  const { kit } = state.started
  return fitSource(fitReadings(plan, state), { ohms: { first: kit.sourceResistors.first.ohms, second: kit.sourceResistors.second.ohms }, diode: diodeOf(kit).calibrated })
}

export const fitOutcomeAtEnd = (plan: Plan, state: RunState): Extract<RunEventBody, { kind: 'ended' }> => {
  const { fitted, found, open } = fitOfRun(plan, state)
  const kept = fitted.length === 0 ? 'Nothing is kept with the meter.' : `Kept with the meter: ${fitted.map(({ source }) => (source.function === 'diode' ? 'diode test' : 'resistance')).join(' and ')}.`
  return { kind: 'ended', verdict: fitted.length > 0 ? 'pass' : 'incomplete', because: [...found, ...open, kept].join(' ') }
}

/** Fitted ones take the place of fitted ones of the same function; what was entered by hand stays. */
export const withFitted = (sources: readonly MeterSource[], fit: SourceFit): MeterSource[] => {
  const anew = new Set(fit.fitted.map(({ source }) => source.function as string))
  return [...sources.filter((each) => each.basis === 'entered' || !anew.has(each.function)), ...fit.fitted.map(({ source }) => source)]
}

/** The register as it is once this run has ended; null where it changes nothing. */
export const sourcesLearned = (plan: Plan, state: RunState, meter: Meter): Pick<Meter, 'register'> | null => {
  const fit = fitOfRun(plan, state)
  return fit.fitted.length === 0 ? null : { register: { ...meter.register, sources: withFitted(meter.register.sources, fit) } }
}
