/** The meter of the practice bench: never saved, and converting faster than its kind. */
import type { Meter } from '../../../src-core/meter/instrument'
import { blankRegisterEntry } from '../../../src-core/meter/register'

const practiceMeterId = 'practice'
/** The shipped description it speaks by. */
export const practiceDescription = 'Line meter A'

export const isPracticeMeter = (meter: Meter | null): meter is Meter => meter?.id === practiceMeterId

export const newPracticeMeter = (): Meter => ({
  id: practiceMeterId, name: 'Practice meter', description: practiceDescription, port: null, settings: null, isolated: 'yes', accuracy: {}, air: [],
  leadCheck: null, diodeCheck: null, sourceCheck: null, register: blankRegisterEntry,
})
