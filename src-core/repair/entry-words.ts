/** An entry of the repair log in words, for the screen, the list of events and the record. */
import { pinInWords } from '../board/part-state'
import type { RepairAction, RepairEntry } from './entry'

export const actionInWords = (action: RepairAction): string => ({
  removed: 'removed', replaced: 'replaced', lifted: 'lifted', jumpered: 'jumpered', resoldered: 'resoldered', moved: 'moved to another pad of the same net',
})[action]

/** For the log and the record: "replaced by “220R”, not of the same marking, from donor board N-7; value: …". */
export const entryInWords = ({ pin, part, action, to, fitted, note }: RepairEntry): string => {
  const what = pin === null ? actionInWords(action) : `${pinInWords(part, pin)} ${actionInWords(action)}`
  const with_ = fitted === null ? '' : ` by “${fitted.marking}”${fitted.same ? ', of the same marking' : ', a substitute'}${fitted.origin.kind === 'new' ? ', new' : `, from donor board ${fitted.origin.board}${fitted.origin.test === null ? ', not measured alone' : ', measured alone before'}`}`
  const judged = fitted === null || fitted.judged.length === 0 ? '' : `; ${fitted.judged.map(({ words }) => words).join('; ')}`
  return `${what}${to === null ? '' : `: ${to}`}${with_}${judged}${note === '' ? '' : `. ${note}`}`
}
