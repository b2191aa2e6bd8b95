/** Which meter a value came from: a run may go on with another one, or with none that a cable joins to the app. */
import type { RunEvent } from './event'
import type { Captured, RunState } from './state'

export const readByEyeWords = 'read by eye'
/** Of runs made before its name was kept with the event. */
const anotherWords = 'another meter'

type MeterBack = Extract<RunEvent, { kind: 'meter-back' }>

const begunWith = ({ started: { meter } }: RunState): string => meter?.name ?? readByEyeWords

const nameOf = (event: MeterBack, before: string): string =>
  event.meter === undefined ? (event.same ? before : anotherWords) : event.meter?.name ?? readByEyeWords

/** What was typed was read by eye, whatever the events before it say. */
export const meterOf = (state: RunState, touch: Captured): string =>
  touch.evidence === 'typed' ? readByEyeWords
    : state.events.reduce((name, event) => (event.kind === 'meter-back' && event.seq < touch.seq ? nameOf(event, name) : name), begunWith(state))

/** Every meter that values of the run came from, in the order of their first value; the one it began with where there is no value. */
export const metersOf = (state: RunState): string => {
  const captured = state.events.filter((event): event is Captured => event.kind === 'captured')
  return [...new Set(captured.map((touch) => meterOf(state, touch)))].join(', then ') || begunWith(state)
}
