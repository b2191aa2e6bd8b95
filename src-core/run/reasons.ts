/** The usual reasons to skip a step or to end a run, and how they are asked for. */

export const tooCoarseReason = 'meter too coarse'
export const skipReasons = ['cannot reach it', 'part not fitted', 'pad damaged', 'not needed here', tooCoarseReason] as const
/** Why a step is skipped that the bench itself cannot judge; these are written for the technician. */
export const noLimitsReason = 'no limits for this step'
export const noGoodBoardReason = 'no good board is known'
export const noMeterReason = 'no meter to follow with'
/** What is offered where the bench says why a step can only be skipped: that reason first, where it is not one of the usual ones. */
export const skipReasonsWith = (because: string | undefined): readonly string[] =>
  (because === undefined || skipReasons.some((reason) => reason === because) ? skipReasons : [because, ...skipReasons])
export const endReasons = ['not worth repairing', 'wrong board type', 'put aside', 'owner wants it back'] as const

/** The step a reason was asked for is no longer the present one. */
export const skipOvertaken = (title: string, hasValue: boolean): string =>
  `${title} ${hasValue ? 'has its value meanwhile' : 'is not the present step any more'}: nothing was skipped.`

/** Said when a reason is offered: the pedal that skips goes on to the next one, the pedal that confirms takes it. */
export const skipAskSpoken = (reason: string | null): string => (reason === null ? 'skip, for another reason?' : `skip, ${reason}?`)
export const noteAskSpoken = 'note'
