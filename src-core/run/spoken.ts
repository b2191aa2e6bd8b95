/** What is said aloud: the prompt of the step, what came of the last touch, what the bench waits for. One source for every voice. */
import type { BoardType } from '../board/board-type'
import type { MeterFunction } from '../meter/reading'
import type { Seconds } from '../quantity/units'
import { isSetByApp } from './asked-of-meter'
import { currentStep, touchesNow, type Bench } from './bench'
import { boardOfStep } from './beside'
import { isFail } from './branch'
import { isAsExpected } from './computed-words'
import { elsewhereExpected, isElsewhere, readElsewhere } from './elsewhere'
import type { RunEvent } from './event'
import type { MeasurePlanStep, Placement, PlanStep } from './plan'
import { hazardousCaution } from './preparation'
import { injures } from './residual'
import { stepState } from './state'
import { pointSpoken, titleSpoken, valueSpoken } from './spoken-names'
import { fitsBetweenTouches } from './spoken-time'
import type { LiveView, Utterance } from './view'
import { timesWarned } from './warned'
import { dialWords, fingersOffWords } from './words'

/** Where a sentence of a board file is too long to be heard between touches. */
const onScreen = 'read the step on the screen'
const short = (sentence: string): string => (fitsBetweenTouches(sentence) ? sentence : onScreen)

const placementSpoken = (placement: Placement): string => {
  if ('point' in placement) return short(`red on ${placement.words ?? `point ${placement.point}`}`)
  if (!('fixture' in placement)) {
    const [red, black] = [pointSpoken(placement.red), pointSpoken(placement.black)]
    return [`red on ${red}, black on ${black}`, `red ${red}, black ${black}`].find(fitsBetweenTouches) ?? 'red and black as on the picture'
  }
  switch (placement.fixture) {
    case 'leads-apart': return 'leads apart, in the air'
    case 'leads-joined': return 'press the tips together'
    case 'known-diode':
      return placement.reversed ? 'known diode, red on cathode, black on anode' : 'known diode, red on anode, black on cathode'
    case 'check-resistor': return 'check resistor'
    case 'check-diode': return 'check diode, red on anode'
    case 'first-resistor': return 'first resistor'
    case 'second-resistor': return 'second resistor'
    case 'diode-across-first': return `first resistor across the diode, red on ${placement.reversed ? 'cathode' : 'anode'}`
    case 'diode-and-second': return `second resistor in series, red on ${placement.reversed ? 'the resistor' : 'anode'}`
    case 'known-source': return 'known source, red on plus, black on minus'
  }
}

const actSpoken = (board: BoardType, step: PlanStep): string => {
  switch (step.purpose?.kind) {
    case 'disconnect': return 'unplug everything from the board'
    case 'discharge': {
      const id = step.purpose.store
      const store = board.energyStores.find((each) => each.id === id)
      return short(`discharge ${titleSpoken(id)} through ${store?.dischargeOhms ?? ''} ohm`)
    }
    default: return short(titleSpoken(step.title))
  }
}

/** In a walk black is spoken of once; in a watch, what is done meanwhile. */
const touchSpoken = ({ placement, purpose }: MeasurePlanStep): string[] => {
  if (purpose?.kind === 'walk' && !('fixture' in placement)) {
    return [...(purpose.number === 1 ? [short(`black clipped to ${pointSpoken(placement.black)}`)] : []), 'red' in placement ? short(`red on ${pointSpoken(placement.red)}`) : placementSpoken(placement)]
  }
  return [placementSpoken(placement), ...(purpose?.kind === 'watch' ? [short(purpose.words.replaceAll(':', ','))] : [])]
}

/** The function measured before this step was asked for; a dial is spoken of only when it is to be turned. */
const functionBefore = (bench: Bench): MeterFunction | null =>
  bench.lastReading?.function ?? bench.run.standing.findLast((event) => event.kind === 'captured' || event.kind === 'compared')?.function ?? null

/** The cautions themselves are longer than can be heard between touches. */
export const cautionSpoken = 'caution, read the screen'

/** @param turnedTo where the dial stands; null: not known, and the dial is spoken of. */
export const stepSpoken = (board: BoardType, step: PlanStep, turnedTo: MeterFunction | null): string[] => [
  ...(step.kind !== 'measure' ? [actSpoken(board, step)]
    : [...(turnedTo === step.function ? [] : [`dial to ${dialWords[step.function]}`]), ...touchSpoken(step)]),
  ...(step.caution === null ? [] : [cautionSpoken]),
]

const boardSpoken = { good: 'good board', 'under-test': 'board under test', both: 'both boards' } as const

/** Which of two boards the leads go to; after the good one the same points are touched. */
const promptSentences = (bench: Bench, step: PlanStep): string[] => {
  const touches = touchesNow(bench.run, step)
  if (touches === 1) return ['lift, then touch once more']
  if (touches > 1) return ['contact doubtful, touch a third time']
  const turned = step.kind === 'measure' && isSetByApp(bench, step) ? step.function : functionBefore(bench)
  const which = boardOfStep(bench.run, step)
  if (step.kind === 'measure' && step.beside?.board === 'under-test' && step.beside.good !== null && turned === step.function) return ['same points, board under test']
  return [...(which === null ? [] : [boardSpoken[which]]), ...stepSpoken(bench.context.plan.board, step, turned)]
}

const prompt = (bench: Bench): Utterance | null => {
  const { run } = bench
  const at = `${run.started.run} ${bench.shown.step ?? ''} ${bench.attempt} ${run.lapsedAt}`
  const say = (id: string, ...sentences: string[]): Utterance => ({ id, kind: 'prompt', sentences })
  if (run.status === 'ended') return null
  if (run.status === 'paused') return say(`${at} paused`, 'paused')
  if (bench.asksSameMeter) return say(`${at} same meter`, 'same meter and leads?')
  const step = currentStep(bench)
  return step === null || run.meterLost ? null : say(`${at} ${touchesNow(run, step)}`, ...promptSentences(bench, step))
}

const resultKinds: readonly RunEvent['kind'][] = ['captured', 'learned', 'compared', 'decided', 'skipped', 'undone', 'ended']

const verdictWords = {
  pass: 'pass', 'conditional-pass': 'conditional pass', 'conditional-fail': 'conditional fail', fail: 'fail', doubtful: 'contact doubtful',
}

const captureSpoken = (bench: Bench, touch: Extract<RunEvent, { kind: 'captured' }>): string =>
  isFail(touch.verdict) && !isLearning(bench, touch.step)
    ? `${verdictWords[touch.verdict]}, ${valueSpoken(touch.value, touch.function, touch.unit)}` : verdictWords[touch.verdict]

const isLearning = (bench: Bench, step: string): boolean =>
  bench.context.plan.preparation.find((each) => each.id === step)?.purpose?.kind === 'learn-air'

/** A fail says what it failed by. */
const watchSpoken = ({ verdict, dropouts, minimum }: Extract<RunEvent, { kind: 'watched' }>): string => {
  if (verdict === 'not-judged') return 'not judged'
  if (!isFail(verdict)) return verdictWords[verdict]
  return `${verdictWords[verdict]}, ${minimum === null ? 'no contact' : dropouts.length > 0 ? `${dropouts.length} ${dropouts.length === 1 ? 'dropout' : 'dropouts'}` : 'beyond the limits'}`
}

/** What came of the last touch or press; null where the next prompt says it all. */
const resultSentences = (bench: Bench): string[] => {
  const { events, ended } = bench.run
  const last = events.filter((event) => resultKinds.includes(event.kind)).at(-1)
  const closing = ended === null ? [] : [`run ended, ${ended.verdict.replace('-', ' ')}`]
  const made = events.filter((event) => event.kind === 'captured' || event.kind === 'learned' || event.kind === 'compared' || event.kind === 'decided' || event.kind === 'skipped')
  const before = last?.kind === 'ended' ? made.at(-1) : last
  switch (before?.kind) {
    case 'captured': return [captureSpoken(bench, before), ...closing]
    case 'learned': return [isElsewhere(before.step) ? valueSpoken(before.value, before.function, before.unit) : `point ${before.point} kept`, ...closing]
    case 'compared': return [`good board, ${before.outcome === 'doubtful' ? verdictWords.doubtful : valueSpoken(before.value, before.function, before.unit)}`, ...closing]
    case 'decided': {
      const watched = events.find((event) => event.kind === 'watched' && before.from.includes(event.seq))
      if (watched?.kind === 'watched') return [watchSpoken(watched), ...closing]
      const elsewhere = isElsewhere(before.step) ? readElsewhere(stepState(bench.run, before.step)) : null
      if (elsewhere !== null) return [valueSpoken(elsewhere.value, elsewhere.function, elsewhere.unit), ...(isAsExpected(elsewhereExpected(bench.run, before.step), elsewhere) === false ? ['a good board reads otherwise'] : []), ...closing]
      if (stepState(bench.run, before.step).learned.length > 0 && before.verdict !== 'not-judged') return ['walk kept', ...closing]
      const touch = events.filter((event) => event.kind === 'captured' && before.from.includes(event.seq)).at(-1)
      if (before.verdict === 'doubtful') return [verdictWords.doubtful, ...closing]
      if (before.verdict === 'not-judged') return ['skipped', ...closing]
      return touch?.kind === 'captured' ? [captureSpoken(bench, touch), ...closing] : closing
    }
    case 'undone': return ['back']
    default: return closing
  }
}

const result = (bench: Bench): Utterance | null => {
  const seq = bench.run.events.filter((event) => resultKinds.includes(event.kind)).at(-1)?.seq
  const sentences = resultSentences(bench)
  return seq === undefined || sentences.length === 0 ? null : { id: `${bench.run.started.run} ${seq}`, kind: 'result', sentences }
}

/** Dangers that a touch or a step speaks of; what a touch found holds until something is done about it. */
const warning = (bench: Bench): Utterance | null => {
  const { run } = bench
  const touch = run.events.filter(({ kind }) => kind === 'captured' || kind === 'learned' || kind === 'done' || kind === 'undone').at(-1)
  if ((touch?.kind === 'captured' || touch?.kind === 'learned') && injures(bench.context.plan, touch)) {
    return { id: `${run.started.run} voltage left ${touch.seq}`, kind: 'warning', sentences: ['stop, dangerous voltage on the board'] }
  }
  const step = currentStep(bench)
  return run.status === 'running' && step !== null && step.purpose?.kind === 'disconnect'
    && step.caution?.includes(hazardousCaution) === true
    ? { id: `${run.started.run} hazardous ${run.lapsedAt}`, kind: 'warning', sentences: ['this board can hold a dangerous voltage'] } : null
}

/** In the order they are to be heard: a warning, what came of the last touch, the prompt. Nothing for a record that is only read. */
export const benchSpoken = (bench: Bench): Utterance[] =>
  bench.record ? [] : [warning(bench), result(bench), prompt(bench)].filter((each) => each !== null)

/** Said while it lasts: what the state line asks for, where a hand has to act on it. */
const waitsFor = (line: Pick<LiveView, 'state' | 'tone' | 'wants'>): { kind: 'warning' | 'hint'; sentence: string } | null => {
  const sentence = line.state.replaceAll(':', ',')
  if (line.state === '') return null
  if (line.tone === 'stop') return { kind: 'warning', sentence }
  if (line.wants === 'lift') return { kind: 'hint', sentence: line.tone === 'warn' ? sentence : 'lift' }
  const acts = line.tone === 'warn' || line.wants === 'confirm' || line.wants === 'type' || line.state === fingersOffWords
  return acts ? { kind: 'hint', sentence } : null
}

type Line = Pick<LiveView, 'state' | 'tone' | 'wants'>

/** What is said of the line, where it warns of something that can end and come again; else null. */
export const warningIn = (bench: Bench, line: Line): string | null =>
  bench.record || bench.run.status !== 'running' || (line.tone !== 'stop' && line.tone !== 'warn') ? null : waitsFor(line)?.sentence ?? null

/** @param line the state line of the same moment, `at`: voice and screen say the same. */
export const liveSpoken = (bench: Bench, line: Line, at: Seconds): Utterance | null => {
  const found = bench.record || bench.run.status !== 'running' ? null : waitsFor(line)
  // To hold the leads apart is what the prompt of that step has said already.
  if (found === null || (line.wants === 'lift' && line.tone === 'busy')) return null
  const { kind, sentence } = found
  const time = warningIn(bench, line) === null ? '' : ` ${timesWarned(bench.warned, sentence, at)}`
  return { id: `${bench.run.started.run} ${bench.shown.step ?? ''} ${bench.attempt} ${sentence}${time}`, kind, sentences: [sentence] }
}

/** Said by a page that lost the app. */
export const appLostSpoken: Utterance = { id: 'app lost', kind: 'warning', sentences: ['not live any more'] }

/** The prompt once more, with what stands in its way first. */
export const sayAgain = (spoken: readonly Utterance[], live: Utterance | null, times: number): Utterance | null => {
  const of = (wanted: Utterance['kind']): string[] => spoken.filter(({ kind }) => kind === wanted).flatMap((each) => each.sentences)
  const sentences = [...(live?.sentences ?? []), ...of('prompt')]
  const last = of('result')
  const said = sentences.length > 0 ? sentences : last
  return said.length === 0 ? null : { id: `again ${times}`, kind: 'prompt', sentences: said }
}

