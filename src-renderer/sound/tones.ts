/** Plays the bench's tones; says whether the browser lets them sound yet. */
import { usualBenchSettings, type BenchSettings } from '../../src-core/settings/bench-settings'
import { loudnessChain } from './loudness'
import { toneShapes, type Note, type Tone } from './tone-shapes'

export type Sound = 'waiting' | 'on' | 'off' | 'unable'
export type SoundSettings = BenchSettings['sound']

export type Tones = {
  play: (tone: Tone) => void
  /** Plays it as it would sound with these settings, even if it is off. */
  sample: (tone: Tone, settings: SoundSettings) => void
  /** One tone that goes on at this pitch, Hz, until it is told another; null: silence. */
  follow: (pitch: number | null) => void
  /** To be called from a press: browsers give sound only after one. */
  wake: () => void
  use: (settings: SoundSettings) => void
  get: () => Sound
  subscribe: (listener: () => void) => () => void
}

const ramp = 0.008

/** Puts one note into any audio context, so that a test can render it offline. */
export const scheduleNote = (context: BaseAudioContext, into: AudioNode, begin: number,
  { start, length, from, to, loudness }: Note): void => {
  const oscillator = context.createOscillator()
  const gain = context.createGain()
  const at = begin + start
  oscillator.type = 'triangle'
  oscillator.frequency.setValueAtTime(from, at)
  oscillator.frequency.linearRampToValueAtTime(to, at + length)
  gain.gain.setValueAtTime(0, at)
  gain.gain.linearRampToValueAtTime(loudness, at + ramp)
  gain.gain.setValueAtTime(loudness, Math.max(at + ramp, at + length - ramp))
  gain.gain.linearRampToValueAtTime(0, at + length)
  oscillator.connect(gain).connect(into)
  oscillator.start(at)
  oscillator.stop(at + length + 0.02)
}

/** Loudness of the tone that follows a value, beside 0.5 of the others: it lasts, and they must be heard over it. */
const followLoudness = 0.16
/** Seconds in which a pitch or its silence is reached: without a click, and as quick as a reading comes. */
const glide = 0.03

type Followed = { pitch: (hertz: number | null) => void; stop: () => void }

/** A tone that lasts, silent until it is given a pitch; any audio context, so that a test can render it offline. */
export const followTone = (context: BaseAudioContext, into: AudioNode): Followed => {
  const oscillator = context.createOscillator()
  const gain = context.createGain()
  oscillator.type = 'triangle'
  gain.gain.value = 0
  oscillator.connect(gain).connect(into)
  oscillator.start()
  return {
    pitch: (hertz) => {
      const { currentTime } = context
      if (hertz !== null) oscillator.frequency.setTargetAtTime(hertz, currentTime, glide / 3)
      gain.gain.setTargetAtTime(hertz === null ? 0 : followLoudness, currentTime, glide / 3)
    },
    stop: () => {
      oscillator.stop()
      gain.disconnect()
    },
  }
}

export const createTones = (): Tones => {
  const listeners = new Set<() => void>()
  let context: AudioContext | null = null
  let settings = usualBenchSettings.sound
  let chain: { into: AudioNode; loudness: SoundSettings['loudness'] } | null = null
  let shown: Sound = 'waiting'

  const now = (): Sound =>
    !settings.on ? 'off' : typeof AudioContext === 'undefined' ? 'unable' : context?.state === 'running' ? 'on' : 'waiting'
  const tell = (): void => {
    const next = now()
    if (next === shown) return
    shown = next
    for (const listener of listeners) listener()
  }

  const wake = (): void => {
    if (typeof AudioContext === 'undefined' || context?.state === 'running') return
    if (context === null) {
      context = new AudioContext({ latencyHint: 'interactive' })
      context.onstatechange = tell
    }
    // Refused until the browser takes a press as one; the screen then goes on asking for a key.
    context.resume().then(tell, tell)
  }

  let followed: Followed | null = null

  const wayOut = (running: AudioContext, loudness: SoundSettings['loudness']): AudioNode => {
    if (chain === null || chain.loudness !== loudness) chain = { into: loudnessChain(running, loudness), loudness }
    return chain.into
  }
  const sound = (tone: Tone, loudness: SoundSettings['loudness']): void => {
    if (context === null || context.state !== 'running') return
    for (const note of toneShapes[tone]) scheduleNote(context, wayOut(context, loudness), context.currentTime, note)
  }
  const follow = (pitch: number | null): void => {
    if (pitch === null || !settings.on || context === null || context.state !== 'running') {
      followed?.pitch(null)
      return
    }
    followed ??= followTone(context, wayOut(context, settings.loudness))
    followed.pitch(pitch)
  }

  return {
    play: (tone) => { if (settings.on && settings.tones[tone]) sound(tone, settings.loudness) },
    sample: (tone, { loudness }) => sound(tone, loudness),
    follow, wake,
    use: (next) => {
      settings = next
      // Another loudness is another way out.
      followed?.stop()
      followed = null
      tell()
    },
    get: () => shown,
    subscribe: (listener) => {
      listeners.add(listener)
      return () => { listeners.delete(listener) }
    },
  }
}
