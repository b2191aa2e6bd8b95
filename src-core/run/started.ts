/** The first event of a run: what is measured, with what, and how sure it is that the meter is that one. */
import { isReadByEye } from '../meter/by-eye'
import { calibrationWarning } from '../meter/calibration'
import type { Identity } from '../meter/identity'
import type { CheckResult } from '../metrology/check-standards'
import { failedCheckWarning } from '../metrology/traceable'
import type { FollowsRun } from '../repair/entry'
import type { BenchContext } from './bench'
import { isBenchRun } from './bench-runs'
import type { RunEventBody } from './event'
import type { BenchSettings } from '../settings/bench-settings'
import { sessionStepsDue } from './preparation'

type Started = Extract<RunEventBody, { kind: 'started' }>

export type Opening = {
  /** Of the board file. */
  sha256: string
  serialNumber: string
  hidden: Started['practice'] | null
  identity: Identity
  /** How the technician wants the steps ordered. */
  order?: BenchSettings['order']
  /** The run of the same unit before it. */
  follows?: FollowsRun | undefined
  /** Of a loose part: the run whose repair log asked for it. */
  aloneFor?: string | undefined
  utcMs: number
}

export const startedBody = ({ plan: { board, preparation }, meter, kit, rule, walks, good, beside }: BenchContext, { sha256, serialNumber, hidden, identity, order, follows, aloneFor, utcMs }: Opening): Started => {
  const byEye = isReadByEye(meter)
  return {
    kind: 'started', board: { id: board.id, revision: board.revision, sha256 }, sequence: { id: board.sequence.id, version: board.sequence.version },
    serialNumber, meter: byEye ? null : meter, kit, rule,
    prepare: sessionStepsDue(board, kit, meter, utcMs).filter((id) => preparation.some((step) => step.id === id)),
    ...(walks === undefined ? {} : { walks }),
    ...(beside === undefined ? {} : { beside }),
    ...(good === undefined ? {} : { good }),
    ...(follows === undefined ? {} : { follows }),
    ...(aloneFor === undefined ? {} : { aloneFor }),
    ...(order === 'tells-most' && !isBenchRun(board.id) ? { order } : {}),
    ...(hidden === null || hidden === undefined ? (byEye ? {} : { identity }) : { practice: hidden }),
  }
}

/** What is said of the meter as a run starts with it: nothing in practice, and nothing of one read by eye. */
export const startWarnings = ({ meter, practice }: Started, utc: string, checksOf: (meter: string) => readonly CheckResult[]): string[] =>
  meter === null || practice !== undefined ? []
    : [calibrationWarning(meter.register, utc), failedCheckWarning(checksOf(meter.id))].filter((words) => words !== null)
