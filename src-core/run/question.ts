/** “This looks like R4; are you on R3?”: when it is asked instead of recording, and how (capture.md, rule 10). */
import type { CapturedBody, RunEvent, RunEventBody } from './event'
import { band } from '../capture/band'
import { TOUCHES_AGREE_BANDS } from '../capture/figures'
import type { Bench } from './bench'
import { isFail } from './branch'
import { placementsOf } from './placements-request'
import { planStep, type JudgedStep, type Plan, type PlanStep } from './plan'
import { fitsBetweenTouches } from './spoken-time'
import { standingTouch } from './standing'
import { stepState, type RunState } from './state'
import { valueInWords } from './words'
import { looksLike, type Earlier } from './wrong-place'

type Questioned = Extract<RunEventBody, { kind: 'questioned' }>

/** What the steps decided before this one say of the board. */
const earlierOf = (plan: Plan, run: RunState, step: string): Earlier[] => plan.steps.flatMap((each): Earlier[] => {
  const own = stepState(run, each.id)
  const touch = standingTouch(own)
  const verdict = own.decided?.verdict
  if (each.id === step || each.kind !== 'measure' || touch === null || verdict === undefined || verdict === 'doubtful' || verdict === 'not-judged') return []
  return [{ step: each.id, passed: !isFail(verdict), value: isFail(verdict) && typeof touch.value === 'number' ? touch.value : null }]
})

const isSame = (value: number, asked: Questioned): boolean => Math.abs(value - asked.value) <= TOUCHES_AGREE_BANDS * Math.max(band(value, asked.resolution), band(asked.value, asked.resolution))

/** Null: the touch is recorded. The same value touched again after it was asked is the answer to it, and so is another that looks like the same place. */
export const questionFor = (bench: Bench, step: JudgedStep, { value, verdict, function: what, resolution, unit }: CapturedBody): Questioned | null => {
  const { run, context: { plan } } = bench
  if (typeof value !== 'number' || !isFail(verdict) || step.purpose !== null || 'fixture' in step.placement) return null
  const readings = placementsOf(bench)
  if (readings === null) return null
  const { questioned, decided } = stepState(run, step.id)
  if (questioned !== null && decided === null && isSame(value, questioned)) return null
  const functionOf = (id: string): typeof what => { const one = planStep(plan, id); return one?.kind === 'measure' ? one.function : what }
  const found = looksLike(readings, step.id, value, step.beside?.board === 'good' ? [] : earlierOf(plan, run, step.id), functionOf)
  if (found === null) return null
  const { red, black, step: other, exchanged } = found
  if (questioned !== null && decided === null && questioned.looksLike.red === red && questioned.looksLike.black === black) return null
  return { kind: 'questioned', step: step.id, function: what, value, resolution, unit, looksLike: { red, black, step: other, exchanged } }
}

/** Its only part, else its title. */
const shortName = (step: PlanStep): string => (step.parts.length === 1 ? step.parts[0] ?? step.title : step.title)

/** "looks like R4: are you on R3?"; as much of it as can be heard between touches. */
export const questionInWords = (plan: Plan, step: PlanStep, { looksLike: { red, black, step: other, exchanged } }: Pick<Questioned, 'looksLike'>): string => {
  const twin = other === null ? null : planStep(plan, other)
  const like = exchanged ? 'leads exchanged' : twin !== null && shortName(twin) !== shortName(step) ? shortName(twin) : twin?.title ?? `${red} and ${black}`
  const own = exchanged && step.kind === 'measure' && 'red' in step.placement ? `red on ${step.placement.red}?` : `are you on ${shortName(step)}?`
  return [`looks like ${like}: ${own}`, `looks like ${like}: right place?`].find((words) => fitsBetweenTouches(words.replaceAll(':', ','))) ?? 'looks like another place'
}

/** The question that stands open at this step; null: none. */
export const openQuestion = (run: RunState, step: string): Questioned | null => {
  const { questioned, captured, compared, decided } = stepState(run, step)
  return questioned !== null && decided === null && [...captured, ...compared].every(({ seq }) => seq < questioned.seq) ? questioned : null
}

/** For the list of events and the record. @param title the title of a step by its id. */
export const questionedInWords = (event: Extract<RunEvent, { kind: 'questioned' }> | Questioned, title: (step: string) => string): string => {
  const { red, black, step, exchanged } = event.looksLike
  const like = exchanged ? 'what the leads read the other way round' : step === null ? `what a good board reads with red on ${red}, black on ${black}` : `what a good board reads at ${title(step)}`
  return `${title(event.step)}: ${valueInWords(event.value, event.function, event.unit, event.resolution)} was not recorded. It fits ${like} better than a fault here, and it was asked where the leads are.`
}
