/** Draws the live part: the reading, and the one line that says what is being waited for. */
import { captureStatus } from '../capture/capture'
import { isReadByEye } from '../meter/by-eye'
import type { MeasuredValue } from '../meter/reading'
import { engineering } from '../quantity/engineering'
import type { Seconds } from '../quantity/units'
import { refusalToStart } from './admission'
import { isSetByApp } from './asked-of-meter'
import { currentStep, notBefore, touchesNow, type Bench } from './bench'
import { isFail } from './branch'
import { chargedBecause } from './conducted'
import { elsewhereLimits } from './elsewhere'
import { learnedEnough } from './learn-air'
import { hasLimits, type PlanStep } from './plan'
import { openQuestion, questionInWords } from './question'
import { noGoodBoardReason, noLimitsReason, noMeterReason } from './reasons'
import { placeOnScale } from './scale'
import { liveSpoken, warningIn } from './spoken'
import { isPreparation } from './state'
import type { LiveView } from './view'
import { minutesInWords, secondsToReady } from './waiting'
import { noteWarning } from './warned'
import { watchLine, watchNow } from './watch-live'
import { dialWords, modeWords, settingLine, stateLine, type StateLine } from './words'

export const figureOf = (value: MeasuredValue, unit: string, resolution: number | null): { figure: string; unit: string } => {
  if (value === 'overload') return { figure: 'OL', unit }
  if (value === 'negative-overload') return { figure: '−OL', unit }
  const { figure, prefix } = engineering(value, resolution)
  return { figure, unit: `${prefix}${unit}` }
}

const learningLine = (bench: Bench, step: PlanStep, at: Seconds): StateLine => {
  const { learning } = bench
  const wanted = step.kind === 'measure' ? dialWords[step.function] : ''
  const line = (state: string, tone: StateLine['tone'], wants: StateLine['wants']): StateLine => ({ state, tone, wants, beads: null })
  if (learning === null || learning.conversions === 0) {
    switch (learning?.objection ?? null) {
      case null: return line('waiting for the meter', 'busy', 'wait')
      case 'function': return step.kind === 'measure' && isSetByApp(bench, step) ? settingLine(step.function) : line(`turn the dial to ${wanted}`, 'warn', 'dial')
      case 'touching': return line('the tips touch something', 'warn', 'lift')
      default: return line(modeWords(learning?.objection as Parameters<typeof modeWords>[0]), 'warn', 'dial')
    }
  }
  return learnedEnough(learning, at) ? line('apart: confirm', 'ask', 'confirm') : line('hold the leads apart', 'busy', 'lift')
}

const typingLine = (bench: Bench, step: PlanStep, at: Seconds): StateLine => {
  const line = (state: string, wants: StateLine['wants']): StateLine => ({ state, tone: wants === 'wait' ? 'busy' : 'ask', wants, beads: null })
  const waits = notBefore(bench, step)
  if (waits !== null && at < waits) return line(`wait ${Math.ceil(waits - at)} s`, 'wait')
  if (step.purpose?.kind === 'learn-air') return line('hold the leads apart, type it', 'type')
  switch (touchesNow(bench.run, step)) {
    case 0: {
      const question = openQuestion(bench.run, step.id)
      return line(question === null ? 'touch, then type what it shows' : questionInWords(bench.context.plan, step, question), 'type')
    }
    case 1: return line('touch once more, then type it', 'type')
    default: return line('contact doubtful: a third touch', 'type')
  }
}

/** A step that nothing can be judged in as it is. */
const skipLine = (skipBecause: string): StateLine => ({ state: `${skipBecause}: skip it`, tone: 'warn', beads: null, wants: 'skip', skipBecause })

const lineNow = (bench: Bench, at: Seconds): StateLine => {
  const line = (state: string, tone: StateLine['tone'], wants: StateLine['wants']): StateLine => ({ state, tone, wants, beads: null })
  if (bench.run.status === 'ended') return line('run ended', 'good', 'nothing')
  if (bench.run.status === 'paused') return line('paused', 'ask', 'nothing')
  if (bench.asksSameMeter) return line('same meter and leads?', 'ask', 'press')
  if (bench.run.meterLost) return line('meter lost, reconnecting', 'stop', 'nothing')
  const step = currentStep(bench)
  if (step === null) return line('', 'busy', 'nothing')
  if (refusalToStart(bench.context.plan.board, bench.context.meter) !== null) return line('refused: this meter is not isolated', 'stop', 'nothing')
  if (isPreparation(step.id) && bench.run.lapsedBecause?.startsWith(chargedBecause) === true && step.kind === 'do') return line('board is charged: stop', 'stop', 'press')
  const left = secondsToReady(bench, step)
  if (left > 0) return line(`cooling: ${minutesInWords(left)}`, 'busy', 'wait')
  if (step.kind !== 'measure') return line(step.kind === 'look' ? 'look, then press' : 'do this, then press', 'ask', 'press')
  if (!hasLimits(step) && step.purpose?.kind === 'walk' && step.purpose.learns) return skipLine(noGoodBoardReason)
  if (!hasLimits(step)) return step.otherState !== undefined ? line('the board is not so yet: read on', 'warn', 'press') : step.computed === null ? line('computing the limits', 'busy', 'wait') : skipLine(noLimitsReason)
  if (isReadByEye(bench.context.meter)) return step.purpose?.kind === 'watch' ? skipLine(noMeterReason) : typingLine(bench, step, at)
  if (bench.watch !== null && step.purpose?.kind === 'watch') return watchLine(bench.watch, step, step.purpose.seconds, isSetByApp(bench, step), at)
  if (step.purpose?.kind === 'learn-air') return learningLine(bench, step, at)
  if (bench.capture === null) return line('', 'busy', 'wait')
  const status = captureStatus(bench.capture, at)
  if (isSetByApp(bench, step) && (status.kind === 'wrong-function' || status.kind === 'hunting')) return settingLine(step.function)
  // A value that moves is never learned: it is not offered.
  const offered = status.kind === 'offer-moving' && step.purpose?.kind === 'walk' && step.purpose.learns ? { ...status, resolved: false } : status
  const line0 = stateLine(offered, step.function, step.limits !== 'open', at)
  if (status.kind === 'too-coarse' && isPreparation(step.id)) return line('meter too coarse: take a finer one', 'warn', 'nothing')
  const question = openQuestion(bench.run, step.id)
  if (question !== null && line0.wants === 'lift') return { ...line0, state: questionInWords(bench.context.plan, step, question), tone: 'warn' }
  if (question !== null && line0.wants === 'touch') return { ...line0, state: 'right place? touch it again' }
  const lastTouch = bench.run.standing.filter((event) => event.kind === 'captured').at(-1)
  if (line0.wants === 'lift' && line0.tone === 'good' && lastTouch !== undefined && isFail(lastTouch.verdict)) return { ...line0, tone: 'ask' }
  if (line0.wants === 'lift' && line0.tone === 'good' && bench.capture.held === null) return { ...line0, state: 'lift the leads', tone: 'ask' }
  const again = touchesNow(bench.run, step)
  if (step.purpose?.kind === 'walk' && again === 0) return walkLine(line0, step.purpose.learns)
  return again > 0 && line0.wants === 'touch' ? { ...line0, state: again === 1 ? 'touch once more' : 'contact doubtful: touch a third time' } : line0
}

/** Black stays clipped: only red is lifted and set down. */
const walkLine = (line: StateLine, learns: boolean): StateLine => ({
  ...line, state: line.state.replace('touch both points', 'touch the point').replace(/lift the leads$/, 'lift red').replace('recorded, lift', learns ? 'kept, lift' : 'recorded, lift'),
})

/** The bench with the warning of this moment counted. */
export const withWarningNoted = (bench: Bench, at: Seconds): Bench => {
  const sentence = warningIn(bench, lineNow(bench, at))
  return sentence === null ? bench : { ...bench, warned: noteWarning(bench.warned, sentence, at) }
}

export const liveView = (bench: Bench, at: Seconds): LiveView => {
  const reading = bench.lastReading
  const step = currentStep(bench)
  const line = lineNow(bench, at)
  return {
    reading: reading === null ? null : { ...figureOf(reading.value, reading.unit, reading.resolution), function: reading.function, flags: reading.flags },
    perSecond: bench.perSecond, ...line, ...watchNow(bench, at), spoken: liveSpoken(bench, line, at),
    mark: reading === null || step === null || step.kind !== 'measure' || reading.function !== step.function || !hasLimits(step) || step.purpose?.kind === 'learn-air' || step.beside?.board === 'good'
      ? null : placeOnScale(reading.value, elsewhereLimits(bench.run, step) ?? step.limits, step.function),
  }
}

/** The live line with no run on the bench: the reading alone. */
export const idleView = (reading: LiveView['reading'], perSecond: number | null): LiveView =>
  ({ reading, perSecond, mark: null, state: '', tone: 'busy', beads: null, wants: 'nothing', spoken: null })
