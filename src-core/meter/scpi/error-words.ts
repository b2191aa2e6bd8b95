/** An instrument's own errors in plain words. */
import type { ScpiError } from './replies'

/** SCPI-1999, volume 2, 21.8.8 to 21.8.14: the classes of error numbers; from memory. */
const classWords = (code: number): string => {
  if (code <= -100 && code > -200) return 'it does not know this command'
  if (code <= -200 && code > -300) return 'it cannot carry this out'
  if (code <= -300 && code > -400) return 'a fault of the meter itself'
  if (code <= -400 && code > -500) return 'question and answer got out of step'
  return 'an error of its own kind'
}

/** The instrument's own, whatever it was asked; the others may come of a question it does not know. */
export const isOwnFault = ({ code }: ScpiError): boolean => code > 0 || (code <= -300 && code > -400)

const one = (error: ScpiError): string => `“${error.text === '' ? 'error' : error.text}” (${error.code}: ${classWords(error.code)})`

const mostTold = 3

export const errorWords = (errors: readonly ScpiError[]): string => {
  const more = errors.length - mostTold
  return errors.slice(0, mostTold).map(one).join(', ') + (more > 0 ? ` and ${more} more` : '')
}

export const waitingErrorsWords = (errors: readonly ScpiError[]): string => `The meter had errors waiting: ${errorWords(errors)}.`

export const refusedWords = (command: string, errors: readonly ScpiError[]): string =>
  `The meter did not take “${command}”: it says ${errorWords(errors)}.`

export const readingErrorWords = (errors: readonly ScpiError[]): string => `The meter reports while it measures: ${errorWords(errors)}.`

export const restoringErrorWords = (command: string, errors: readonly ScpiError[]): string =>
  `The meter was not put back as it was: it did not take “${command}” and says ${errorWords(errors)}. Set it by hand.`

export const stubbornWords = (wanted: string, shows: string): string =>
  `The meter took the setting “${wanted}”, but still measures “${shows}”. Set it by hand.`

export const noReadingWords = (timeoutSeconds: number, late: boolean): string => (late
  ? `The meter's readings come later than the ${timeoutSeconds} s its description gives it. Set "timeoutSeconds" higher there.`
  : `The meter answers, but gives no reading within ${timeoutSeconds} s. Is it waiting for a trigger, or is a menu open on it?`)

export const unansweredWords = (command: string): string => `The meter answers nothing after “${command}”; it is not set any more. Set it by hand.`

export const noErrorQueueWords = 'The meter has no error queue that can be asked: whether it takes a setting shows only in what it measures.'

export const notDescribedWords = (shows: string): string => `The meter measures “${shows}”, which its description does not list. Turn it to another function.`
