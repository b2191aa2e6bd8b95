/** Renders the bench's tones inside a page, through the very chain the app plays them by; bundled into a page by tones.test.ts. */
import { toneName, type Loudness, type ToneName } from '../../src-core/settings/bench-settings'
import { loudnessChain } from '../../src-renderer/sound/loudness'
import { toneLength, toneShapes } from '../../src-renderer/sound/tone-shapes'
import { followTone, scheduleNote } from '../../src-renderer/sound/tones'

export type Rendered = {
  tone: ToneName; loudness: Loudness; peak: number; rms: number
  /** Hz by counted zero crossings of the first note. */
  pitch: number
}

const sampleRate = 48_000

const render = async (tone: ToneName, loudness: Loudness, twice: boolean): Promise<Rendered> => {
  const seconds = toneLength(tone)
  const context = new OfflineAudioContext(1, Math.ceil((seconds + 0.1) * sampleRate), sampleRate)
  const into = loudnessChain(context, loudness)
  // Two at once is the worst that happens: a tone that begins while another still sounds.
  for (const note of toneShapes[tone]) for (let k = 0; k < (twice ? 2 : 1); k += 1) scheduleNote(context, into, 0, note)
  const samples = (await context.startRendering()).getChannelData(0)
  const sounding = samples.slice(0, Math.ceil(seconds * sampleRate))
  const [first] = toneShapes[tone]
  // The compressor looks ahead some milliseconds, so the first note is looked at in its middle.
  const from = Math.floor(((first?.length ?? 0) * 0.25 + 0.006) * sampleRate)
  const part = sounding.slice(from, Math.floor(((first?.length ?? 0) * 0.9) * sampleRate))
  const crossings = part.reduce((sum, value, index) => sum + (index > 0 && (part[index - 1] ?? 0) < 0 && value >= 0 ? 1 : 0), 0)
  return {
    tone, loudness, peak: samples.reduce((most, value) => Math.max(most, Math.abs(value)), 0),
    rms: Math.sqrt(sounding.reduce((sum, value) => sum + value * value, 0) / sounding.length),
      pitch: (crossings * sampleRate) / part.length,
  }
}

export const renderAll = (loudness: Loudness, twice: boolean): Promise<Rendered[]> =>
  Promise.all(toneName.options.map((tone) => render(tone, loudness, twice)))

/** The tone that follows a value, given two pitches and then silence, half a second each: Hz and loudness of the last part of each. */
export const renderFollowed = async (pitches: readonly (number | null)[]): Promise<{ pitch: number; rms: number }[]> => {
  const each = 0.5
  const context = new OfflineAudioContext(1, Math.ceil(each * pitches.length * sampleRate), sampleRate)
  const tone = followTone(context, loudnessChain(context, 'usual'))
  pitches.forEach((pitch, index) => { void context.suspend(index * each).then(() => { tone.pitch(pitch); return context.resume() }) })
  const samples = (await context.startRendering()).getChannelData(0)
  return pitches.map((_, index) => {
    const part = samples.slice((index * each + 0.3) * sampleRate, ((index + 1) * each - 0.02) * sampleRate)
    const crossings = part.reduce((sum, value, at) => sum + (at > 0 && (part[at - 1] ?? 0) < 0 && value >= 0 ? 1 : 0), 0)
    return { pitch: (crossings * sampleRate) / part.length, rms: Math.sqrt(part.reduce((sum, value) => sum + value * value, 0) / part.length) }
  })
}
