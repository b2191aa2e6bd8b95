/** Whether prompts are spoken, how fast and how loud; says in words where there is no voice. */
import type { JSX } from 'react'
import { useSession } from '../app/session'
import { useVoiceState } from '../keys/use-bench-keys'
import { voiceWords } from '../voice/voice'
import { Choice } from './choice'
import type { CardProps } from './settings-screen'

const sampleSentence = 'red on J 1 pin 2, black on R 3 pin 2'
const notEnglish = ' It is not an English voice; install one in the settings of the operating system.'
const rates = [{ value: 0.8, words: 'slow' }, { value: 1.1, words: 'usual' }, { value: 1.4, words: 'fast' }, { value: 1.8, words: 'very fast' }]
const volumes = [{ value: 0.4, words: 'soft' }, { value: 0.7, words: 'middle' }, { value: 1, words: 'full' }]

export const VoiceCard = ({ settings, keep }: CardProps): JSX.Element => {
  const { voice, speaker } = useSession()
  const state = useVoiceState()
  const about = voice.about()
  const { speech } = settings
  const change = (part: Partial<typeof speech>): void => keep({ ...settings, speech: { ...speech, ...part } })
  return (
    <section className="card" aria-labelledby="voice-title">
      <h2 id="voice-title">Voice</h2>
      <p data-testid="voice-state">
        {state === 'ready' && about !== null
          ? `Prompts are spoken with “${about.name}”.${about.english ? '' : notEnglish}`
          : state === 'ready' ? '' : voiceWords[state]}
      </p>
      <label className="tick-field">
        <input type="checkbox" data-testid="speech-on" checked={speech.on} onChange={(event) => change({ on: event.target.checked })} />
        Speak prompts, results and warnings
      </label>
      <Choice name="rate" legend="Pace" options={rates} chosen={speech.rate} choose={(rate) => change({ rate })} disabled={!speech.on} />
      <Choice
        name="voice-volume" legend="Volume" options={volumes} chosen={speech.volume} disabled={!speech.on}
        choose={(volume) => change({ volume })}
      />
      <p>
        <button
          type="button" className="chip" data-testid="hear-voice" disabled={state === 'off' || state === 'none' || state === 'online-only'}
          onClick={() => speaker.sample(sampleSentence, speech)}
        >
          Hear it
        </button>
      </p>
    </section>
  )
}
