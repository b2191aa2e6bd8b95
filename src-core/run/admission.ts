/** Whether a run may start on this board with this meter (capture.md, rule 14). */
import { isProbed, type BoardType } from '../board/board-type'
import type { Meter } from '../meter/instrument'

/** Null, or why not, in a sentence. */
export const refusalToStart = (board: BoardType, meter: Meter): string | null => {
  const powered = board.sequence.steps.find((step) => isProbed(step) && step.powered === true)
  if (meter.isolated === 'yes' || (!board.mainsReferenced && powered === undefined)) return null
  const why = board.mainsReferenced ? `${board.name} is referenced to mains` : `the step “${powered?.title ?? ''}” is made under power`
  const what = meter.isolated === 'no' ? 'is not isolated' : 'is not known to be isolated'
  return `The serial link of ${meter.name} ${what}, and ${why}. Use a meter with an isolated link, or, if this one is isolated, say so on the Meters screen.`
}
