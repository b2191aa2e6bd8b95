/** What the touches of a run tell of the meter's scatter: learned from those that a step was decided on, never from a doubtful contact. */
import { groupOf } from '../metrology/pooled'
import { withGroup, type Scatter } from '../metrology/scatter'
import type { RunEvent } from './event'
import type { Captured, RunState } from './state'

const touchesOf = (state: RunState, numbers: readonly number[]): Captured[] =>
  state.events.filter((event): event is Captured => event.kind === 'captured' && numbers.includes(event.seq))

const withTouches = (before: Scatter, touches: readonly Captured[]): Scatter => {
  const still = touches.filter((touch) => touch.evidence === 'steady' && typeof touch.value === 'number' && touch.sd !== null)
  const within = still.reduce((sum, touch) => withGroup(sum, touch, 'repeatability', { sd: touch.sd ?? 0, count: touch.conversions }), before)
  const [first] = touches
  const figures = touches.flatMap(({ value, evidence }) => (typeof value === 'number' && (evidence === 'steady' || evidence === 'typed') ? [value] : []))
  const alike = first !== undefined && figures.length === touches.length && touches.every(({ range, function: fn }) => range === first.range && fn === first.function)
  return alike ? withGroup(within, first, 'contact', groupOf(figures)) : within
}

/**
 * Every touch counts in its own scatter. Between touches those count that agreed with each other by rule 9, so what is pooled is the
 * scatter of good contacts; a bad one is told by its own touches and never averaged in.
 * @param state with these events in it.
 */
export const scatterAfter = (before: Scatter, state: RunState, events: readonly RunEvent[]): Scatter => events.reduce((sum, event) => (
  event.kind !== 'decided' || event.verdict === 'doubtful' || event.verdict === 'not-judged' ? sum : withTouches(sum, touchesOf(state, event.from))
), before)
