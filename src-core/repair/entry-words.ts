/** An entry of the repair log in words, for the screen, the list of events and the record. */
import type { FittedPart, JudgedProperty, RepairAction, RepairEntry } from './entry'

export const actionInWords = (action: RepairAction): string => ({
  removed: 'removed', replaced: 'replaced', lifted: 'lifted', jumpered: 'jumpered', resoldered: 'resoldered', moved: 'moved to another pad of the same net',
})[action]

/** Behind the name of its part: "anode", "pin 2". */
const legInWords = (pin: string): string => (/^[a-z]+$/.test(pin) ? pin : `pin ${pin}`)

const namesOfUnknown: Record<JudgedProperty['what'], string> = {
  value: 'value', tolerance: 'tolerance', volts: 'voltage rating', amperes: 'current rating', watts: 'power rating', speed: 'speed', package: 'package',
}

const judgedInWords = (judged: readonly JudgedProperty[]): string => {
  const unknown = judged.filter(({ is }) => is === 'unknown').map(({ what }) => namesOfUnknown[what])
  return [...judged.filter(({ is }) => is !== 'unknown').map(({ words }) => words), ...(unknown.length === 0 ? [] : [`not to be compared: ${unknown.join(', ')}`])].map((words) => `; ${words}`).join('')
}

const fittedInWords = ({ marking, same, origin }: FittedPart): string => {
  const from = origin.kind === 'new' ? 'new' : `from donor board ${origin.board}, ${origin.test === null ? 'not measured alone' : 'measured alone before'}`
  return ` by “${marking}”, ${same ? 'of the same marking' : 'a substitute'}, ${from}`
}

/** Behind the name of its part: "replaced by “220R”, a substitute, new; value: 220 Ω for 220 Ω; not to be compared: package". */
export const entryInWords = ({ pin, action, to, fitted, note }: RepairEntry): string =>
  `${pin === null ? '' : `${legInWords(pin)} `}${actionInWords(action)}${to === null ? '' : `: ${to}`}${fitted === null ? '' : `${fittedInWords(fitted)}${judgedInWords(fitted.judged)}`}${note === '' ? '' : `. ${note}`}`
