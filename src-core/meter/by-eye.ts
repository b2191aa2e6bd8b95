/** A meter that no cable joins to the app: its figures are read by eye and typed in, and nothing is known of it. */
import type { Meter } from './instrument'
import { blankRegisterEntry } from './register'

const byEyeId = 'read-by-eye'

/** With no link there is nothing to isolate. What its checks show holds for the runs that follow one another on the bench, and is not kept. */
export const meterByEye: Meter = {
  id: byEyeId, name: 'a meter read by eye', description: 'read by eye', port: null, settings: null, isolated: 'yes',
  accuracy: {}, air: [], leadCheck: null, diodeCheck: null, sourceCheck: null, register: blankRegisterEntry,
}

export const isReadByEye = ({ id }: Pick<Meter, 'id'>): boolean => id === byEyeId
