/** Keeps the display on while a run is on the bench. */
import { useEffect, useState } from 'react'

export type Awake = 'not-asked' | 'held' | 'refused'

export const useWakeLock = (wanted: boolean): Awake => {
  const [awake, setAwake] = useState<Awake>('not-asked')
  useEffect(() => {
    if (!wanted) return
    let over = false
    let lock: WakeLockSentinel | null = null
    const ask = (): void => {
      if (document.visibilityState !== 'visible') return
      // Older browsers and pages not on 127.0.0.1 or https have no such thing.
      const asked = 'wakeLock' in navigator ? navigator.wakeLock.request('screen') : Promise.reject(new Error('no wake lock here'))
      asked.then((given) => {
        lock = given
        if (over) return given.release()
        setAwake('held')
      }).catch(() => { if (!over) setAwake('refused') })
    }
    ask()
    document.addEventListener('visibilitychange', ask)
    return () => {
      over = true
      document.removeEventListener('visibilitychange', ask)
      lock?.release().catch(() => setAwake('refused'))
    }
  }, [wanted])
  return awake
}
