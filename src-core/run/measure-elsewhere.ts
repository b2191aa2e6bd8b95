/** Asks for a placement of the technician's own choice in a running run, and takes the value read there. */
import type { BoardType, TestPoint } from '../board/board-type'
import type { CapturedValue } from '../capture/task'
import type { MeterFunction } from '../meter/reading'
import { isUnderPower, powerUpStep } from '../repair/prove'
import { currentStep, type Bench } from './bench'
import { isBenchRun } from './bench-runs'
import { quiet, refuse, type Conducted } from './conducted'
import { afterPower, decideStep, lastSeq } from './decide-step'
import { elsewhereId, elsewhereOf } from './elsewhere'
import type { RunEventBody } from './event'
import { readOnly } from './judge'
import type { JudgedStep, PlanStep } from './plan'
import { openQuestion } from './question'
import { isPreparation, stepState } from './state'
import type { BenchView } from './view'
import { dialWords } from './words'

export type Chosen = { red: string; black: string; function: MeterFunction }

/** Both feed a current of their own into a board that was proven de-energised, and the diagnosis knows what they read. */
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

/** What there is to choose from, in the order of the board file. */
export const elsewhereView = ({ testPoints, pictures }: BoardType): NonNullable<BenchView['elsewhere']> => ({
  points: testPoints.map(({ id, words, x, y, picture }) => ({ id, words, x, y, shown: picture === pictures[0]?.id })),
  functions: elsewhereFunctions.map((one) => ({ function: one, words: dialWords[one] })),
})

const refusalOfPoints = (points: readonly TestPoint[], { red, black, function: what }: Chosen): string | null => {
  const [first, second] = [red, black].map((id) => points.find((point) => point.id === id))
  if (first === undefined || second === undefined) return `This board has no test point ${first === undefined ? red : black}. Choose another.`
  if (first === second) return `Both leads on ${red} read only themselves. Choose two points.`
  if (first.net === second.net) return `${red} and ${black} lie on one net, ${first.net}: nothing of a part is read between them. Choose points of two nets.`
  return elsewhereFunctions.some((one) => one === what) ? null
    : `Elsewhere only resistance and diode test are measured: the board is proven de-energised for them. For ${dialWords[what]} make a step of the sequence.`
}

/** The placement becomes the step to make now. Under the leads nothing changes: they are lifted first. */
export const askElsewhere = (bench: Bench, chosen: Chosen): Conducted => {
  const step = currentStep(bench)
  const refused = refusalElsewhere(bench) ?? refusalOfPoints(bench.context.plan.board.testPoints, chosen)
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
