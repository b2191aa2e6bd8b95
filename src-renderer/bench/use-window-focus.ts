/** Whether this window gets the keys and the pedal. */
import { useSyncExternalStore } from 'react'

const subscribe = (listener: () => void): (() => void) => {
  window.addEventListener('focus', listener)
  window.addEventListener('blur', listener)
  document.addEventListener('visibilitychange', listener)
  return () => {
    window.removeEventListener('focus', listener)
    window.removeEventListener('blur', listener)
    document.removeEventListener('visibilitychange', listener)
  }
}

export const useWindowFocus = (): boolean => useSyncExternalStore(subscribe, () => document.hasFocus())
