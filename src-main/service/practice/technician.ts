/** The hand that plays the technician: it sees what the bench shows, and says where leads, dial and keys go. Pure. */
import type { CommandInput } from '../../../src-core/contract'
import type { BenchView, LiveView } from '../../../src-core/run/view'
import { type Hand, inTheAir, practiceFixture, sameTips, type Tips } from '../../../src-core/practice/hand'

export type Key = CommandInput<'press'>['key']
export type TechnicianAction = { kind: 'hand'; hand: Hand } | { kind: 'press'; key: Key } | { kind: 'skip'; step: string; reason: string }

export type Technician = {
  hand: Hand
  /** Since when the leads and the dial have been so. */
  since: number
  /** What it has been about to do, and since when: a person needs a moment for each. */
  intent: string
  intentSince: number
  /** The last key pressed, for which step, and when. */
  pressed: { name: string; at: number }
  /** The leads are, or were last, on the good board beside the one under test. */
  onGood: boolean
}

/** Seconds a person at work needs; quick, not hurried. */
const pace = { place: 0.25, lift: 0.25, dial: 0.2, press: 0.55, look: 0.6, skip: 2 }
/** Seconds with the leads on open points before they are taken for open: rule 7 wants 1 s, and a late contact shows by then. */
const openAfter = 1.3
/** Seconds between two presses of the same key, should the first have gone unheard. */
const pressAgainAfter = 1.5
/** Seconds on the points with nothing recorded before the leads are lifted and set down anew. */
const patience = 12

export const technicianAtRest = (at: number): Technician =>
  ({ hand: { tips: 'lifted', function: 'dc-voltage' }, since: at, intent: '', intentSince: at, pressed: { name: '', at: -Infinity }, onGood: false })

type BenchStep = NonNullable<BenchView['step']>

export const wantedTips = (step: BenchStep): Tips => {
  const fixture = step.fixture === null ? null : practiceFixture(step.fixture)
  if (fixture !== null) return { fixture, reversed: step.reversed }
  if (step.red !== null && step.black !== null) return { leads: { red: step.red.testPoint, black: step.black.testPoint } }
  return 'lifted'
}

const wantsGood = (step: BenchStep): boolean => step.onBoard?.which === 'good'

type Intent = { name: string; takes: number; action: TechnicianAction } | null

const press = (technician: Technician, key: Key, step: string, takes: number, at: number): Intent => {
  const name = `press ${key} ${step}`
  return technician.pressed.name === name && at - technician.pressed.at < pressAgainAfter ? null
    : { name, takes, action: { kind: 'press', key } }
}

const move = (name: string, takes: number, hand: Hand): Intent => ({ name, takes, action: { kind: 'hand', hand } })

const keyFor = (bench: BenchView): Key | null => {
  const offered = bench.keys.map(({ action }) => action)
  if (offered.includes('same-meter')) return 'same-meter'
  return offered.includes('confirm') ? 'confirm' : null
}

/** What to do next with the bench like this; null: hold still and wait. */
const intentNow = (technician: Technician, bench: BenchView, live: LiveView, at: number): Intent => {
  const { hand } = technician
  const { step } = bench
  if (bench.status !== 'running') return null
  if (live.wants === 'skip' && live.skipBecause !== undefined && step !== null && bench.keys.some(({ action }) => action === 'skip')) {
    return { name: `skip ${step.id}`, takes: pace.skip, action: { kind: 'skip', step: step.id, reason: live.skipBecause } }
  }
  const key = keyFor(bench)
  if (step === null || key === 'same-meter') return key === null ? null : press(technician, key, step?.id ?? '', pace.press, at)
  if (step.kind !== 'measure' || step.function === null) {
    if (!inTheAir(hand.tips)) return move('lift', pace.lift, { ...hand, tips: 'lifted' })
    return key === null ? null : press(technician, key, step.id, step.kind === 'look' ? pace.look : pace.press, at)
  }
  const tips = wantedTips(step)
  const there = (sameTips(hand.tips, tips) && technician.onGood === wantsGood(step)) || (inTheAir(hand.tips) && inTheAir(tips))
  const stood = at - technician.since
  if (live.wants === 'lift' && !inTheAir(hand.tips)) return move('lift', pace.lift, { ...hand, tips: 'lifted' })
  if (hand.function !== step.function) {
    return there || inTheAir(hand.tips) ? move('dial', pace.dial, { ...hand, function: step.function })
      : move('lift', pace.lift, { ...hand, tips: 'lifted' })
  }
  if (live.wants === 'lift' && !there) return null
  if (!there) return inTheAir(hand.tips) ? move('place', pace.place, { ...hand, tips })
    : move('lift', pace.lift, { ...hand, tips: 'lifted' })
  switch (live.wants) {
    case 'confirm':
    case 'press':
      return key !== null && (inTheAir(tips) || stood >= openAfter - pace.press) ? press(technician, key, step.id, pace.press, at) : null
    case 'touch':
      if (inTheAir(tips)) return null
      if (stood >= patience) return move('lift', pace.lift, { ...hand, tips: 'lifted' })
      return key !== null && stood >= openAfter && looksLikeAir(live) ? press(technician, key, step.id, pace.press, at) : null
    case 'hold':
    case 'wait':
    case 'lift':
    case 'nothing':
    case 'dial':
    case 'type':
    case 'skip':
      return stood >= 3 * patience && !inTheAir(tips) && live.wants !== 'nothing' ? move('lift', pace.lift, { ...hand, tips: 'lifted' })
        : null
  }
}

/** A person presses for open only on what shows as open: an overload, or nothing of a volt. */
const looksLikeAir = (live: LiveView): boolean =>
  live.reading !== null && (/OL/.test(live.reading.figure) || (live.reading.function === 'dc-voltage'
    && Math.abs(Number.parseFloat(live.reading.figure.replace('−', '-'))) < 10))

/**
 * One look at the bench at time `at`, s; call it many times a second. With the run over (`bench.result`), or no bench, the leads are
 * lifted and nothing more happens; a paused run is left to whoever paused it.
 */
export const technician = (
  before: Technician, bench: BenchView | null, live: LiveView, at: number,
): { technician: Technician; actions: TechnicianAction[] } => {
  if (bench === null || bench.result !== null) {
    if (before.hand.tips === 'lifted') return { technician: { ...before, intent: '', intentSince: at }, actions: [] }
    const hand: Hand = { ...before.hand, tips: 'lifted' }
    return { technician: { ...before, hand, since: at, intent: '', intentSince: at }, actions: [{ kind: 'hand', hand }] }
  }
  const intent = intentNow(before, bench, live, at)
  if (intent === null) return { technician: before, actions: [] }
  if (intent.name !== before.intent) return { technician: { ...before, intent: intent.name, intentSince: at }, actions: [] }
  if (at - before.intentSince < intent.takes - 1e-9) return { technician: before, actions: [] }
  const { action } = intent
  switch (action.kind) {
    case 'hand': return { technician: { ...before, hand: action.hand, onGood: inTheAir(action.hand.tips) || bench.step === null ? before.onGood : wantsGood(bench.step), since: at, intent: '', intentSince: at }, actions: [action] }
    case 'press':
    case 'skip': return { technician: { ...before, pressed: { name: intent.name, at }, intent: '', intentSince: at }, actions: [action] }
  }
}
