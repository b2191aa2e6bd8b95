/** A watch at the bench: readings go into it, a press or its time ends it, and what it followed is judged. */
import { leadToTakeOff } from '../capture/captured-value'
import { isOpenSoFar, isOver, watchedFor, watchedUntil, watchReading, type Extreme, type WatchState } from '../capture/watch'
import { decide } from '../metrology/decide'
import type { Limits, Verdict } from '../metrology/limits'
import { unitOf, type Reading } from '../meter/reading'
import { withoutDust } from '../quantity/plain-figures'
import type { Seconds } from '../quantity/units'
import { isSetByApp } from './asked-of-meter'
import type { Bench } from './bench'
import { isPass } from './branch'
import { boardIsCharged, quiet, refuse, type Conducted } from './conducted'
import { decideStep, lastSeq } from './decide-step'
import type { WatchedBody } from './event'
import type { JudgedStep, Purpose } from './plan'
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

const endWatch = (bench: Bench, step: JudgedStep, { limited }: Watch, watch: WatchState, ended: WatchedBody['ended'], at: Seconds): Conducted => {
  const over = watchedUntil(watch, at)
  const found = {
    minimum: over.minimum === null ? null : extremeOf(bench, step, watch, over.minimum), maximum: over.maximum === null ? null : extremeOf(bench, step, watch, over.maximum), dropouts: over.dropouts,
  }
  const limits = limited ? step.limits : null
  const verdict = verdictOf(bench, step, limits, found)
  const watched: WatchedBody = {
    kind: 'watched', step: step.id, function: step.function, unit: unitOf[step.function], range: watch.last?.range ?? null, resolution: watch.last?.count ?? null,
    seconds: watchedFor(watch, at), conversions: over.conversions, ...found, raw: watch.raw, ended, limits, rule: bench.context.rule, verdict,
  }
  return { ...quiet(bench), events: [watched, ...decideStep(bench, [watched], step, verdict, [lastSeq(bench.run) + 1], null)], tones: [isPass(verdict) ? 'pass' : 'fail'] }
}

const ifOver = (bench: Bench, step: JudgedStep, purpose: Watch, watch: WatchState, at: Seconds): Conducted | null =>
  (isOver(watch, purpose.seconds, at) ? endWatch(bench, step, purpose, watch, 'time', at) : null)

export const readWatch = (bench: Bench, step: JudgedStep, purpose: Watch, before: WatchState, reading: Reading): Conducted => {
  const { state, outputs } = watchReading(before, reading)
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
  return over === null ? { ...next, tones } : { ...over, tones: [...tones, ...over.tones] }
}

export const tickWatch = (bench: Bench, step: JudgedStep, purpose: Watch, watch: WatchState, at: Seconds): Conducted => ifOver(bench, step, purpose, watch, at) ?? quiet(bench)

/** The press that ends it; without any contact so far it says that the leads are on, and that it is open. */
export const pressWatch = (bench: Bench, step: JudgedStep, purpose: Watch, watch: WatchState, at: Seconds): Conducted => {
  if (watch.minimum !== null || watch.pending !== null || isOpenSoFar(watch)) return endWatch(bench, step, purpose, watch, 'press', at)
  return refuse(bench, 'Nothing has been followed yet: touch both points first. If they are open, hold the tips on them for a second, then press.')
}
