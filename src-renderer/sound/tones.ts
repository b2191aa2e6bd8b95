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

  const sound = (tone: Tone, loudness: SoundSettings['loudness']): void => {
    if (context === null || context.state !== 'running') return
    if (chain === null || chain.loudness !== loudness) chain = { into: loudnessChain(context, loudness), loudness }
    for (const note of toneShapes[tone]) scheduleNote(context, chain.into, context.currentTime, note)
  }

  return {
    play: (tone) => { if (settings.on && settings.tones[tone]) sound(tone, settings.loudness) },
    sample: (tone, { loudness }) => sound(tone, loudness),
    wake,
    use: (next) => {
      settings = next
      tell()
    },
    get: () => shown,
    subscribe: (listener) => {
      listeners.add(listener)
      return () => { listeners.delete(listener) }
    },
  }
}
