/** Plays the bench's tones; says whether the browser lets them sound yet. */
import { toneShapes, type Note, type Tone } from './tone-shapes'

export type Sound = 'waiting' | 'on' | 'off' | 'unable'

export type Tones = {
  play: (tone: Tone) => void
  /** To be called from a press: browsers give sound only after one. */
  wake: () => void
  turn: (on: boolean) => void
  get: () => Sound
  subscribe: (listener: () => void) => () => void
}

const ramp = 0.008

/** Puts one note into any audio context, so that a test can render it offline. */
export const scheduleNote = (context: BaseAudioContext, begin: number, { start, length, from, to, loudness }: Note): void => {
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
  oscillator.connect(gain).connect(context.destination)
  oscillator.start(at)
  oscillator.stop(at + length + 0.02)
}

export const createTones = (): Tones => {
  const listeners = new Set<() => void>()
  let context: AudioContext | null = null
  let wanted = true
  let shown: Sound = 'waiting'

  const now = (): Sound =>
    !wanted ? 'off' : typeof AudioContext === 'undefined' ? 'unable' : context?.state === 'running' ? 'on' : 'waiting'
  const tell = (): void => {
    shown = now()
    for (const listener of listeners) listener()
  }

  const wake = (): void => {
    if (!wanted || typeof AudioContext === 'undefined' || context?.state === 'running') return
    if (context === null) {
      context = new AudioContext({ latencyHint: 'interactive' })
      context.onstatechange = tell
    }
    // Refused until the browser takes a press as one; the screen then goes on asking for a key.
    context.resume().then(tell, tell)
  }

  return {
    play: (tone) => {
      if (!wanted || context === null || context.state !== 'running') return
      for (const note of toneShapes[tone]) scheduleNote(context, context.currentTime, note)
    },
    wake,
    turn: (on) => {
      wanted = on
      wake()
      tell()
    },
    get: () => shown,
    subscribe: (listener) => {
      listeners.add(listener)
      return () => { listeners.delete(listener) }
    },
  }
}
