/** What the good board beside the item read, as a record writes it: beside the values of the item, never among them. */
import { toMilliseconds, withoutDust } from '../quantity/plain-figures'
import { differenceInWords, goodInWords, settledGood } from '../run/beside'
import { standingTouch } from '../run/standing'
import type { RunState, StepState } from '../run/state'
import type { RecordGoodBoard } from './walk-schema'
import { ofEvent, uncertaintyOf } from './walks-of-run'
import type { Telling } from './values-of-run'

const figure = (value: number | null): number | null => (value === null ? null : withoutDust(value))

/** Nothing where no good board was measured in this step. */
export const recordGoodBoardOf = (state: RunState, own: StepState, telling: Telling): { goodBoard?: RecordGoodBoard } => {
  const good = settledGood(own)
  if (good === null) return {}
  const touch = standingTouch(own)
  return {
    goodBoard: {
      ...ofEvent(state, good, telling), value: typeof good.value === 'number' ? withoutDust(good.value) : good.value, words: goodInWords(good), leadTakenOff: figure(good.leadTakenOff ?? null),
      readings: { conversions: good.conversions, seconds: toMilliseconds(good.seconds), median: figure(good.median), standardDeviation: figure(good.sd), raw: good.raw },
      uncertainty: uncertaintyOf(good), evidence: good.evidence, held: good.outcome === 'doubtful' ? 'The limits of the step: the touches on the good board did not agree.' : good.says, difference: touch === null || good.outcome === 'doubtful' ? '' : differenceInWords(good.value, touch.value, good.unit), fits: good.fits,
    },
  }
}
