/** Whether values of a meter are traceable now, and in which functions, as its screen says it. */
import type { MeterFunction } from '../meter/reading'
import type { Traceability } from '../metrology/traceable'
import { functionWords } from './result-words'

const listed = (functions: readonly MeterFunction[]): string => functions.map((each) => functionWords[each]).join(', ')

export const traceabilityInWords = (judged: Traceability): string => (judged.traceable
  ? `Traceable now in ${listed(judged.functions)}: the certificate has points there. In any other function values of this meter are not traceable.`
  : `Not traceable: ${judged.because}`)
