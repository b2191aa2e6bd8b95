/** The pitch that follows a value: an ear on it leaves both eyes on the board. */
import type { WatchState } from '../capture/watch'
import { boundsOf } from '../metrology/interval'
import type { JudgedStep } from './plan'

/** Hz. The window of the limits is one octave from `low` up; without two limits the first value is in its middle. Our choice: where a small speaker is loud and an ear is fine. */
const low = 330
const middle = 440
export const lowest = 110
export const highest = 1760

const within = (hertz: number): number => Math.min(highest, Math.max(lowest, hertz))

/** Hz, rounded; null: silence, for there is no contact. */
export const pitchOf = (step: JudgedStep, { since, apartSince, pending, first: usual }: WatchState): number | null => {
  if (since === null || apartSince !== null || pending === null) return null
  const { value } = pending
  const { low: from, high: to } = boundsOf(step.limits, step.function)
  if (from !== null && to !== null) return Math.round(within(low * 2 ** ((value - from) / (to - from))))
  // A tenth up is a little over three semitones.
  return usual === null || usual <= 0 || value <= 0 ? middle : Math.round(within(middle * (value / usual) ** 2))
}
