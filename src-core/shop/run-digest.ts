/** What the shop learns from one run that has ended: its values, and what is counted of it. */
import { boundsOf } from '../metrology/interval'
import type { MeterFunction } from '../meter/reading'
import type { Verdict } from '../metrology/limits'
import type { BoardType } from '../board/board-type'
import { isDonorBoard } from '../repair/donor'
import { isBenchRun } from '../run/bench-runs'
import type { RunEvent } from '../run/event'
import { isPass } from '../run/branch'
import { concludedFaulty } from '../run/concluded'
import { meterOf } from '../run/meter-of'
import { standingTouch } from '../run/standing'
import { isPreparation, type RunState } from '../run/state'

/** A value that stands. SI; `value` null: overload. */
export type DigestValue = {
  step: string; utc: string; meter: string; function: MeterFunction; value: number | null; U: number | null
  low: number | null; high: number | null; /** `learned`: of a walk, and not judged. */ verdict: Verdict | 'learned'
}

/** One more of `key` under `what`. `month`: "2026-11 pass" or "2026-11 other". `pair`: two parts, in the order of their names, a blank between. `number`: of parts at fault, where there are any. */
export type CountKind = 'verdict' | 'month' | 'touches' | 'minutes' | 'confirmations' | 'judged' | 'failed' | 'open' | 'part' | 'pair' | 'number'
export type Count = { what: CountKind; key: string }

export type RunDigest = { run: string; board: string; revision: string; sha256: string; serialNumber: string; startedUtc: string; passed: boolean; /** On the bench. */ minutes: number; values: DigestValue[]; counts: Count[] }

/** Parts at fault: those concluded to be; where nothing was concluded, the only part of a step that failed. */
const partsAtFault = (state: RunState, board: BoardType | null): string[] => {
  const named = concludedFaulty(state)
  if (named.length > 0) return named
  const alone = (board?.sequence.steps ?? []).flatMap(({ id, parts }) => (parts.length === 1 && state.steps[id]?.decided?.verdict === 'fail' ? parts : []))
  return [...new Set(alone)]
}

/** Minutes on the bench: pauses and the time between two sessions left out. */
const minutesOf = (events: readonly RunEvent[]): number => {
  let seconds = 0
  let paused = false
  events.forEach((event, at) => {
    const before = events[at - 1]
    if (before !== undefined && before.session === event.session && !paused) seconds += Math.max(0, event.at - before.at)
    if (event.kind === 'paused') paused = true
    if (event.kind === 'resumed') paused = false
  })
  return seconds / 60
}

const valuesOf = (state: RunState): DigestValue[] => Object.entries(state.steps).flatMap(([step, own]): DigestValue[] => {
  const touch = standingTouch(own)
  const { decided } = own
  if (isPreparation(step) || touch === null || decided === null || own.skipped !== null || decided.verdict === 'doubtful' || decided.verdict === 'not-judged') return []
  const { low, high } = boundsOf(touch.limits, touch.function)
  return [{
    step, utc: touch.utc, meter: meterOf(state, touch), function: touch.function, value: typeof touch.value === 'number' ? touch.value : null, U: touch.uncertainty?.U ?? null,
    low, high, verdict: decided.verdict,
  }]
})

/** What the points of walks read on this board while they were learned; nothing was judged by them. */
export const learnedValuesOf = (state: RunState): DigestValue[] => Object.values(state.steps).flatMap(({ learned, decided }): DigestValue[] => (
  decided === null || !isPass(decided.verdict) ? [] : learned.map((point) => ({
    step: point.id, utc: point.utc, meter: meterOf(state, point), function: point.function, value: typeof point.value === 'number' ? point.value : null, U: point.uncertainty?.U ?? null,
    low: null, high: null, verdict: 'learned',
  }))))

const pairsOf = (parts: readonly string[]): string[] => {
  const sorted = [...parts].sort()
  return sorted.flatMap((one, at) => sorted.slice(at + 1).map((other) => `${one} ${other}`))
}

/**
 * Null for a run that teaches nothing of a board type: one that has not ended, practice, one of the meter or of a loose part alone. Of a unit only its first run
 * counts; those behind it keep their minutes, and what they found at fault counts with the first.
 * @param behind the later runs of the same unit.
 */
export const digestOf = (state: RunState, board: BoardType | null, behind: readonly RunState[] = []): RunDigest | null => {
  const { started, ended, events } = state
  if (ended === null || started.practice !== undefined || isBenchRun(started.board.id) || isDonorBoard(started.board.id)) return null
  const passed = ended.verdict === 'pass'
  const minutes = minutesOf(events)
  const of = { run: started.run, board: started.board.id, revision: started.board.revision, sha256: started.board.sha256, serialNumber: started.serialNumber, startedUtc: started.utc, passed, minutes }
  // A board measured again behind a fault teaches no walk: what it reads at a point nobody judged may still be the fault.
  if (started.follows !== undefined) return { ...of, values: [], counts: [] }
  const touches = events.filter((event) => (event.kind === 'captured' && !isPreparation(event.step)) || event.kind === 'learned' || event.kind === 'compared')
  const confirmations = touches.filter((event) => (event.kind === 'captured' || event.kind === 'learned' || event.kind === 'compared') && (event.evidence === 'confirmed' || event.evidence === 'proven'))
  const values = valuesOf(state)
  const parts = [...new Set([state, ...behind].flatMap((one) => (one.ended === null ? [] : partsAtFault(one, board))))]
  const count = (what: CountKind, key: string): Count => ({ what, key })
  return {
    ...of, values: [...values, ...learnedValuesOf(state)],
    counts: [
      count('verdict', ended.verdict), ...(ended.verdict === 'incomplete' ? [] : [count('month', `${started.utc.slice(0, 7)} ${passed ? 'pass' : 'other'}`)]),
      count('touches', `${touches.length}`), count('minutes', `${Math.round(minutes)}`), count('confirmations', `${confirmations.length}`),
      ...values.map(({ step }) => count('judged', step)), ...values.filter(({ verdict }) => verdict === 'fail').map(({ step }) => count('failed', step)),
      ...values.filter(({ value }) => value === null).map(({ step }) => count('open', step)),
      ...parts.map((ref) => count('part', ref)), ...pairsOf(parts).map((pair) => count('pair', pair)), ...(parts.length > 0 ? [count('number', `${parts.length}`)] : []),
    ],
  }
}
