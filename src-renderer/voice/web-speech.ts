/** A voice over the browser's speech synthesis, with a voice that is on this machine. */
import { spokenSeconds } from '../../src-core/run/spoken-time'
import { silentVoice, type Voice, type VoiceState } from './voice'

/**
 * An engine that never says that it has ended is not waited for any longer than this many times what a sentence takes, plus two seconds.
 */
const patience = 3

const isEnglish = (voice: SpeechSynthesisVoice): boolean => /^en\b/i.test(voice.lang)

/** English before other tongues, the one the system chose before others; never one that sends the words away. */
export const chooseVoice = (voices: readonly SpeechSynthesisVoice[]): SpeechSynthesisVoice | null => {
  const here = voices.filter((voice) => voice.localService)
  const english = here.filter(isEnglish)
  return english.find((voice) => voice.default) ?? english[0] ?? here.find((voice) => voice.default) ?? here[0] ?? null
}

export const openWebSpeech = (place: Pick<Window,
  'speechSynthesis'> & { SpeechSynthesisUtterance: typeof SpeechSynthesisUtterance }): Voice => {
  const { speechSynthesis: engine } = place
  const listeners = new Set<() => void>()
  let chosen: SpeechSynthesisVoice | null = null
  let state: VoiceState = 'none'
  let saying = 0

  const become = (next: VoiceState): void => {
    if (next === state) return
    state = next
    for (const listener of listeners) listener()
  }
  const look = (): void => {
    const voices = engine.getVoices()
    const before = chosen
    chosen = chooseVoice(voices)
    if (chosen === null) become(voices.length === 0 ? 'none' : 'online-only')
    else if (before === null) become('ready')
  }
  look()
  // The list of voices comes later in most browsers.
  engine.addEventListener('voiceschanged', look)

  const speak: Voice['speak'] = (sentence, { rate, volume }, done) => {
    saying += 1
    const own = saying
    engine.cancel()
    if (chosen === null) return done()
    const utterance = new place.SpeechSynthesisUtterance(sentence)
    utterance.voice = chosen
    utterance.lang = chosen.lang
    utterance.rate = rate
    utterance.volume = volume
    const late = setTimeout(() => finish('failed'), 1000 * (2 + (patience * spokenSeconds(sentence)) / rate))
    const finish = (next: VoiceState): void => {
      clearTimeout(late)
      if (own !== saying) return
      saying += 1
      become(next)
      done()
    }
    utterance.onend = () => finish('ready')
    utterance.onerror = ({ error }) => {
      if (error === 'canceled' || error === 'interrupted') clearTimeout(late)
      else finish(error === 'not-allowed' ? 'waiting' : 'failed')
    }
    try {
      engine.speak(utterance)
    } catch {
      // Some engines throw instead of telling; the settings screen says that the voice failed.
      finish('failed')
    }
  }

  return {
    speak,
    stop: () => {
      saying += 1
      engine.cancel()
    },
    get: () => state,
    about: () => (chosen === null ? null : { name: chosen.name, english: isEnglish(chosen) }),
    subscribe: (listener) => {
      listeners.add(listener)
      return () => { listeners.delete(listener) }
    },
  }
}

/** The voice of this browser, or a silent one where it has no speech. */
export const voiceHere = (): Voice =>
  typeof window !== 'undefined' && 'speechSynthesis' in window && 'SpeechSynthesisUtterance' in window
    ? openWebSpeech(window as Window & { SpeechSynthesisUtterance: typeof SpeechSynthesisUtterance }) : silentVoice
