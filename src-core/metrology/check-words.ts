/** What a check says in a sentence: “reads 472.1 Ω, should be 470.0 Ω ± 1.9 Ω”. */
import { unitOf } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import { checkOutcome, standardWords, type CheckedStandard, type CheckResult } from './check-standards'

const twoDigits = (value: number): number => Number(value.toPrecision(2))
/** Place of the last of two significant digits: what a value beside that uncertainty is written to. */
const placeOf = (uncertainty: number): number => 10 ** (Math.floor(Math.log10(uncertainty)) - 1)

export const standardName = ({ kind, label }: Pick<CheckedStandard, 'kind' | 'label'>): string => `${standardWords[kind]} ${label}`

/** “470.0 Ω ± 1.9 Ω”. */
export const shouldBeWords = ({ standard, limit, function: fn }: Pick<CheckResult, 'standard' | 'limit' | 'function'>): string =>
  `${inWords(standard.value, unitOf[fn], placeOf(limit))} ± ${inWords(twoDigits(limit), unitOf[fn], null)}`

export const checkedValueWords = (check: CheckResult): string =>
  typeof check.value === 'number' ? inWords(check.value, unitOf[check.function], placeOf(check.limit)) : 'over range'

export const checkInWords = (check: CheckResult): string => {
  const reads = `${standardName(check.standard)} reads ${checkedValueWords(check)}, should be ${shouldBeWords(check)}`
  switch (checkOutcome(check)) {
    case 'good': return `${reads}: good.`
    case 'failed': return `${reads}: failed.`
    case 'standard out of date': return `${reads}, but the standard was due for calibration on ${check.standard.due}: this is no good check.`
  }
}

export const blockedWords = 'Values of this meter are not traceable until a good check.'
