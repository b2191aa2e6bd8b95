/** For text fields whose Enter is a command: a scanner's Enter, right behind a character, is not. */
import { useRef, type KeyboardEvent } from 'react'
import { scannerGap } from './scanner'

/** A keydown handler that swallows an Enter that came faster than a hand types. @param swallowed told of it; not of an Enter held down. */
export const useFastEnter = (swallowed?: () => void): ((event: KeyboardEvent) => void) => {
  const last = useRef(Number.NEGATIVE_INFINITY)
  return (event) => {
    if (event.key === 'Enter') {
      const fast = event.timeStamp - last.current < scannerGap
      if (event.repeat || fast) event.preventDefault()
      if (fast && !event.repeat) swallowed?.()
    } else if (event.key.length === 1) last.current = event.timeStamp
  }
}
