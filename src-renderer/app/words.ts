/** The bench's words for what the contract names by code. */
import type { LinkView } from '../../src-core/contract'
import { evidenceWords, functionWords, notReachedWords, runVerdictWords, verdictWords, type StepVerdict } from '../../src-core/run/result-words'
import type { RunVerdict } from '../../src-core/run/run-list'
import type { LiveView } from '../../src-core/run/view'

export type VerdictShown = StepVerdict | 'skipped'
export type { RunVerdict }
export { evidenceWords, functionWords, notReachedWords, runVerdictWords, verdictWords }

export const flagWords = (flag: string): string => flag.replaceAll('-', ' ')

const linkState: Record<LinkView['status'], string> = {
  closed: 'no meter connected',
  opening: 'opening the port',
  open: 'meter live',
  silent: 'meter silent',
  lost: 'meter lost',
  practice: 'practice meter',
}

/** What stands on screen while the app does not answer. A restart has another port and token, so the new address must be opened. */
export const lostWords =
  'Probewright has stopped, or this page lost it. What was recorded is kept. Run npm start again and open the address it prints.'

/** "meter live, resistance, 2.5 per second"; without the function where that stands beside it. */
export const linkWords = (link: LinkView, live: LiveView, withFunction = true): string => {
  const talks = link.status === 'open' || link.status === 'practice'
  return [
    link.status === 'open' && link.readings === 0 ? 'waiting for the meter' : linkState[link.status],
    ...(talks && withFunction && live.reading !== null ? [functionWords[live.reading.function]] : []),
    ...(talks && live.perSecond !== null ? [`${live.perSecond.toFixed(1)} per second`] : []),
  ].join(', ')
}

/** Date and time of this place, "2026-03-01 08:10". */
export const timeWords = (utc: string): string => {
  const time = new Date(utc)
  if (Number.isNaN(time.getTime())) return utc
  const two = (n: number): string => String(n).padStart(2, '0')
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())} ${two(time.getHours())}:${two(time.getMinutes())}`
}

/** The time of day of this place, "08:10:07.3". */
export const clockWords = (utc: string): string => {
  const time = new Date(utc)
  if (Number.isNaN(time.getTime())) return utc
  const two = (n: number): string => String(n).padStart(2, '0')
  return `${two(time.getHours())}:${two(time.getMinutes())}:${two(time.getSeconds())}.${Math.floor(time.getMilliseconds() / 100)}`
}

export const serialWords = (serialNumber: string): string => (serialNumber === '' ? 'no serial number' : serialNumber)
