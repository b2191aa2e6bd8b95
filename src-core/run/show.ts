/** Draws the bench as data: what the screen shows of a run, and the live line under the reading. */
import { captureStatus, waitsLong } from '../capture/capture'
import { chargingSeconds } from '../capture/window'
import type { MeasuredValue } from '../meter/reading'
import { unitOf } from '../meter/reading'
import { limitsInWords } from '../metrology/limits-in-words'
import { engineering, inWords } from '../quantity/engineering'
import type { Seconds } from '../quantity/units'
import { refusalToStart } from './admission'
import { currentStep, expectsAir, touchesSoFar, type Bench } from './bench'
import { isFail } from './branch'
import { chargedBecause } from './conduct'
import { closingBoardId } from './closing'
import type { Captured, RunState } from './state'
import { isPreparation, stepState } from './state'
import { learnedEnough } from './learn-air'
import type { Placement, Plan, PlanStep } from './plan'
import { preparationDue } from './preparation'
import { placeOnScale, scaleFor } from './scale'
import type { BenchView, LiveView, StepRow } from './view'
import { dialWords, modeWords, promptFor, stateLine, valueInWords, type StateLine } from './words'

const touchWords = (touch: Captured): string => valueInWords(touch.value, touch.function, touch.unit, touch.resolution)

const rowOf = (bench: Bench, step: PlanStep, nowId: string | null, due: boolean): StepRow => {
  const made = stepState(bench.run, step.id)
  // A check that has lapsed is to come again; what it read stays as an earlier value.
  const own = due && made.decided !== null ? { ...made, captured: [], decided: null, done: null, earlier: [...made.earlier, ...made.captured] } : made
  const standing = own.decided === null ? own.captured.at(-1) : own.captured.filter((touch) => own.decided?.from.includes(touch.seq)).at(-1) ?? own.captured.at(-1)
  const earlier = [...own.earlier, ...own.captured.filter((touch) => touch !== standing)]
  const route = bench.run.standing.some((event) => event.kind === 'decided' && event.step === step.id)
  const passedOver = !route && !isPreparation(step.id) && beforeCursor(bench, step.id)
  return {
    id: step.id, title: step.title, kind: step.kind, preparation: isPreparation(step.id),
    state: step.id === nowId ? 'now' : own.skipped !== null ? 'skipped' : own.decided !== null ? 'decided' : passedOver ? 'passed-over' : 'to-come',
    value: standing === undefined ? (own.done === null ? '' : own.done.note ?? 'done') : touchWords(standing),
    verdict: own.decided?.verdict ?? null, evidence: standing?.evidence ?? null,
    limits: step.kind === 'measure' && step.purpose?.kind !== 'learn-air' ? limitsInWords(step.limits, unitOf[step.function]) : '',
    earlier: earlier.map(touchWords), note: own.notes.length === 0 ? null : own.notes.join(' · '), skipReason: own.skipped?.reason ?? null,
  }
}

const beforeCursor = (bench: Bench, id: string): boolean => {
  const { plan } = bench.context
  const at = bench.run.cursor === null ? 0 : bench.run.cursor === 'end' ? plan.steps.length : plan.steps.findIndex((step) => step.id === bench.run.cursor)
  return plan.steps.findIndex((step) => step.id === id) < at
}

/** Rows in the order they are made: preparation of this run, then the sequence. */
const rows = (bench: Bench, nowId: string | null): StepRow[] => {
  const { plan, meter } = bench.context
  const due = new Set(preparationDue(plan, bench.run, meter, bench.utcMs))
  const made = plan.preparation.filter((step) => due.has(step.id) || stepState(bench.run, step.id).decided !== null || step.id === nowId)
  return [...made, ...plan.steps].map((step) => rowOf(bench, step, nowId, due.has(step.id)))
}

/** A discharge has its two points on the picture, as a measurement has. */
const dischargePlacement = (plan: Plan, step: PlanStep): Placement | null => {
  const id = step.purpose?.kind === 'discharge' ? step.purpose.store : null
  return plan.board.energyStores.find((store) => store.id === id) ?? null
}

const place = (plan: Plan, placement: Placement | null, lead: 'red' | 'black') => {
  if (placement === null || 'fixture' in placement) return null
  const point = plan.board.testPoints.find((each) => each.id === placement[lead])
  return point === undefined ? null : { testPoint: point.id, x: point.x, y: point.y, words: point.words }
}

const cautionFor = (bench: Bench, step: PlanStep): string | null => {
  const lapsed = step.purpose?.kind === 'store' || step.purpose?.kind === 'source' || step.purpose?.kind === 'disconnect' ? bench.run.lapsedBecause : null
  const own = stepState(bench.run, step.id)
  const failedBefore = own.decided !== null && isFail(own.decided.verdict) ? (step.means || 'It did not read as it should. Check jacks, dial and leads.') : null
  const words = [step.caution, lapsed === null ? null : `Proof needed again: ${lapsed}.`, failedBefore].filter((each) => each !== null)
  return words.length === 0 ? null : words.join(' ')
}

/** Air proves nothing (capture.md, rule 7): the prompt offers the better proof. */
const betterProof = 'Better proof: move each tip to a second point of its net, press R, then confirm.'

const whereFor = (bench: Bench, step: PlanStep): string => [
  step.where, step.kind === 'measure' ? `Dial at ${dialWords[step.function]}.` : '',
  bench.capture !== null && waitsLong(bench.capture.task) ? `What is connected here charges slowly: about ${Math.round(chargingSeconds(bench.capture.task))} s.` : '',
  step.kind === 'measure' && expectsAir(step) && step.purpose?.kind !== 'learn-air' && step.purpose?.kind !== 'known-diode' ? betterProof : '',
].filter((each) => each !== '').join(' ')

const stepView = (bench: Bench, step: PlanStep, all: StepRow[]): BenchView['step'] => {
  const { plan } = bench.context
  const learning = step.purpose?.kind === 'learn-air'
  const measuring = step.kind === 'measure' ? step : null
  const placed = measuring?.placement ?? dischargePlacement(plan, step)
  return {
    id: step.id, number: all.findIndex((row) => row.id === step.id) + 1, of: all.length, title: step.title, kind: step.kind,
    prompt: promptFor(plan.board, step), where: whereFor(bench, step), caution: cautionFor(bench, step), function: measuring?.function ?? null,
    red: place(plan, placed, 'red'), black: place(plan, placed, 'black'),
    fixture: measuring !== null && 'fixture' in measuring.placement ? measuring.placement.fixture : null,
    reversed: measuring !== null && 'fixture' in measuring.placement && measuring.placement.reversed,
    limits: measuring === null || learning ? '' : limitsInWords(measuring.limits, unitOf[measuring.function]),
    scale: measuring === null || learning ? null : scaleFor(measuring.limits, measuring.function),
  }
}

const keysFor = (bench: Bench, step: PlanStep | null): BenchView['keys'] => {
  const { run } = bench
  const backKey = { key: '←', does: 'back', action: 'back' as const }
  if (bench.record) return run.started.board.id === closingBoardId || run.started.practice !== undefined ? [] : [{ key: 'Enter', does: 'next board', action: 'next-board' }]
  if (run.status === 'ended') return run.started.board.id === closingBoardId ? [backKey] : [{ key: 'Enter', does: 'next board', action: 'next-board' }, backKey]
  if (run.status === 'paused') return [{ key: 'P', does: 'resume', action: 'resume' }]
  if (bench.asksSameMeter) return [{ key: 'Space', does: 'same meter and leads', action: 'same-meter' }, { key: 'X', does: 'another meter', action: 'other-meter' }]
  const always = [backKey, { key: 'N', does: 'note', action: 'note' as const }, { key: 'P', does: 'pause', action: 'pause' as const }, { key: 'E', does: 'end', action: 'end' as const }]
  const skip = step !== null && isPreparation(step.id) ? [] : [{ key: 'S', does: 'skip', action: 'skip' as const }]
  if (step === null) return always
  switch (step.kind) {
    case 'look': return [{ key: 'Space', does: 'looks good', action: 'confirm' }, { key: 'F', does: 'found damage', action: 'found' }, ...skip, ...always]
    case 'do': return [{ key: 'Space', does: 'done', action: 'confirm' }, ...skip, ...always]
    case 'measure': return [
      { key: 'Space', does: step.limits === 'open' ? 'confirm open' : step.purpose?.kind === 'store' ? 'confirm zero' : 'confirm', action: 'confirm' },
      { key: 'R', does: expectsAir(step) ? 'second point' : 'again', action: 'again' }, ...skip, ...always,
    ]
  }
}

const age = (utc: string | undefined, utcMs: number): string => {
  if (utc === undefined) return 'never'
  const minutes = Math.max(0, Math.round((utcMs - Date.parse(utc)) / 60_000))
  return minutes < 1 ? 'just now' : minutes < 60 ? `${minutes} min ago` : `${Math.floor(minutes / 60)} h ago`
}

const leadsWords = (bench: Bench): string => {
  const { leadCheck } = bench.context.meter
  return leadCheck === null ? 'leads not checked' : `leads ${inWords(leadCheck.ohms, 'Ω', leadCheck.resolution)}, ${age(leadCheck.utc, bench.utcMs)}`
}

const proofWords = (bench: Bench): string => {
  if (bench.run.status !== 'running' || bench.run.meterLost || bench.asksSameMeter) return bench.run.status === 'ended' ? '' : 'proof lapses'
  const due = preparationDue(bench.context.plan, bench.run, bench.context.meter, bench.utcMs)
  const open = due.filter((id) => !id.startsWith('prepare/leads') && !id.startsWith('prepare/known-diode'))
  return open.length === 0 ? 'proven de-energised' : bench.run.lapsedBecause === null ? 'not proven de-energised yet' : 'proof lapsed'
}

const nextWords = (state: RunState, plan: Plan): string[] => {
  const failed = plan.steps.filter((step) => { const { decided } = stepState(state, step.id); return decided !== null && isFail(decided.verdict) })
  const open = plan.steps.filter((step) => ['doubtful', 'not-judged'].includes(stepState(state, step.id).decided?.verdict ?? ''))
  const parts = [...new Set(failed.flatMap((step) => step.parts))]
  return [
    ...(state.ended?.verdict === 'beyond-repair' ? ['Put the board aside, marked with its serial number.'] : parts.length > 0 ? [`Look at ${parts.join(', ')}: replace what is confirmed bad, let it cool, then measure again.`] : []),
    ...open.map((step) => (stepState(state, step.id).decided?.verdict === 'doubtful'
      ? `${step.title}: the contact was doubtful. Clean the points and measure it again.` : `${step.title} was not measured.`)),
  ]
}

const resultOf = (bench: Bench, truth: string | null): BenchView['result'] => {
  const { run, context: { plan } } = bench
  if (run.ended === null) return null
  const failed = plan.steps.flatMap((step) => {
    const own = stepState(run, step.id)
    if (own.decided === null || !isFail(own.decided.verdict)) return []
    const touch = own.captured.filter((each) => own.decided?.from.includes(each.seq)).at(-1)
    return [{
      step: step.id, title: step.title, value: touch === undefined ? own.done?.note ?? '' : touchWords(touch),
      limits: step.kind === 'measure' ? limitsInWords(step.limits, unitOf[step.function]) : '', parts: step.parts, means: step.means,
    }]
  })
  return { verdict: run.ended.verdict, because: run.ended.because, failed, next: nextWords(run, plan), truth }
}

/** @param truth what was hidden on a practice board; said once the run has ended. */
export const benchView = (bench: Bench, picture: BenchView['picture'], truth: string | null): BenchView => {
  const step = currentStep(bench)
  const all = rows(bench, step?.id ?? null)
  const { board } = bench.context.plan
  return {
    run: bench.run.started.run, board: { id: board.id, name: board.name, revision: board.revision }, serialNumber: bench.run.started.serialNumber,
    status: bench.run.status, practice: bench.run.started.practice !== undefined, record: bench.record, picture,
    step: step === null ? null : stepView(bench, step, all), steps: all, keys: keysFor(bench, step),
    leads: leadsWords(bench), proof: proofWords(bench),
    notes: bench.run.events.flatMap((event) => (event.kind === 'noted' && event.step === null ? [event.text] : [])), result: resultOf(bench, truth),
  }
}

const figureOf = (value: MeasuredValue, unit: string, resolution: number | null): { figure: string; unit: string } => {
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
      case 'function': return line(`turn the dial to ${wanted}`, 'warn', 'dial')
      case 'touching': return line('the tips touch something', 'warn', 'lift')
      default: return line(modeWords(learning?.objection as Parameters<typeof modeWords>[0]), 'warn', 'dial')
    }
  }
  return learnedEnough(learning, at) ? line('apart: confirm', 'ask', 'confirm') : line('hold the leads apart', 'busy', 'lift')
}

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
  if (step.kind !== 'measure') return line(step.kind === 'look' ? 'look, then press' : 'do this, then press', 'ask', 'press')
  if (step.purpose?.kind === 'learn-air') return learningLine(bench, step, at)
  if (bench.capture === null) return line('', 'busy', 'wait')
  const line0 = stateLine(captureStatus(bench.capture, at), step.function, step.limits !== 'open', at)
  const lastTouch = bench.run.standing.filter((event) => event.kind === 'captured').at(-1)
  if (line0.wants === 'lift' && line0.tone === 'good' && lastTouch !== undefined && isFail(lastTouch.verdict)) return { ...line0, tone: 'ask' }
  if (line0.wants === 'lift' && line0.tone === 'good' && bench.capture.held === null) return { ...line0, state: 'lift the leads', tone: 'ask' }
  const again = touchesSoFar(bench.run, step.id).length
  return again > 0 && line0.wants === 'touch' ? { ...line0, state: again === 1 ? 'touch once more' : 'contact doubtful: touch a third time' } : line0
}

export const liveView = (bench: Bench, at: Seconds): LiveView => {
  const reading = bench.lastReading
  const step = currentStep(bench)
  return {
    reading: reading === null ? null : { ...figureOf(reading.value, reading.unit, reading.resolution), function: reading.function, flags: reading.flags },
    perSecond: bench.perSecond, ...lineNow(bench, at),
    mark: reading === null || step === null || step.kind !== 'measure' || reading.function !== step.function || step.purpose?.kind === 'learn-air'
      ? null : placeOnScale(reading.value, step.limits, step.function),
  }
}

/** The live line with no run on the bench: the reading alone. */
export const idleView = (reading: LiveView['reading'], perSecond: number | null): LiveView =>
  ({ reading, perSecond, mark: null, state: '', tone: 'busy', beads: null, wants: 'nothing' })
export { figureOf }
