/** Rule 9: good and bad values dwell alike; a failing value asks for a fresh touch, and touches that disagree are doubtful. */
import type { MeasuredValue } from '../meter/reading'
import type { Verdict } from '../metrology/limits'
import { TOUCHES_AGREE_BANDS } from './figures'

export type Touch = {
  value: MeasuredValue
  /** B of rule 8, SI; null with an overload. */
  band: number | null
  verdict: Verdict
  /** Confirmed by a press: an air value. */
  air: boolean
  /** Taken while still moving, past a one-sided limit for good. */
  moving: boolean
}

/** `on`: indexes of the touches the decision stands on; the last of them is the value. */
export type TouchDecision = { kind: 'again' } | { kind: 'accept' | 'doubtful'; on: number[] }

const passes = (touch: Touch): boolean => touch.verdict === 'pass' || touch.verdict === 'conditional-pass'

/** Both touches share the meter's systematic error, so U is the wrong yardstick: 2·B is taken. */
const agree = (a: Touch, b: Touch): boolean => {
  if (typeof a.value !== 'number' || typeof b.value !== 'number') return a.value === b.value
  if (a.moving && b.moving) return a.verdict === b.verdict
  return Math.abs(a.value - b.value) <= TOUCHES_AGREE_BANDS * Math.max(a.band ?? 0, b.band ?? 0)
}

/** After the touches of one attempt, oldest first, 1 to 3 of them. A first air value was confirmed by its press: no other touch. */
export const afterTouch = (touches: readonly Touch[]): TouchDecision => {
  const last = touches.length - 1
  const newest = touches[last]
  if (newest === undefined) return { kind: 'again' }
  if (last === 0 && (newest.air || passes(newest))) return { kind: 'accept', on: [last] }
  if (last === 0) return { kind: 'again' }
  const twin = touches.findIndex((touch, index) => index < last && agree(touch, newest))
  if (twin >= 0) {
    // If the two straddle a limit the failing one stands: a fail is not outvoted by a hair.
    const both = [twin, last]
    const failing = both.filter((index) => { const touch = touches[index]; return touch !== undefined && !passes(touch) })
    return { kind: 'accept', on: [...both.filter((index) => !failing.includes(index)), ...failing] }
  }
  return last < 2 ? { kind: 'again' } : { kind: 'doubtful', on: touches.map((_touch, index) => index) }
}
