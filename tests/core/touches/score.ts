/** Plays touches of the model into capture as the service would, and counts what capture took, took falsely, and missed. */
import { makeTouch } from '../../../fixtures/touches/touches'
import { carefulClasses, carelessClasses, type Touch, type TouchClass, type TouchStep } from '../../../fixtures/touches/touch'
import { capture, carryOver, startCapture, type CaptureState } from '../../../src-core/capture/capture'
import type { CapturedValue, CaptureInput, CaptureTask } from '../../../src-core/capture/task'
import { ohms, seconds } from '../../../src-core/quantity/units'

export type Score = { touches: number; captured: number; false: number; missed: number; missedPct: number }

/** `values`: what was captured, with the step it was captured for. */
export type Played = { values: { step: number; value: CapturedValue; isFalse: boolean }[]; captured: boolean; missed: boolean }

const TICK = 0.1

const taskOf = (step: TouchStep, number: number): CaptureTask => ({
  step: `S${number}`, function: step.task.function, limits: step.task.limits, expectsAir: step.task.expectsAir, air: step.task.air,
  conversionSeconds: step.task.conversionSeconds === null ? null : seconds(step.task.conversionSeconds),
  lowestRange: step.task.lowestRange, counts: step.task.counts,
  rcSeconds: step.task.rcSeconds === null ? null : seconds(step.task.rcSeconds),
  lead: step.task.lead === null ? null : { ohms: ohms(step.task.lead.ohms), resolution: step.task.lead.resolution },
  anyResolution: false, keepsContact: false, notBefore: null,
})

/** Readings, presses and a tick every 0.1 s, in order of time. At the same time the reading comes first, a tick last. */
export const inputsOf = (touch: Touch): { at: number; input: CaptureInput }[] => {
  const first = touch.readings[0]?.at ?? 0
  const last = touch.readings.at(-1)?.at ?? first
  const ticks = Array.from({ length: Math.max(0, Math.floor((last - first) / TICK)) }, (_, n) => first + (n + 0.5) * TICK)
  return [
    ...touch.readings.map((reading) => ({ at: Number(reading.at), input: { reading } })),
    ...touch.presses.map(({ press, at }) => ({ at, input: { press, at: seconds(at) } })),
    ...ticks.map((at) => ({ at, input: { tick: seconds(at) } })),
  ].sort((a, b) => a.at - b.at)
}

/** Captured and further than max(U, B) from the true value; an overload never is a finite true value. */
export const isFalse = (step: TouchStep, value: CapturedValue): boolean =>
  typeof value.value !== 'number' || step.trueValue === null || !(Math.abs(value.value - step.trueValue) <= step.within)

/** A step ends when its value is captured, or when the model's technician goes on; the last one ends the touch. */
export const playIntoCapture = (touch: Touch): Played => {
  const values: Played['values'] = []
  const steps = [...touch.before, touch.step]
  let step = 0
  let state: CaptureState = startCapture(taskOf(steps[0] ?? touch.step, 0), seconds(0), null)
  const goOn = (at: number): boolean => {
    const next = steps[step + 1]
    if (next === undefined) return false
    step += 1
    state = startCapture(taskOf(next, step), seconds(at), carryOver(state))
    return true
  }
  for (const { at, input } of inputsOf(touch)) {
    const next = steps[step + 1]
    if (next !== undefined && at >= next.from) goOn(at)
    const now = steps[step] ?? touch.step
    const taken = capture(state, input)
    state = taken.state
    const found = taken.outputs.flatMap((output) => output.kind === 'captured' ? [output.value] : [])
    values.push(...found.map((value) => ({ step, value, isFalse: isFalse(now, value) })))
    if (found.length > 0 && !goOn(at)) break
  }
  const captured = values.some((value) => value.step === steps.length - 1)
  return { values, captured, missed: touch.heldLongEnough && !captured }
}

/** `count` touches of one class from one seed. A touch with any false value, in whichever of its steps, counts once as false. */
export const scoreClass = (cls: TouchClass, count: number, seed: number): Score => {
  let captured = 0
  let falsely = 0
  let missed = 0
  for (let index = 0; index < count; index++) {
    const played = playIntoCapture(makeTouch(cls, index, seed))
    if (played.captured) captured += 1
    if (played.values.some((value) => value.isFalse)) falsely += 1
    if (played.missed) missed += 1
  }
  return { touches: count, captured, false: falsely, missed, missedPct: (100 * missed) / count }
}

/** False in the careful and careless classes, and the share missed of all careful touches: the two figures that have a target. */
export const totals = (scores: ReadonlyMap<TouchClass, Score>): { false: number; missedPct: number } => {
  const of = (classes: readonly TouchClass[]) => classes.flatMap((cls) => scores.get(cls) ?? [])
  const sum = (list: Score[], what: (score: Score) => number) => list.reduce((all, score) => all + what(score), 0)
  const careful = of(carefulClasses)
  return {
    false: sum([...careful, ...of(carelessClasses)], (score) => score.false),
    missedPct: (100 * sum(careful, (score) => score.missed)) / sum(careful, (score) => score.touches),
  }
}
