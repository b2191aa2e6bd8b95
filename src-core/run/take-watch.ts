/** A watch at the bench: readings go into it, a press or its time ends it, and what it followed is judged. */
import { leadToTakeOff } from '../capture/captured-value'
import { broken, isOpenSoFar, isOver, isUnseen, watchedFor, watchedUntil, watchReading, type Extreme, type WatchState } from '../capture/watch'
import { decide } from '../metrology/decide'
import type { Limits, Verdict } from '../metrology/limits'
import { unitOf, type Reading } from '../meter/reading'
import { withoutDust } from '../quantity/plain-figures'
import type { Seconds } from '../quantity/units'
import { isSetByApp } from './asked-of-meter'
import { currentStep, type Bench } from './bench'
import { isPass } from './branch'
import { boardIsCharged, quiet, refuse, type Conducted } from './conducted'
import { decideStep, lastSeq } from './decide-step'
import type { WatchedBody } from './event'
import { hasLimits, type JudgedStep, type Purpose } from './plan'
import { budgetOfValue } from './value-facts'

type Watch = Extract<Purpose, { kind: 'watch' }>
type Told = NonNullable<WatchedBody['minimum']>

/** One conversion is a value of its own: its uncertainty is that of a touch of one conversion. */
const extremeOf = (bench: Bench, step: JudgedStep, { task }: WatchState, { value: shown, at, count, range }: Extreme): Told => {
  const lead = leadToTakeOff(task, shown, count)
  const found = budgetOfValue(bench.context, step, {
    function: step.function, unit: unitOf[step.function], range, resolution: count, value: shown - lead, shown, median: shown - lead, sd: null, conversions: 1, seconds: 0 as Seconds, band: null, raw: [], evidence: 'steady', at: 0 as Seconds,
  }, bench.utcMs)
  return {
    value: withoutDust(shown - lead), at, ...(lead === 0 ? {} : { leadTakenOff: withoutDust(lead) }),
    uncertainty: found === null || 'refused' in found ? null : { U: found.U, k: found.coverage.k, basis: found.basis },
  }
}

const worst: readonly Verdict[] = ['fail', 'conditional-fail', 'conditional-pass', 'pass']

/** Both within their limits, and the contact held. */
const verdictOf = ({ context: { rule } }: Bench, step: JudgedStep, limits: Limits | null, { minimum, maximum, dropouts }: Pick<WatchedBody, 'minimum' | 'maximum' | 'dropouts'>): Verdict => {
  if (dropouts.length > 0 || minimum === null || maximum === null) return 'fail'
  if (limits === null) return 'pass'
  const verdicts = [minimum, maximum].map(({ value, uncertainty }) => decide(value, limits, uncertainty?.U ?? null, rule, { function: step.function, inAir: false }))
  return worst.find((verdict) => verdicts.includes(verdict)) ?? 'fail'
}

/** The event of what was followed up to then. */
const followed = (bench: Bench, step: JudgedStep, { limited }: Watch, watch: WatchState, ended: WatchedBody['ended'], at: Seconds): WatchedBody => {
  const over = watchedUntil(watch, at)
  const found = {
    minimum: over.minimum === null ? null : extremeOf(bench, step, watch, over.minimum), maximum: over.maximum === null ? null : extremeOf(bench, step, watch, over.maximum), dropouts: over.dropouts,
  }
  const limits = limited ? step.limits : null
  const verdict = verdictOf(bench, step, limits, found)
  return {
    kind: 'watched', step: step.id, function: step.function, unit: unitOf[step.function], range: watch.last?.range ?? null, resolution: watch.last?.count ?? null,
    seconds: watchedFor(watch, at), conversions: over.conversions, ...found, raw: watch.raw, ended, limits, rule: bench.context.rule,
    // What was cut off passes nothing.
    verdict: ended === 'interrupted' && isPass(verdict) ? 'not-judged' : verdict,
  }
}

const endWatch = (bench: Bench, step: JudgedStep, watched: WatchedBody): Conducted =>
  ({ ...quiet(bench), events: [watched, ...decideStep(bench, [watched], step, watched.verdict, [lastSeq(bench.run) + 1], null)], tones: [isPass(watched.verdict) ? 'pass' : 'fail'] })

/** What was cut off decides nothing, and is kept. */
const keptOf = (bench: Bench, step: JudgedStep, purpose: Watch, left: WatchState | null): WatchedBody[] =>
  (left === null || (left.minimum === null && left.dropouts.length === 0) ? [] : [followed(bench, step, purpose, left, 'interrupted', left.clock.at)])

/** What the watch that runs has seen, where it is left now: begun again, paused, skipped, or the meter lost. */
export const leftWatch = (bench: Bench): WatchedBody[] => {
  const step = currentStep(bench)
  if (bench.watch === null || step?.kind !== 'measure' || step.purpose?.kind !== 'watch' || !hasLimits(step)) return []
  return keptOf(bench, step, step.purpose, broken(bench.watch))
}

const ifOver = (bench: Bench, step: JudgedStep, purpose: Watch, watch: WatchState, at: Seconds): Conducted | null =>
  (isOver(watch, purpose.seconds, at) ? endWatch(bench, step, followed(bench, step, purpose, watch, 'time', at)) : null)

export const readWatch = (bench: Bench, step: JudgedStep, purpose: Watch, before: WatchState, reading: Reading): Conducted => {
  const { state, outputs, left } = watchReading(before, reading)
  const touching = state.since !== null && state.apartSince === null ? { lastContact: reading.at } : {}
  const next = quiet({ ...bench, ...touching, watch: state })
  const tones = outputs.flatMap(({ kind }): Conducted['tones'] => {
    switch (kind) {
      case 'contact': return ['contact']
      case 'lost': return ['lift']
      case 'charged': return ['wrong-function']
      // A meter that the app sets needs no hand: it is being set.
      case 'wrong-function': return isSetByApp(bench, step) ? [] : ['wrong-function']
    }
  })
  if (outputs.some(({ kind }) => kind === 'charged')) return { ...next, events: [boardIsCharged], tones }
  const over = ifOver(next.bench, step, purpose, state, reading.at)
  return over === null ? { ...next, events: keptOf(bench, step, purpose, left).filter(({ verdict }) => verdict !== 'not-judged'), tones } : { ...over, tones: [...tones, ...over.tones] }
}

/** The press that ends it; without any contact so far it says that the leads are on, and that it is open. A pass takes the whole of its time. */
export const pressWatch = (bench: Bench, step: JudgedStep, purpose: Watch, watch: WatchState, at: Seconds): Conducted => {
  if (isUnseen(watch, at)) return refuse(bench, 'The meter has gone quiet: nobody saw what the value did meanwhile. Wait for its next reading; the watch begins again with it.')
  if (watch.minimum === null && watch.pending === null && !isOpenSoFar(watch)) return refuse(bench, 'Nothing has been followed yet: touch both points first. If they are open, hold the tips on them for a second, then press.')
  const watched = followed(bench, step, purpose, watch, 'press', at)
  const left = (purpose.seconds ?? 0) - watched.seconds
  if (isPass(watched.verdict) && left > 0) return refuse(bench, `It has followed ${watched.seconds.toFixed(1)} s of ${purpose.seconds} s: keep the tips on until it ends by itself, or press R to begin again.`)
  return endWatch(bench, step, watched)
}
