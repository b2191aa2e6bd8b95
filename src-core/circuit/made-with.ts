/** Whether typed limits that name the source they were made with hold for another meter's. */
import type { BoardType, MeasureStep } from '../board/board-type'
import type { Limits } from '../metrology/limits'
import { type LimitsSource, sourceFigures } from '../metrology/limits-source'
import { reads } from './expected-reading'
import { type DrivenFunction, drivesOfReadings, type MeterDrive, type MeterDrives } from './meter-drive'
import type { BoardState } from './network'

/** A measure step whose limits say what drove the tips when they were made. */
export type SourcedStep = MeasureStep & { limits: Limits; source: LimitsSource; function: DrivenFunction }
export const isSourced = (step: MeasureStep): step is SourcedStep =>
  step.limits !== undefined && step.source !== undefined && (step.function === 'resistance' || step.function === 'continuity' || step.function === 'diode')

/** Sources whose figures lie this near to each other are one: a junction then moves by some millivolts, less than its limits allow. Our choice. */
export const sourceShare = 0.1
/** Where a good board reads this nearly the same with both, no junction is in the way, and typed limits stand. Our choice: what a usual meter resolves. */
const readingShare = 0.01

const near = (one: number, other: number, share: number): boolean => Math.abs(one - other) <= share * Math.max(Math.abs(one), Math.abs(other))

/** Volts, ohms and the most it gives, in any of its ranges, and the same lead positive. */
const drivesSo = (stated: LimitsSource, { ranges, plus }: MeterDrive): boolean => plus === stated.plus && ranges.some(({ volts, ohms, amperes }) =>
  near(volts, stated.volts, sourceShare) && near(ohms, stated.ohms, sourceShare)
  && near(Math.min(volts / ohms, amperes), Math.min(stated.volts / stated.ohms, stated.amperes ?? Infinity), sourceShare))

/** A good board with every part at its usual figure. */
const readsSo = (board: BoardType, { red, black, function: what, source: { amperes = Infinity, ...source } }: SourcedStep, drives: MeterDrives, state: BoardState): boolean => {
  const stated = drivesOfReadings({ [what]: { ...source, amperes } })
  const [with1, with2] = [stated, drives].map((each) => reads(board, [], { red, black }, what, { drives: each, state }))
  if (with1?.ok !== true || with2?.ok !== true) return false
  return with1.value === with2.value || (typeof with1.value === 'number' && typeof with2.value === 'number' && near(with1.value, with2.value, readingShare))
}

/** @param computable whether the file says enough of this placement for a reading to be computed. */
export const standsWith = (board: BoardType, step: SourcedStep, drives: MeterDrives, state: BoardState, computable: boolean): boolean =>
  drivesSo(step.source, drives[step.function]) || (computable && readsSo(board, step, drives, state))

/** "The limits in the board file were made with …; this meter drives …" */
export const madeElsewhere = ({ source, function: what }: SourcedStep, drives: MeterDrives): string => {
  const { ranges, plus, typical } = drives[what]
  const [first] = ranges
  return `The limits in the board file were made with ${sourceFigures(source)}; this meter drives ${first === undefined ? 'nothing' : sourceFigures({ ...first, plus })}${typical ? ' (a typical meter: its own source is not entered)' : ''}`
}
