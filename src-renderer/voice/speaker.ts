/** Has said what the bench wants to be said, each thing once, in the order core gives it. */
import { ended, noSpeech, offer, withdrawHint, type Spoken } from '../../src-core/run/speech-order'
import { appLostSpoken, sayAgain } from '../../src-core/run/spoken'
import type { BenchView, LiveView, Utterance } from '../../src-core/run/view'
import type { BenchSettings } from '../../src-core/settings/bench-settings'
import type { Voice } from './voice'

type SpeechSettings = BenchSettings['speech']

export type Speaker = {
  /** `anew`: the page has just met the run; what came of older touches is no news. */
  bench: (spoken: BenchView['spoken'], anew: boolean) => void
  live: (spoken: LiveView['spoken']) => void
  /** One thing at once, such as the reason a pedal offers. */
  tell: (sentence: string) => void
  again: () => void
  /** The app does not answer any more; said only where a run was on the bench. */
  lost: () => void
  use: (settings: SpeechSettings) => void
  /** As it would sound with these settings. */
  sample: (sentence: string, settings: SpeechSettings) => void
}

export const createSpeaker = (voice: Voice, first: SpeechSettings): Speaker => {
  let settings = first
  let speech = noSpeech
  let told = 0
  let nowBench: readonly Utterance[] = []
  let nowLive: Utterance | null = null
  const lastSaid = new Map<Utterance['kind'], string>()
  let lastLive = ''
  /** Live warnings said in this run: one that flickers is not said again until core counts it anew. */
  const warned = new Set<string>()

  const sayFrom = (sentences: readonly string[]): void => {
    const [sentence, ...rest] = sentences
    if (sentence === undefined) carryOn(ended(speech))
    else voice.speak(sentence, settings, () => sayFrom(rest))
  }
  const carryOn = (next: Spoken): void => {
    speech = next.speech
    if (next.say !== null) sayFrom(next.say.sentences)
  }
  const put = (utterance: Utterance): void => { if (settings.on) carryOn(offer(speech, utterance)) }
  const quieten = (): void => {
    voice.stop()
    speech = noSpeech
  }

  return {
    bench: (spoken, anew) => {
      // A run that has gone takes its words along.
      if (spoken.length === 0 && nowBench.length > 0) {
        quieten()
        warned.clear()
      }
      nowBench = spoken
      for (const utterance of spoken) {
        if (lastSaid.get(utterance.kind) === utterance.id) continue
        lastSaid.set(utterance.kind, utterance.id)
        if (!(anew && utterance.kind === 'result')) put(utterance)
      }
    },
    live: (spoken) => {
      nowLive = spoken
      if (spoken === null) speech = withdrawHint(speech)
      else if (spoken.id !== lastLive) {
        lastLive = spoken.id
        if (spoken.kind === 'warning' && warned.has(spoken.id)) return
        if (spoken.kind === 'warning') warned.add(spoken.id)
        put(spoken)
      }
    },
    tell: (sentence) => put({ id: `told ${told += 1}`, kind: 'result', sentences: [sentence] }),
    again: () => {
      const once = sayAgain(nowBench, nowLive, told += 1)
      if (once !== null) put(once)
    },
    lost: () => {
      if (nowBench.some(({ kind }) => kind === 'prompt')) put(appLostSpoken)
      nowBench = []
      nowLive = null
    },
    use: (next) => {
      const off = settings.on && !next.on
      settings = next
      if (off) quieten()
    },
    sample: (sentence, how) => {
      quieten()
      voice.speak(sentence, how, () => undefined)
    },
  }
}
