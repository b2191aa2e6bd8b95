/** For text fields whose Enter is a command: a scanner's Enter, right behind a character, is not. */
import { useRef, type KeyboardEvent } from 'react'
import { scannerGap } from './scanner'

/** A keydown handler that swallows an Enter that came faster than a hand types. */
export const useFastEnter = (): ((event: KeyboardEvent) => void) => {
  const last = useRef(Number.NEGATIVE_INFINITY)
  return (event) => {
    if (event.key === 'Enter') {
      if (event.repeat || event.timeStamp - last.current < scannerGap) event.preventDefault()
    } else if (event.key.length === 1) last.current = event.timeStamp
  }
}
