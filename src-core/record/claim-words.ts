/** What a record claims of traceability, function by function, in a sentence. */
import { functionWords, listed } from './print/words'
import type { TestRecordContent } from './schema'
import { functionsClaimed, standingFigures } from './standing-figures'

/** @param functions in which every figure that stands is traceable; null: a list that does not tell. */
export const claimInWords = (claimed: boolean, functions: readonly string[] | null): string => {
  const named = functions === null || functions.length === 0 ? '' : ` in ${listed(functions.map(functionWords))}`
  if (claimed) return `It claims traceable values${named}.`
  return named === '' ? 'It claims no traceability.' : `It claims traceable values${named} only.`
}

/** With what speaks against the rest. */
export const claimOfRecord = ({ traceable: { claimed, because }, steps }: TestRecordContent): string =>
  [claimInWords(claimed, functionsClaimed(standingFigures(steps))), because].filter((each) => each !== '').join(' ')
