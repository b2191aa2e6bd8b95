/** Says whether the tones sound, and turns them on and off; the key beside it opens all that can be set. */
import { useRef, useSyncExternalStore, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import type { Sound } from '../sound/tones'

const words: Record<Sound, string> = { waiting: 'press any key for sound', on: 'sound on', off: 'sound off', unable: 'no sound here' }

export const SoundSwitch = ({ away }: { away: boolean }): JSX.Element => {
  const { tones, order, go } = useSession()
  const sound = useSyncExternalStore(tones.subscribe, tones.get)
  const settings = useApp((state) => state.settings)
  // The press itself wakes the sound: on “press any key for sound” it must not turn it off at once.
  const begunAs = useRef<Sound>('on')
  const begin = (): void => { begunAs.current = sound }
  return (
    <>
      <button
        type="button"
        className={`sound sound-${sound}`}
        data-testid="sound"
        aria-pressed={sound === 'on'}
        onPointerDown={begin}
        onKeyDown={begin}
        onClick={() => {
          if (begunAs.current !== 'waiting') order('save-settings', { ...settings, sound: { ...settings.sound, on: !settings.sound.on } })
        }}
      >
        {words[sound]}
      </button>
      <button
        type="button" className="key" data-testid="sound-and-keys" disabled={away} title="Sound, voice, keys and pedals"
        onClick={() => go('sound-and-keys')}
      >
        <kbd>K</kbd>keys
      </button>
    </>
  )
}
