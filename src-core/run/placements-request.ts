/** What the worker is asked for, so that a value can be told from one of another placement (capture.md, rule 10). */
import { z } from 'zod'
import { boardType } from '../board/board-type'
import { boardWithLimits } from '../circuit/computed-limits'
import { drivesOfRegister } from '../circuit/meter-drive'
import { placementReadings, type PlacementReadings } from '../circuit/placement-readings'
import { accuracyOf } from '../meter/accuracy-of'
import { accuracy as statedAccuracy } from '../meter/instrument'
import { meterFunction } from '../meter/reading'
import { meterSource, rangeAccuracy } from '../meter/register'
import type { Bench } from './bench'
import { isBenchRun } from './bench-runs'
import { foundAs } from './board-state'
import { limitsRequestOf } from './limits-request'
import { sequenceKey } from './question-key'

export const placementsRequest = z.strictObject({ key: z.string(), placementsOf: boardType, sources: z.array(meterSource), ranges: z.array(rangeAccuracy), accuracy: z.partialRecord(meterFunction, statedAccuracy) })
export type PlacementsRequest = z.infer<typeof placementsRequest>
export type PlacementsAnswer = { key: string; readings: PlacementReadings }

/** Null where nothing is measured on a board, something of it is lifted or removed, its meter is not known just now, or limits are still to come. */
const questionOf = (bench: Bench): PlacementsRequest | null => {
  const { run, context: { plan: { board }, meter: { accuracy, register: { sources, ranges } } }, asksSameMeter } = bench
  if (run.ended !== null || run.meterLost || asksSameMeter || isBenchRun(board.id) || foundAs(run).length > 0 || limitsRequestOf(bench) !== null) return null
  return { key: JSON.stringify([run.started.board.sha256, sources, ranges, accuracy, run.limits?.celsius ?? null, sequenceKey(board)]), placementsOf: boardWithLimits(board, run.limits?.steps ?? {}), sources, ranges, accuracy }
}

/** Null where nothing is to be asked, or the answer is there. */
export const placementsRequestOf = (bench: Bench): PlacementsRequest | null => { const asked = questionOf(bench); return asked?.key === bench.placements?.key ? null : asked }

/** What is known of this board with this meter; null: nothing yet. */
export const placementsOf = (bench: Bench): PlacementReadings | null => (bench.placements !== null && questionOf(bench)?.key === bench.placements.key ? bench.placements.readings : null)

/** Costs seconds: for the worker. */
export const answerPlacements = ({ key, placementsOf, accuracy, ...register }: PlacementsRequest): PlacementsAnswer =>
  ({ key, readings: placementReadings(placementsOf, drivesOfRegister(register), (what, value) => accuracyOf({ accuracy, register }, what, Math.abs(value))) })
