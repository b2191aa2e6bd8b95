/** Tones on and off, one by one, and how loud; each can be heard here. */
import { useSyncExternalStore, type JSX } from 'react'
import { toneName, type Loudness, type ToneName } from '../../src-core/settings/bench-settings'
import { useSession } from '../app/session'
import { Choice } from './choice'
import type { CardProps } from './settings-screen'

const means: Record<ToneName, string> = {
  contact: 'the tips touch something', pass: 'recorded, within limits', fail: 'recorded, outside limits', lift: 'the leads have left',
  'wrong-function': 'turn the dial', silent: 'the meter is silent',
}
const loudnesses: readonly { value: Loudness; words: string }[] = [
  { value: 'soft', words: 'soft' }, { value: 'usual', words: 'usual' }, { value: 'loud', words: 'loud' },
  { value: 'loudest', words: 'loudest, for a noisy shop' },
]

export const TonesCard = ({ settings, keep }: CardProps): JSX.Element => {
  const { tones } = useSession()
  const state = useSyncExternalStore(tones.subscribe, tones.get)
  const { sound } = settings
  const change = (part: Partial<typeof sound>): void => keep({ ...settings, sound: { ...sound, ...part } })
  return (
    <section className="card" aria-labelledby="tones-title">
      <h2 id="tones-title">Tones</h2>
      {state === 'waiting' && <p className="hint-line">Press any key or the pedal for sound: browsers stay silent until then.</p>}
      {state === 'unable' && <p className="hint-line">This browser cannot sound. What the tones say stands in the state line.</p>}
      <label className="tick-field">
        <input type="checkbox" data-testid="sound-on" checked={sound.on} onChange={(event) => change({ on: event.target.checked })} />
        Sound tones
      </label>
      <Choice
        name="loudness" legend="Loudness" options={loudnesses} chosen={sound.loudness} disabled={!sound.on}
        choose={(loudness) => change({ loudness })}
      />
      <ul className="tone-list">
        {toneName.options.map((tone) => (
          <li key={tone}>
            <label className="tick-field">
              <input
                type="checkbox" checked={sound.tones[tone]} disabled={!sound.on} data-testid={`tone-${tone}`}
                onChange={(event) => change({ tones: { ...sound.tones, [tone]: event.target.checked } })}
              />
              {means[tone]}
            </label>
            <button type="button" className="chip" aria-label={`Hear the tone for: ${means[tone]}`} onClick={() => tones.sample(tone, sound)}>
              hear
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}
