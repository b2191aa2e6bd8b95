/** The preparation: right jacks, right way round, board de-energised and proven so (capture.md, rules 2, 12 and 13). */
import { isProbed, type BoardType, type EnergyStore } from '../board/board-type'
import { opensToOverload } from '../capture/air'
import { isReadByEye } from '../meter/by-eye'
import type { BenchKit, Meter } from '../meter/instrument'
import type { MeterFunction } from '../meter/reading'
import type { ActPlanStep, MeasurePlanStep, PlanStep } from './plan'
import { stepState, type RunState } from './state'

/** Validity of the diode and lead check, in hours, and of the known source on an extra-low board. */
export const leadCheckHours = 12
export const sourceCheckHours = 1
export const usualWaitSeconds = 30
/** Limit on what remains across a store, for readings. */
export const usualResidualVolts = 0.01
/** Lead resistance outside these is refused; 0.0 Ω is allowed where one count is 0.1 Ω. */
export const leadOhms = { least: 0.02, most: 0.5 }
/** For people, from memory of IEC 61010-1: 60 V DC, 30 V AC r.m.s.; local rules come first. */
export const peopleLimit = { dcVolts: 60, acVolts: 30 }

const measure = (id: string, title: string, rest: Pick<MeasurePlanStep, 'placement' | 'function' | 'limits' | 'purpose'> & Partial<MeasurePlanStep>): MeasurePlanStep =>
  ({ kind: 'measure', id, title, parts: [], where: '', caution: null, means: '', then: [], keepsContact: false, powered: false, ...rest })

const act = (id: string, title: string, words: string, purpose: ActPlanStep['purpose'], caution: string | null): ActPlanStep =>
  ({ kind: 'do', id, title, words, parts: [], where: '', caution, means: '', then: [], purpose })

const functionWords: Partial<Record<MeterFunction, string>> = {
  resistance: 'resistance', diode: 'diode test', 'dc-voltage': 'DC volts', 'ac-voltage': 'AC volts', continuity: 'continuity', capacitance: 'capacitance',
}

const learnAir = (fn: MeterFunction): PlanStep => measure(`prepare/leads-apart/${fn}`, `Leads apart, ${functionWords[fn] ?? fn}`, {
  placement: { fixture: 'leads-apart', reversed: false }, function: fn, limits: 'open', purpose: { kind: 'learn-air' },
  where: 'Hold both tips in the air, touching nothing. What the meter shows now is what no contact looks like.',
})

const sourceStep = (id: string, title: string, kit: BenchKit): PlanStep => measure(id, title, {
  placement: { fixture: 'known-source', reversed: false }, function: 'dc-voltage', purpose: { kind: 'source' },
  limits: { between: [kit.knownSource.volts - kit.knownSource.plusMinusVolts, kit.knownSource.volts + kit.knownSource.plusMinusVolts] },
  where: `Red on the plus of ${kit.knownSource.label}, black on its minus: proves that this meter would show a voltage.`,
})

/** Functions in which this run measures, in the order that turns the dial least. */
const functionsOf = (board: BoardType): MeterFunction[] => {
  const used = new Set<MeterFunction>(board.sequence.steps.flatMap((step) => (isProbed(step) ? [step.function] : [])))
  used.add('diode').add('resistance').add('dc-voltage')
  if (board.energyStores.some((store) => reachedByAc(board, store))) used.add('ac-voltage')
  const others = [...used].filter((fn) => !['diode', 'resistance', 'dc-voltage', 'ac-voltage'].includes(fn)).sort()
  return ['diode', ...others, 'resistance', ...(used.has('ac-voltage') ? ['ac-voltage' as const] : []), 'dc-voltage']
}

const reachedByAc = (board: BoardType, store: EnergyStore): boolean =>
  store.fieldWiring === true || (board.hazard === 'hazardous' && board.mainsReferenced)

export const hazardousCaution =
  'This board can hold a voltage that injures or kills. Only for people trained for it; follow your local rules and licensed practice. Keep one hand away, and never work on it alone.'

/** Session steps: jacks, polarity, air and lead resistance. */
const sessionSteps = (board: BoardType, kit: BenchKit): PlanStep[] => functionsOf(board).flatMap((fn): PlanStep[] => {
  if (fn === 'diode') {
    return [
      learnAir(fn),
      measure('prepare/known-diode', 'Known diode, forward', {
        placement: { fixture: 'known-diode', reversed: false }, function: 'diode', purpose: { kind: 'known-diode' },
        limits: { between: [kit.knownDiode.leastVolts, kit.knownDiode.mostVolts] },
        where: `Red on the anode of ${kit.knownDiode.label}, black on its cathode: proves the jacks and which lead is plus.`,
      }),
      measure('prepare/known-diode-reversed', 'Known diode, reversed', {
        placement: { fixture: 'known-diode', reversed: true }, function: 'diode', limits: 'open', purpose: { kind: 'known-diode' },
        where: `Red on the cathode of ${kit.knownDiode.label}, black on its anode. No current should flow.`,
      }),
    ]
  }
  if (fn === 'resistance') {
    return [learnAir(fn), measure('prepare/leads-joined', 'Leads joined', {
      placement: { fixture: 'leads-joined', reversed: false }, function: 'resistance', purpose: { kind: 'leads' },
      limits: { between: [leadOhms.least, leadOhms.most] },
      where: 'Press the two tips together. The resistance of the leads is taken off readings under 100 Ω.',
      means: 'Relative mode is on, or the leads or jacks are worn. Turn relative off, clean the tips, or take other leads.',
    })]
  }
  return [learnAir(fn)]
})

const pointWords = (board: BoardType, id: string): string => board.testPoints.find((point) => point.id === id)?.words ?? id

type Stage = 'store' | 'again' | 'discharge'

/** Ids of the steps that empty a store, of the board under test or of the good one beside it. */
export const storeStep = (on: 'good' | undefined) => (stage: Stage, store: string): string => `prepare/${on === 'good' ? 'good-board/' : ''}${stage}/${store}`

const storeSteps = (board: BoardType, store: EnergyStore, on?: 'good'): PlanStep[] => {
  const idOf = storeStep(on)
  const [which, ofBoard] = on === undefined ? ['', {}] as const : ['Good board: ', { board: on }] as const
  const named = (title: string): string => (which === '' ? title : `${which}${title.charAt(0).toLowerCase()}${title.slice(1)}`)
  const residual = store.limitVolts ?? usualResidualVolts
  const caution = board.hazard === 'hazardous' ? hazardousCaution : null
  const across = (when: 'first' | 'again', fn: 'dc-voltage' | 'ac-voltage'): PlanStep =>
    measure(`${idOf(when === 'first' ? 'store' : 'again', store.id)}${fn === 'ac-voltage' ? '/ac' : ''}`,
      named(`Voltage left in ${store.id}${when === 'again' ? ' after discharge' : ''}${fn === 'ac-voltage' ? ', AC' : ''}`), {
        placement: { red: store.red, black: store.black }, function: fn, purpose: { kind: 'store', store: store.id, when, ...ofBoard }, caution,
        limits: fn === 'ac-voltage' ? { atMost: residual } : { between: [-residual, residual] },
        where: when === 'first' ? 'Proves that nothing is left in this store.' : 'Measured once more: a store can charge itself again.',
        means: 'Something still holds or supplies a voltage here.',
      })
  const kinds = reachedByAc(board, store) ? ['dc-voltage' as const, 'ac-voltage' as const] : ['dc-voltage' as const]
  const unplug = store.fieldWiring === true ? `Find what still feeds ${store.id} from outside, and unplug it or switch it off. ` : ''
  const discharge = store.kind === 'battery' || store.kind === 'super-capacitor'
    ? `Take the ${store.kind.replace('-', ' ')} ${store.id} out, or disconnect it. Then discharge what it fed through ${store.dischargeOhms} Ω`
    : `Discharge ${store.id} through ${store.dischargeOhms} Ω, from ${pointWords(board, store.red)} to ${pointWords(board, store.black)}`
  return [
    ...kinds.map((fn) => across('first', fn)),
    act(idOf('discharge', store.id), named(`Discharge ${store.id}`),
      `${unplug}${discharge}. Never with a screwdriver: the spark harms you and the part. Then press the key; the wait of ${store.waitSeconds ?? usualWaitSeconds} s runs by itself.`,
      { kind: 'discharge', store: store.id, ...ofBoard }, caution),
    ...kinds.map((fn) => across('again', fn)),
  ]
}

/** Every preparation step this board, kit and meter can ask for, in order. `beside`: a good board is proven too, for it is measured too. */
export const preparationSteps = (board: BoardType, kit: BenchKit, beside = false): PlanStep[] => [
  ...sessionSteps(board, kit),
  act('prepare/disconnect', 'Disconnect',
    `${beside ? 'On both boards: ' : ''}${board.disconnect.length === 0 ? 'Take every supply and every cable off the board.' : `Unplug: ${board.disconnect.join(', ')}. Nothing may feed the board.`}`,
    { kind: 'disconnect' }, [...(board.hazard === 'hazardous' ? [hazardousCaution] : []), ...board.cautions].join(' ') || null),
  sourceStep('prepare/known-source', 'Known source', kit),
  ...board.energyStores.flatMap((store) => storeSteps(board, store)),
  ...(beside ? board.energyStores.flatMap((store) => storeSteps(board, store, 'good')) : []),
  ...(board.hazard === 'hazardous' ? [sourceStep('prepare/known-source-after', 'Known source again', kit)] : []),
]

const hoursSince = (then: string | undefined, utcMs: number): number => (then === undefined ? Infinity : (utcMs - Date.parse(then)) / 3_600_000)
/** A check from the future by more than a few minutes is a clock that was set back: it does not count. */
const fresh = (then: string | undefined, hours: number, utcMs: number): boolean => hoursSince(then, utcMs) > -0.1 && hoursSince(then, utcMs) < hours

/** Ids of the session steps that this meter still has to make now. */
export const sessionStepsDue = (board: BoardType, kit: BenchKit, meter: Meter, utcMs: number): string[] => {
  const diodeDue = !fresh(meter.diodeCheck?.utc, leadCheckHours, utcMs)
  const leadsDue = !fresh(meter.leadCheck?.utc, leadCheckHours, utcMs)
  return sessionSteps(board, kit).filter((step) => {
    switch (step.purpose?.kind) {
      case 'learn-air': return step.kind === 'measure' && (!isReadByEye(meter) || opensToOverload(step.function)) && !meter.air.some((pattern) => pattern.function === step.function)
      case 'known-diode': return diodeDue
      case 'leads': return leadsDue
      default: return false
    }
  }).map((step) => step.id)
}

const sourceIsFresh = (meter: Meter, utcMs: number): boolean => fresh(meter.sourceCheck?.utc, sourceCheckHours, utcMs)

const decidedSince = (state: RunState, step: string, since: number): { seq: number; passed: boolean } | null => {
  const decided = stepState(state, step).decided
  return decided === null || decided.seq <= since ? null : { seq: decided.seq, passed: decided.verdict === 'pass' || decided.verdict === 'conditional-pass' }
}

/** Which of a store's steps comes next; [] when it is proven empty. */
const storeDue = (board: BoardType, store: EnergyStore, state: RunState, on?: 'good'): string[] => {
  const idOf = storeStep(on)
  const since = state.lapsedAt
  const ac = reachedByAc(board, store)
  const both = (id: string): string[] => [id, ...(ac ? [`${id}/ac`] : [])]
  const [first, again, discharge] = [both(idOf('store', store.id)), both(idOf('again', store.id)), idOf('discharge', store.id)]
  const discharged = decidedSince(state, discharge, since)
  const missing = first.filter((id) => decidedSince(state, id, since) === null)
  if (missing.length > 0) return missing
  const firstPassed = first.every((id) => decidedSince(state, id, since)?.passed === true)
  const twice = board.hazard === 'hazardous' || store.kind === 'battery' || store.kind === 'super-capacitor'
  if (firstPassed && !twice) return []
  if (discharged === null) return [discharge, ...again]
  const after = again.map((id) => decidedSince(state, id, discharged.seq))
  if (after.every((each) => each?.passed === true)) return []
  if (after.some((each) => each?.passed === false)) return [discharge, ...again]
  return again.filter((_id, index) => after[index] === null)
}

/** Session steps due now. The forward touch of the known diode counts until the reversed one completes the check. */
const sessionDue = (plan: { board: BoardType; preparation: PlanStep[] }, state: RunState, meter: Meter, utcMs: number): string[] => {
  const forward = stepState(state, 'prepare/known-diode').decided
  const forwardStands = decidedSince(state, 'prepare/known-diode', state.otherMeterSince ?? 0)?.passed === true && fresh(forward?.utc, leadCheckHours, utcMs)
  const made = new Set(plan.preparation.map((step) => step.id))
  return sessionStepsDue(plan.board, state.started.kit, meter, utcMs).filter((id) => made.has(id) && !(id === 'prepare/known-diode' && forwardStands))
}

/** The proof that the board is de-energised: ids still due. `sourceFresh`: the known source was seen within its hour on this meter. */
const proofDue = (board: BoardType, state: RunState, sourceFresh: boolean): string[] => {
  const since = state.lapsedAt
  const passed = (id: string): boolean => decidedSince(state, id, since)?.passed === true
  const hazardous = board.hazard === 'hazardous'
  const source = hazardous ? !passed('prepare/known-source') : !sourceFresh
  const sides = state.started.beside === true ? [undefined, 'good' as const] : [undefined]
  const stores = sides.flatMap((on) => board.energyStores.flatMap((store) => storeDue(board, store, state, on)))
  const lastStore = Math.max(0, ...sides.flatMap((on) => board.energyStores.flatMap((store) => (['store', 'again'] as const).map((when) => stepState(state, storeStep(on)(when, store.id)).decided?.seq ?? 0))))
  const closing = hazardous && decidedSince(state, 'prepare/known-source-after', Math.max(since, lastStore))?.passed !== true
  return [
    ...(passed('prepare/disconnect') ? [] : ['prepare/disconnect']),
    ...(source ? ['prepare/known-source'] : []),
    ...stores,
    ...(closing ? ['prepare/known-source-after'] : []),
  ]
}

/** Ids of the preparation still due, in order; the first is the step to make now. */
export const preparationDue = (plan: { board: BoardType; preparation: PlanStep[] }, state: RunState, meter: Meter, utcMs: number): string[] => {
  const due = new Set([...sessionDue(plan, state, meter, utcMs), ...proofDue(plan.board, state, sourceIsFresh(meter, utcMs))])
  // Discharge comes before what follows it; session steps come first.
  const session = plan.preparation.filter((step) => due.has(step.id) && !['store', 'discharge', 'source', 'disconnect'].includes(step.purpose?.kind ?? ''))
  const proof = plan.preparation.filter((step) => due.has(step.id) && !session.includes(step))
  return [...session, ...proof].map((step) => step.id)
}
