/** Points out that the serial number just given was on the bench before: a line, never a question that blocks. */
import { measuredBeforeWords } from '../../src-core/run/run-list'
import type { RunList } from './store/run-list'

const two = (n: number): string => String(n).padStart(2, '0')

/** Date and time of this place. */
export const localTime = (utc: string): string => {
  const time = new Date(utc)
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())} ${two(time.getHours())}:${two(time.getMinutes())}`
}

/** Null for a unit without a serial number, and for one not met before. To be asked before the new run is stored. */
export const sameUnitNote = (list: RunList, board: string, serialNumber: string): string | null => {
  if (serialNumber === '') return null
  const before = list.measuredBefore(board, serialNumber)
  const words = before.last === null ? null : measuredBeforeWords(before, localTime(before.last.startedUtc))
  return words === null ? null : `${words} This is another run of it.`
}
