/** Says whether the tones sound, and turns them on and off. */
import { useSyncExternalStore, type JSX } from 'react'
import { useSession } from '../app/session'
import type { Sound } from '../sound/tones'

const words: Record<Sound, string> = { waiting: 'press any key for sound', on: 'sound on', off: 'sound off', unable: 'no sound here' }

export const SoundSwitch = (): JSX.Element => {
  const { tones } = useSession()
  const sound = useSyncExternalStore(tones.subscribe, tones.get)
  return (
    <button
      type="button"
      className={`sound sound-${sound}`}
      data-testid="sound"
      aria-pressed={sound === 'on'}
      onClick={() => tones.turn(sound !== 'on')}
    >
      {words[sound]}
    </button>
  )
}
