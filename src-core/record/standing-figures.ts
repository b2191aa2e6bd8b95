/** The figures that a record's verdicts on the item stand on. */
import type { RecordStep, RecordValue } from './step-schema'

export type StandingFigure = RecordValue & { value: number; traceable: NonNullable<RecordValue['traceable']> }

const isFigure = (value: RecordValue): value is StandingFigure => value.stands && typeof value.value === 'number' && value.traceable !== null

/** Functions in which every one of these figures is traceable. */
export const functionsClaimed = (figures: readonly StandingFigure[]): string[] =>
  [...new Set(figures.map((each) => each.function))].filter((fn) => figures.every((each) => each.function !== fn || each.traceable.claimed))

/** Of the sequence: the preparation measures the bench and what the board stores, not the item's parts. */
export const standingFigures = (steps: readonly RecordStep[]): StandingFigure[] =>
  steps.filter(({ part }) => part === 'sequence').flatMap(({ values }) => values.filter(isFigure))
