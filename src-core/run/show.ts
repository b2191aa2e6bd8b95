/** Draws the bench as data: what the screen shows of a run. The live line under the reading is live.ts. */
import { isLeg, placeOfTip } from '../board/lifted-leg'
import { stateInWords, type PartState } from '../board/part-state'
import { waitsLong } from '../capture/capture'
import { chargingSeconds } from '../capture/window'
import { isReadByEye } from '../meter/by-eye'
import { unitOf } from '../meter/reading'
import { limitsInWords } from '../metrology/limits-in-words'
import { inWords } from '../quantity/engineering'
import { isSetByApp } from './asked-of-meter'
import { currentStep, expectsAir, nextTouch, type Bench } from './bench'
import { besideInWords, besideOnBench, boardOfStep, boardWords, onItsBoard, settledGood } from './beside'
import { boardStateOf, needsOnBench, stillStands } from './board-state'
import { elsewhereExpected, elsewhereLimits, elsewhereMade, elsewhereOf, isVoltsElsewhere, readElsewhere } from './elsewhere'
import { isFail } from './branch'
import { isBenchRun } from './bench-runs'
import { coarseInWords } from './coarse'
import { concludedFaulty } from './concluded'
import { computedOnBench, expectedInWords, expectedOnBench, judgedLimitsInWords, limitsWithOrigin, originOfStep, stepLimitsInWords } from './computed-words'
import type { Captured, Learned, RunState, StepState } from './state'
import { isPreparation, stepState } from './state'
import { elsewhereView, refusalElsewhere } from './measure-elsewhere'
import { refusalOfNextBoard } from './next-board'
import { mannerOf, onTestPoints, takesAnything, type MeasurePlanStep, type Placement, type Plan, type PlanStep } from './plan'
import { isPassedOver } from './order'
import { hazardousCaution, preparationDue } from './preparation'
import { scaleFor } from './scale'
import { benchSpoken } from './spoken'
import type { BenchView, StepRow } from './view'
import { watchInShort, watchInWords } from './watch-words'
import { dialWords, placeWords, promptFor, valueInWords } from './words'

const touchWords = (touch: Captured | Learned): string => valueInWords(touch.value, touch.function, touch.unit, touch.resolution)

const learnedSoFar = ({ learned }: StepState): string => (learned.length === 0 ? '' : learned.length === 1 ? '1 point' : `${learned.length} points`)

/** What the good board read at this step, and how far off this one is. */
const besideOf = ({ run }: Bench, id: string, value: Captured | undefined): Pick<StepRow, 'beside'> => {
  const good = settledGood(stepState(run, id))
  return good === null ? {} : { beside: besideInWords(good, value ?? null) }
}

/** Of a placement elsewhere, once it is read: what a good board reads there. */
const expectedOf = ({ run }: Bench, step: PlanStep, read: Learned | null): Pick<StepRow, 'expected'> => {
  const words = step.kind !== 'measure' || read === null ? '' : expectedInWords(elsewhereExpected(run, step.id), step.function, read)
  return words === '' ? {} : { expected: words }
}

const expectedLimits = ({ run }: Bench, step: MeasurePlanStep): string => {
  const limits = elsewhereLimits(run, step)
  return limits === null ? '' : limitsWithOrigin(limits, unitOf[step.function], 'computed')
}

const rowOf = (bench: Bench, listed: PlanStep, nowId: string | null, due: boolean): StepRow => {
  const step = listed.kind === 'measure' ? onItsBoard(bench.context.plan, bench.run, listed) : listed
  const made = stepState(bench.run, step.id)
  // A check that has lapsed is to come again; what it read stays as an earlier value.
  const own = due && made.decided !== null ? { ...made, captured: [], learned: [], watched: null, decided: null, done: null, earlier: [...made.earlier, ...made.captured], earlierWatched: [...made.earlierWatched, ...(made.watched === null ? [] : [made.watched])] } : made
  const standing = own.decided === null ? own.captured.at(-1) : own.captured.filter((touch) => own.decided?.from.includes(touch.seq)).at(-1) ?? own.captured.at(-1)
  const elsewhere = elsewhereOf(step) === null ? null : readElsewhere(own)
  const earlier = [...own.earlier, ...own.captured.filter((touch) => touch !== standing)]
  const route = bench.run.standing.some((event) => event.kind === 'decided' && event.step === step.id)
  const passedOver = !route && !isPreparation(step.id)
    && (bench.run.started.order === undefined ? beforeCursor(bench, step.id) : isPassedOver(bench.context.plan, bench.run, step.id))
  return {
    id: step.id, title: step.title, kind: step.kind, preparation: isPreparation(step.id),
    state: step.id === nowId ? 'now' : own.skipped !== null ? 'skipped' : own.decided !== null ? 'decided' : passedOver ? 'passed-over' : 'to-come',
    value: elsewhere !== null ? touchWords(elsewhere) : own.watched !== null ? watchInShort(own.watched) : standing === undefined ? (own.done === null || own.learned.length > 0 ? learnedSoFar(own) : own.done.note ?? 'done') : touchWords(standing),
    verdict: own.decided?.verdict ?? null, evidence: standing?.evidence ?? elsewhere?.evidence ?? null,
    limits: step.kind !== 'measure' ? '' : !takesAnything(step) ? judgedLimitsInWords(bench.run, step, standing ?? null) : expectedLimits(bench, step),
    earlier: [...(elsewhereOf(step) === null ? earlier : own.earlierLearned).map(touchWords), ...own.earlierWatched.map(watchInShort)], note: own.notes.length === 0 ? null : own.notes.join(' · '), skipReason: own.skipped?.reason ?? null,
    ...besideOf(bench, step.id, standing), ...expectedOf(bench, step, elsewhere),
    ...(bench.context.first?.[step.id] === undefined ? {} : { first: bench.context.first[step.id] }),
  }
}

const beforeCursor = (bench: Bench, id: string): boolean => {
  const { plan } = bench.context
  const { cursor } = bench.run
  const own = plan.elsewhere?.find((step) => step.id === cursor)
  const asked = own === undefined ? cursor : elsewhereOf(own)?.then
  const at = cursor === null ? 0 : cursor === 'end' ? plan.steps.length : plan.steps.findIndex((step) => step.id === asked)
  return plan.steps.findIndex((step) => step.id === id) < at
}

/** Rows in the order they are made: preparation of this run, then the sequence, what is measured elsewhere before the step it came in between of. */
const rows = (bench: Bench, nowId: string | null): StepRow[] => {
  const { plan, meter } = bench.context
  const due = new Set(preparationDue(plan, bench.run, meter, bench.utcMs))
  const made = plan.preparation.filter((step) => due.has(step.id) || stepState(bench.run, step.id).decided !== null || step.id === nowId)
  // One that was taken back is read behind the run; the bench goes on without it.
  const chosen = elsewhereMade(plan, [...Object.keys(bench.run.steps).filter((id) => bench.run.steps[id]?.decided !== null), ...(nowId === null ? [] : [nowId])])
  return [...made, ...plan.steps.flatMap((step) => [...chosen.filter((one) => elsewhereOf(one)?.then === step.id), step])].map((step) => rowOf(bench, step, nowId, due.has(step.id)))
}

/** A discharge has its two points on the picture, as a measurement has. */
const dischargePlacement = (plan: Plan, step: PlanStep): Placement | null => {
  const id = step.purpose?.kind === 'discharge' ? step.purpose.store : null
  return plan.board.energyStores.find((store) => store.id === id) ?? null
}

/** @param legs those that were lifted when the placement was chosen. */
const place = (plan: Plan, placement: Placement | null, lead: 'red' | 'black', legs: readonly string[]) => {
  if (placement === null || 'fixture' in placement) return null
  if (lead === 'red' && 'point' in placement) {
    const { spot, words, point: number } = placement
    return spot === null ? null : { testPoint: `point ${number}`, x: spot.x, y: spot.y, words: words ?? '' }
  }
  const id = onTestPoints(placement)?.[lead] ?? ('black' in placement ? placement.black : null)
  if (id !== null && isLeg(id)) { const { x, y } = placeOfTip(plan.board, id, legs) ?? { x: 0, y: 0 }; return { testPoint: id, x, y, words: placeWords(plan.board, id) } }
  const point = plan.board.testPoints.find((each) => each.id === id)
  return point === undefined ? null : { testPoint: point.id, x: point.x, y: point.y, words: point.words }
}

/** Before what the file says of a walk or a watch on a live board that injures. */
const liveCaution = ({ board }: Plan, step: PlanStep): string | null =>
  (board.hazard === 'hazardous' && step.kind === 'measure' && step.powered && ['walk', 'watch'].includes(mannerOf(step)) ? hazardousCaution : null)

const cautionFor = (bench: Bench, step: PlanStep): string | null => {
  const lapsed = step.purpose?.kind === 'store' || step.purpose?.kind === 'source' || step.purpose?.kind === 'disconnect' ? bench.run.lapsedBecause : null
  const own = stepState(bench.run, step.id)
  const failedBefore = own.decided !== null && isFail(own.decided.verdict) ? (step.means || 'It did not read as it should. Check jacks, dial and leads.') : null
  const other = (step.purpose?.kind === 'known-diode' || step.purpose?.kind === 'leads') && bench.run.otherMeterSince !== null
    ? 'Another meter than before: its jacks and leads are checked first, then the board is proven again.' : null
  const words = [liveCaution(bench.context.plan, step), step.caution, coarseInWords(bench, step), stillStands(bench.context.plan, bench.run, step.id) || null, other, lapsed === null ? null : `Proof needed again: ${lapsed}.`, failedBefore].filter((each) => each !== null)
  return words.length === 0 ? null : words.join(' ')
}

/** Air proves nothing (capture.md, rule 7): the prompt offers the better proof. */
const betterProof = 'Better proof: move each tip to a second point of its net, measure again, then confirm.'

/** What a walk or a watch asks for beside its leads. */
const mannerOnBench = ({ run }: Bench, step: PlanStep): string => {
  const { purpose } = step
  if (step.kind === 'measure' && isVoltsElsewhere(step)) return `Recorded and not judged: ${limitsInWords(step.limits ?? 'open', 'V')} counts as empty. Then the sequence goes on; choose what you want to read there anew.`
  if (purpose?.kind === 'elsewhere') return `${step.kind === 'measure' ? expectedOnBench(elsewhereExpected(run, step.id), step.function) : ''} Recorded and not judged; then the sequence goes on.`
  if (purpose?.kind === 'walk') {
    if (!purpose.learns) return purpose.says ?? ''
    const next = purpose.of.points === undefined ? 'Touch one point after the other; G when the last is learned.' : `Point ${purpose.number} of ${purpose.of.points.length}.`
    return `Learning: only on a board that works. ${next} Nothing is judged; later boards are.`
  }
  if (purpose?.kind !== 'watch') return ''
  return `${purpose.seconds === null ? 'Press when you are done, with the tips still on' : `It follows for ${purpose.seconds} s from the first contact`}; R begins again.`
}

const whereFor = (bench: Bench, step: PlanStep): string => [
  step.where, step.kind !== 'measure' ? '' : isSetByApp(bench, step) ? `The app sets the meter to ${dialWords[step.function]}.` : `Dial at ${dialWords[step.function]}.`,
  bench.capture !== null && waitsLong(bench.capture.task) ? `What is connected here charges slowly: about ${Math.round(chargingSeconds(bench.capture.task))} s.` : '',
  step.kind === 'measure' ? `${besideOnBench(step)} ${computedOnBench(step)}`.trim() : '', step.kind === 'measure' && step.otherState !== undefined ? '' : mannerOnBench(bench, step), needsOnBench(bench.context.plan, bench.run, step),
  step.kind === 'measure' && expectsAir(step) && !['learn-air', 'known-diode', 'watch', 'elsewhere'].includes(step.purpose?.kind ?? '') ? betterProof : '',
].filter((each) => each !== '').join(' ')

const stepView = (bench: Bench, step: PlanStep, all: StepRow[]): BenchView['step'] => {
  const { plan } = bench.context
  const learning = takesAnything(step)
  const measuring = step.kind === 'measure' ? step : null
  const placed = measuring?.placement ?? dischargePlacement(plan, step)
  const legs = elsewhereOf(step)?.legs ?? []
  const which = boardOfStep(bench.run, step)
  const onGood = measuring?.beside?.board === 'good'
  const computed = measuring === null ? null : elsewhereLimits(bench.run, measuring)
  return {
    id: step.id, number: all.findIndex((row) => row.id === step.id) + 1, of: all.length, title: step.title, kind: step.kind,
    prompt: promptFor(plan.board, step), where: whereFor(bench, step), caution: cautionFor(bench, step), ...(which === null ? {} : { onBoard: { which, words: boardWords[which] } }), function: measuring?.function ?? null,
    red: place(plan, placed, 'red', legs), black: place(plan, placed, 'black', legs),
    fixture: measuring !== null && 'fixture' in measuring.placement ? measuring.placement.fixture : null,
    reversed: measuring !== null && 'fixture' in measuring.placement && measuring.placement.reversed,
    typed: measuring !== null && measuring.otherState === undefined && measuring.purpose?.kind !== 'watch' && isReadByEye(bench.context.meter) ? { unit: unitOf[measuring.function], touch: nextTouch(bench.run, step.id) } : null,
    ...(step.purpose?.kind === 'walk' && step.purpose.learns ? { walk: { learned: step.purpose.number - 1, of: step.purpose.of.points?.length ?? null } } : {}),
    ...(computed !== null && measuring !== null ? { limits: limitsInWords(computed, unitOf[measuring.function]), limitsAre: 'computed' as const } : measuring === null || learning || onGood ? { limits: '' } : limitsLine(measuring)),
    scale: measuring === null ? null : computed !== null ? scaleFor(computed, measuring.function) : learning || onGood || measuring.limits === null ? null : scaleFor(measuring.limits, measuring.function),
  }
}

/** Beside the scale there is room for the figures and a word or two. */
const limitsLine = (step: MeasurePlanStep): Pick<NonNullable<BenchView['step']>, 'limits' | 'limitsAre'> => {
  const origin = step.limits === null ? null : originOfStep(step)
  return step.limits === null || origin === null ? { limits: stepLimitsInWords(step) } : { limits: limitsInWords(step.limits, unitOf[step.function]), limitsAre: origin }
}

/** A walk without a list ends by a press. */
const finishKey = ({ purpose }: PlanStep): BenchView['keys'] =>
  (purpose?.kind === 'walk' && purpose.learns && purpose.of.points === undefined && purpose.number > 1 ? [{ key: 'G', does: 'that was the last', action: 'finish' }] : [])

const keysFor = (bench: Bench, step: PlanStep | null): BenchView['keys'] => {
  const { run } = bench
  const backKey = { key: '←', does: 'back', action: 'back' as const }
  if (bench.record) return isBenchRun(run.started.board.id) || run.started.practice !== undefined ? [] : [{ key: 'Enter', does: 'next board', action: 'next-board' }]
  if (run.status === 'ended') return isBenchRun(run.started.board.id) ? [backKey] : [...(refusalOfNextBoard(bench) === null ? [{ key: 'Enter', does: 'next board', action: 'next-board' as const }] : []), backKey]
  if (run.status === 'paused') return [{ key: 'P', does: 'resume', action: 'resume' }]
  if (bench.asksSameMeter) return [{ key: 'Space', does: 'same meter and leads', action: 'same-meter' }, { key: 'X', does: 'another meter', action: 'other-meter' }]
  const always = [backKey, { key: 'N', does: 'note', action: 'note' as const }, { key: 'P', does: 'pause', action: 'pause' as const }, { key: 'E', does: 'end', action: 'end' as const },
    { key: 'V', does: 'say again', action: 'say-again' as const }]
  const skip = step !== null && isPreparation(step.id) ? [] : [{ key: 'S', does: 'skip', action: 'skip' as const },
    ...(refusalElsewhere(bench) === null ? [{ key: 'M', does: 'elsewhere', action: 'elsewhere' as const }] : [])]
  if (step === null) return always
  if (run.meterLost && run.started.practice === undefined) return [{ key: 'T', does: 'go on without it', action: 'by-eye' }, ...skip, ...always]
  if (step.kind === 'measure' && step.otherState !== undefined) {
    return [...(step.otherState.remedy.length === 0 ? [] : [{ key: 'Space', does: 'it is so now', action: 'confirm' as const }]), ...skip, ...always]
  }
  // The value is typed: nothing is confirmed, and Enter keeps it.
  if (step.kind === 'measure' && isReadByEye(bench.context.meter)) return [...(step.kind === 'measure' ? finishKey(step) : []), ...skip, ...always]
  switch (step.kind) {
    case 'look': return [{ key: 'Space', does: 'looks good', action: 'confirm' }, { key: 'F', does: 'found damage', action: 'found' }, ...skip, ...always]
    case 'do': return [{ key: 'Space', does: 'done', action: 'confirm' }, ...skip, ...always]
    case 'measure': if (step.purpose?.kind === 'watch') return [{ key: 'Space', does: 'done', action: 'confirm' }, { key: 'R', does: 'begin again', action: 'again' }, ...skip, ...always]
      return [
      { key: 'Space', does: step.limits === 'open' ? 'confirm open' : step.purpose?.kind === 'store' || isVoltsElsewhere(step) ? 'confirm zero' : 'confirm', action: 'confirm' },
      { key: 'R', does: expectsAir(step) ? 'second point' : 'again', action: 'again' }, ...finishKey(step), ...skip, ...always,
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
  if (isBenchRun(bench.run.started.board.id)) return ''
  if (bench.run.status !== 'running' || bench.run.meterLost || bench.asksSameMeter) return bench.run.status === 'ended' ? '' : 'proof lapses'
  const due = preparationDue(bench.context.plan, bench.run, bench.context.meter, bench.utcMs)
  const open = due.filter((id) => !id.startsWith('prepare/leads') && !id.startsWith('prepare/known-diode'))
  return open.length === 0 ? 'proven de-energised' : bench.run.lapsedBecause === null ? 'not proven de-energised yet' : 'proof lapsed'
}

/** What is lifted and was found faulty is not put back. */
const leftWords = (left: readonly PartState[], faulty: readonly string[]): string[] => {
  const bad = [...new Set(left.flatMap(({ ref }) => (faulty.includes(ref) ? [ref] : [])))]
  const good = left.filter(({ ref }) => !bad.includes(ref))
  const again = 'then measure again: no final verdict before that.'
  return [
    ...bad.map((ref) => `${ref} is faulty: replace it rather than put it back, ${again}`),
    ...(good.length === 0 ? [] : [`Put the board back as it was built (${stateInWords(good)}), ${again}`]),
  ]
}

const nextWords = (state: RunState, plan: Plan): string[] => {
  const failed = plan.steps.filter((step) => { const { decided } = stepState(state, step.id); return decided !== null && isFail(decided.verdict) })
  const open = plan.steps.filter((step) => ['doubtful', 'not-judged'].includes(stepState(state, step.id).decided?.verdict ?? ''))
  const parts = [...new Set(failed.flatMap((step) => step.parts))]
  const left = isBenchRun(state.started.board.id) ? [] : boardStateOf(plan, state)
  return [
    ...(state.ended?.verdict === 'beyond-repair' ? ['Put the board aside, marked with its serial number.'] : parts.length > 0 ? [`Look at ${parts.join(', ')}: replace what is confirmed bad, let it cool, then measure again.`] : []),
    ...open.map((step) => (stepState(state, step.id).decided?.verdict === 'doubtful'
      ? `${step.title}: the contact was doubtful. Clean the points and measure it again.` : step.kind === 'measure' ? `${step.title} was not measured.` : `${step.title}: not done.`)),
    ...(state.ended?.verdict === 'beyond-repair' ? [] : leftWords(left, concludedFaulty(state))),
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
      step: step.id, title: step.title, value: own.watched !== null ? watchInWords(own.watched) : touch === undefined ? own.done?.note ?? '' : touchWords(touch),
      limits: step.kind === 'measure' && !takesAnything(step) ? judgedLimitsInWords(run, step, touch ?? null) : '', parts: step.parts, means: step.means,
    }]
  })
  const noNext = refusalOfNextBoard(bench)
  return { verdict: run.ended.verdict, because: run.ended.because, failed, next: nextWords(run, plan), ...(noNext === null ? {} : { noNext }), truth }
}

/** @param truth what was hidden on a practice board; said once the run has ended. */
export const benchView = (bench: Bench, picture: BenchView['picture'], truth: string | null): BenchView => {
  const step = currentStep(bench)
  const all = rows(bench, step?.id ?? null)
  const { board } = bench.context.plan
  return {
    run: bench.run.started.run, board: { id: board.id, name: board.name, revision: board.revision }, serialNumber: bench.run.started.serialNumber,
    ...(bench.run.started.aloneFor === undefined ? {} : { aloneFor: bench.run.started.aloneFor }),
    status: bench.run.status, practice: bench.run.started.practice !== undefined, byEye: isReadByEye(bench.context.meter), record: bench.record, picture,
    step: step === null ? null : stepView(bench, step, all), steps: all, keys: keysFor(bench, step),
    ...(refusalElsewhere(bench) === null ? { elsewhere: elsewhereView(bench) } : {}),
    leads: leadsWords(bench), proof: proofWords(bench), spoken: benchSpoken(bench),
    notes: bench.run.events.flatMap((event) => (event.kind === 'noted' && event.step === null ? [event.text] : [])), result: resultOf(bench, truth),
  }
}
