/** Which meter a value came from: a run may go on with another one, or with none that a cable joins to the app. */
import type { RunEvent } from './event'
import type { Captured, Compared, Learned, RunState, Watched } from './state'

export const readByEyeWords = 'read by eye'
/** Of runs made before its name was kept with the event. */
const anotherWords = 'another meter'

type MeterBack = Extract<RunEvent, { kind: 'meter-back' }>

/** `id`: of the shop's register; two meters may bear one name. Of what was read by eye, and of a meter that no event names, an id of its own. */
export type MeterUsed = { id: string; name: string }

export const readByEye: MeterUsed = { id: 'read-by-eye', name: readByEyeWords }
const another: MeterUsed = { id: 'not-known', name: anotherWords }

const begunWith = ({ started: { meter } }: RunState): MeterUsed => (meter === null ? readByEye : { id: meter.id, name: meter.name })

const after = (event: MeterBack, before: MeterUsed): MeterUsed =>
  event.meter === undefined ? (event.same ? before : another) : event.meter ?? readByEye

/** The meter a run was last measured with, or began with. */
export const meterLast = (state: RunState): MeterUsed =>
  state.events.reduce((used, event) => (event.kind === 'meter-back' ? after(event, used) : used), begunWith(state))

/** Everything that a meter showed and that is kept. */
export type Touched = Captured | Learned | Compared | Watched
export const isTouched = (event: RunEvent): event is Touched => event.kind === 'captured' || event.kind === 'learned' || event.kind === 'compared' || event.kind === 'watched'

/** What was typed was read by eye, whatever the events before it say. */
export const meterUsed = (state: RunState, touch: Touched): MeterUsed =>
  'evidence' in touch && touch.evidence === 'typed' ? readByEye
    : state.events.reduce((used, event) => (event.kind === 'meter-back' && event.seq < touch.seq ? after(event, used) : used), begunWith(state))

export const meterOf = (state: RunState, touch: Touched): string => meterUsed(state, touch).name

/** Every meter that values of the run came from, in the order of their first value; the one it began with where there is no value. */
export const metersOf = (state: RunState): string => {
  const names = new Map(state.events.filter(isTouched).map((touch) => meterUsed(state, touch)).map(({ id, name }) => [id, name]))
  return [...names.values()].join(', then ') || begunWith(state).name
}
