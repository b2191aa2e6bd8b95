/** What the good board beside the item read, as a record writes it: beside the values of the item, never among them. */
import { toMilliseconds, withoutDust } from '../quantity/plain-figures'
import { differenceInWords, goodInWords, settledGood } from '../run/beside'
import { standingTouch } from '../run/standing'
import type { Compared, RunState, StepState } from '../run/state'
import type { RecordStep } from './step-schema'
import type { RecordEarlierGoodBoard, RecordGoodBoard } from './walk-schema'
import { ofEvent, uncertaintyOf } from './walks-of-run'
import type { Telling } from './values-of-run'

const figure = (value: number | null): number | null => (value === null ? null : withoutDust(value))

const goodOfRun = (state: RunState, good: Compared, telling: Telling): Omit<RecordGoodBoard, 'held' | 'difference'> => ({
  ...ofEvent(state, good, telling), value: typeof good.value === 'number' ? withoutDust(good.value) : good.value, words: goodInWords(good), leadTakenOff: figure(good.leadTakenOff ?? null),
  readings: { conversions: good.conversions, seconds: toMilliseconds(good.seconds), median: figure(good.median), standardDeviation: figure(good.sd), raw: good.raw },
  uncertainty: uncertaintyOf(good), evidence: good.evidence, fits: good.fits,
})

/** Those that do not stand, in their order, each with the reason. */
const earlierOf = (state: RunState, { earlierCompared, compared }: StepState, standing: Compared | null, telling: Telling): RecordEarlierGoodBoard[] => {
  const told = (good: Compared, replacedBecause: string): RecordEarlierGoodBoard => ({ ...goodOfRun(state, good, telling), held: good.outcome === 'stands' ? good.says : '', difference: '', replacedBecause })
  return [
    ...earlierCompared.map((good) => told(good, 'It was taken back, or the step was measured again.')),
    ...compared.filter((good) => good !== standing).map((good, at, all) => told(good, standing === null && at === all.length - 1 ? 'It asked for another touch, and none followed.' : 'It was touched again.')),
  ]
}

/** Nothing where no good board was measured in this step. */
export const recordGoodBoardOf = (state: RunState, own: StepState, telling: Telling): Pick<RecordStep, 'goodBoard' | 'earlierGoodBoards'> => {
  const good = settledGood(own)
  const earlier = earlierOf(state, own, good, telling)
  const touch = standingTouch(own)
  const doubtful = good?.outcome === 'doubtful'
  return {
    ...(good === null ? {} : {
      goodBoard: {
        ...goodOfRun(state, good, telling), held: doubtful ? 'The limits of the step: the touches on the good board did not agree.' : good.says,
        difference: touch === null || doubtful ? '' : differenceInWords(good, touch, good.unit),
      },
    }),
    ...(earlier.length === 0 ? {} : { earlierGoodBoards: earlier }),
  }
}
