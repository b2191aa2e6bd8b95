/** Asks for a placement of the technician's own choice in a running run, and takes the value read there. */
import { isLeg, partOfLeg, placesOfLegs, tipName } from '../board/lifted-leg'
import { legsOf } from '../circuit/diagnose/lifted-legs'
import type { CapturedValue } from '../capture/task'
import { isReadByEye } from '../meter/by-eye'
import type { MeterFunction } from '../meter/reading'
import { isUnderPower, powerUpStep } from '../repair/prove'
import { currentStep, type Bench, type BenchContext } from './bench'
import { isBenchRun } from './bench-runs'
import { boardStateOf } from './board-state'
import { quiet, refuse, type Conducted } from './conducted'
import { afterPower, decideStep, lastSeq } from './decide-step'
import { elsewhereId, elsewhereOf } from './elsewhere'
import type { RunEventBody } from './event'
import { readOnly } from './judge'
import type { JudgedStep, PlanStep } from './plan'
import { openQuestion } from './question'
import { capacitorsOffPad, isAcross, refusalOfCharge } from './off-its-pad'
import { isPreparation, stepState } from './state'
import type { BenchView } from './view'
import { bothOnOneWords, dialWords } from './words'

export type Chosen = { red: string; black: string; function: MeterFunction }

/** Both feed a current of their own into a board that was proven de-energised, and the diagnosis knows what they read. DC volts are read only to see that a capacitor off its pad holds nothing. */
export const elsewhereFunctions = ['resistance', 'diode'] as const satisfies readonly MeterFunction[]

/** Something of this step waits for an answer: a second touch, a question, a walk or a value that is being followed. */
const isBegun = ({ run, watch }: Bench, { id }: PlanStep): boolean => {
  const { captured, learned, decided } = stepState(run, id)
  return (decided === null && captured.length + learned.length > 0) || openQuestion(run, id) !== null || (watch !== null && watch.since !== null)
}

/** Why nothing can be chosen at this moment, in a sentence; null: it can. */
export const refusalElsewhere = (bench: Bench): string | null => {
  const { run, context: { plan: { board } } } = bench
  if (bench.record || run.status === 'ended') return 'The run has ended.'
  if (isBenchRun(board.id)) return 'This run measures the meter, not a board.'
  if (board.testPoints.length < 2) return 'This board type has no two test points to choose from.'
  if (run.status === 'paused') return 'The run is paused. Resume it first.'
  if (bench.asksSameMeter) return 'Answer first whether it is the same meter.'
  if (run.meterLost) return 'The meter is away; nothing is recorded.'
  const step = currentStep(bench)
  if (step === null) return 'There is no step to measure elsewhere from.'
  if (isPreparation(step.id)) return 'The preparation comes first: without it a reading proves nothing.'
  if (isUnderPower(run) || step.id === powerUpStep) return 'The board is under power, or about to be. Measure elsewhere once it is off.'
  if (elsewhereOf(step) !== null) return 'A placement of your choice is asked for already: measure it, or go back.'
  if (step.kind === 'measure' && step.keepsContact) return `${step.title} is read with the leads where they are. Measure it first.`
  return isBegun(bench, step) ? `${step.title} is begun and waits for an answer. Finish it first, or go back.` : null
}

/** A capacitance is told from the open leads: by the eye, or by what this meter was seen to show with its leads apart. */
export const measuresFarads = ({ meter }: Pick<BenchContext, 'meter'>): boolean => isReadByEye(meter) || meter.air.some(({ function: what }) => what === 'capacitance')

type Asked = Pick<Bench, 'run' | 'context'>
type Tip = { id: string; net: string }

/** Legs that are lifted as the board is now. */
const legsNow = ({ run, context: { plan } }: Asked): ReturnType<typeof legsOf> => legsOf(boardStateOf(plan, run))
const isOfCapacitor = ({ context: { plan: { board } } }: Asked) => ({ id }: { id: string }): boolean => partOfLeg(board, id)?.part.kind === 'capacitor'

type Offered = NonNullable<BenchView['elsewhere']>['points'][number]

/** What there is to choose from: the test points in the order of the board file, then the legs that are lifted. */
export const elsewhereView = (bench: Asked): NonNullable<BenchView['elsewhere']> => {
  const { board } = bench.context.plan
  const [picture] = board.pictures
  const points = board.testPoints.map(({ id, words, x, y, picture: on }): Offered => ({ id, name: id, words, x, y, shown: on === picture?.id }))
  const legs = legsNow(bench)
  const places = placesOfLegs(board, legs.map(({ id }) => id))
  const offered = legs.map(({ id, ref }): Offered => {
    const place = places.get(id)
    const shown = place !== undefined && place.picture === picture?.id
    return { id, name: tipName(board, id), words: `${ref} alone, off its pad`, x: shown ? place.x : 0, y: shown ? place.y : 0, shown }
  })
  const ofCapacitor: MeterFunction[] = legs.some(isOfCapacitor(bench)) ? [...(measuresFarads(bench.context) ? ['capacitance' as const] : []), 'dc-voltage'] : []
  const functions: MeterFunction[] = [...elsewhereFunctions, ...ofCapacitor]
  return { points: [...points, ...offered], functions: functions.map((one) => ({ function: one, words: dialWords[one] })) }
}

const refusalOfFunction = (bench: Asked, [first, second]: readonly [Tip, Tip], what: MeterFunction): string | null => {
  const { run, context: { plan } } = bench
  if (elsewhereFunctions.some((one) => one === what)) return refusalOfCharge(plan, run, [first.id, second.id])
  if ((what !== 'capacitance' && what !== 'dc-voltage') || !legsNow(bench).some(isOfCapacitor(bench))) return `Elsewhere only resistance and diode test are measured: the board is proven de-energised for them. For ${dialWords[what]} make a step of the sequence.`
  if (!capacitorsOffPad(plan, run).some((one) => isAcross(one, first.net, second.net))) return `Elsewhere ${what === 'capacitance' ? 'capacitance is' : 'DC volts are'} measured only across a capacitor with a leg lifted. Choose that leg and the other end of its part.`
  if (what === 'dc-voltage') return null
  return measuresFarads(bench.context) ? refusalOfCharge(plan, run, [first.id, second.id])
    : 'What this meter shows in capacitance with its leads apart is not known, so a touch could not be told from the air. Measure a board with a capacitance step first: it is learned there.'
}

const refusalOfPoints = (bench: Asked, { red, black, function: what }: Chosen): string | null => {
  const tipOf = (id: string): Tip | undefined => bench.context.plan.board.testPoints.find((point) => point.id === id) ?? (legsNow(bench).some((leg) => leg.id === id) ? { id, net: id } : undefined)
  const [first, second] = [tipOf(red), tipOf(black)]
  const missing = first === undefined ? red : black
  if (first === undefined || second === undefined) return isLeg(missing) ? `There is no ${tipName(bench.context.plan.board, missing)} on this board now. Choose another place.` : `This board has no test point ${missing}. Choose another.`
  if (first.id === second.id) return bothOnOneWords(tipName(bench.context.plan.board, red))
  if (first.net === second.net) return `${red} and ${black} lie on one net, ${first.net}: nothing of a part is read between them. Choose points of two nets.`
  return refusalOfFunction(bench, [first, second], what)
}

/** The placement becomes the step to make now. Under the leads nothing changes: they are lifted first. */
export const askElsewhere = (bench: Bench, chosen: Chosen): Conducted => {
  const step = currentStep(bench)
  const refused = refusalElsewhere(bench) ?? refusalOfPoints(bench, chosen)
  if (step === null || refused !== null) return refuse(bench, refused ?? 'There is no step to measure elsewhere from.')
  if (bench.capture !== null && bench.capture.contact !== null) return refuse(bench, 'The leads touch something. Lift them first, then choose.')
  const number = bench.run.events.filter(({ kind }) => kind === 'elsewhere').length + 1
  const { red, black, function: what } = chosen
  return { ...quiet(bench), events: [{ kind: 'elsewhere', step: elsewhereId(number), red, black, function: what, then: step.id }, ...afterPower(step)] }
}

/** One touch: recorded, not judged; then the sequence goes on. */
export const takeElsewhere = (bench: Bench, step: JudgedStep, value: CapturedValue): Conducted => {
  const read: RunEventBody = { kind: 'learned', step: step.id, point: 1, id: step.id, ...readOnly(bench.context, step, value, bench.utcMs) }
  return { ...quiet(bench), events: [read, ...decideStep(bench, [read], step, 'not-judged', [lastSeq(bench.run) + 1], value.value)], tones: ['pass'] }
}
