/** The figures of the item that a record states: those its verdicts stand on, of a watch its smallest and largest value, and the points of a walk learned on it. */
import type { RecordStep, RecordValue } from './step-schema'

export type StandingFigure = Pick<RecordValue, 'function' | 'meterId'> & { traceable: NonNullable<RecordValue['traceable']> }

const isFigure = (value: RecordValue): value is RecordValue & { value: number; traceable: NonNullable<RecordValue['traceable']> } => value.stands && typeof value.value === 'number' && value.traceable !== null

/** Functions in which every one of these figures is traceable. */
export const functionsClaimed = (figures: readonly StandingFigure[]): string[] =>
  [...new Set(figures.map((each) => each.function))].filter((fn) => figures.every((each) => each.function !== fn || each.traceable.claimed))

const ofWatch = ({ watch }: RecordStep): StandingFigure[] => (watch === undefined || !watch.stands ? []
  : [watch.minimum, watch.maximum].flatMap((one) => (one === null || one.traceable === null ? [] : [{ function: watch.function, meterId: watch.meterId, traceable: one.traceable }])))

const ofPoints = ({ points = [] }: RecordStep): StandingFigure[] =>
  points.flatMap(({ function: fn, meterId, traceable }) => (traceable === null ? [] : [{ function: fn, meterId, traceable }]))

/** Of the sequence: the preparation measures the bench and what the board stores, not the item's parts. */
export const standingFigures = (steps: readonly RecordStep[]): StandingFigure[] =>
  steps.filter(({ part }) => part === 'sequence').flatMap((step) => [...step.values.filter(isFigure), ...ofWatch(step), ...ofPoints(step)])
