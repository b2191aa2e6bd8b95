/**
 * The speaker: each thing is said once, off means silent, and a browser's odd voices do no harm. Voices here are stand-ins that note what
 * they are asked.
 */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { usualBenchSettings } from '../../src-core/settings/bench-settings'
import type { Utterance } from '../../src-core/run/view'
import { createSpeaker } from '../../src-renderer/voice/speaker'
import { silentVoice, type Voice } from '../../src-renderer/voice/voice'
import { chooseVoice, openWebSpeech } from '../../src-renderer/voice/web-speech'

const { speech } = usualBenchSettings
const say = (kind: Utterance['kind'], id: string, ...sentences: string[]): Utterance => ({ id, kind, sentences })

/** Says nothing to its end until told to. */
const slowVoice = () => {
  const asked: string[] = []
  let finish: (() => void) | null = null
  const voice: Voice = { ...silentVoice, get: () => 'ready', speak: (sentence, _how, done) => { asked.push(sentence); finish = done },
    stop: () => { finish = null } }
  return { voice, asked, end: () => { const done = finish; finish = null; done?.() } }
}

describe('the speaker', () => {
  it('says what came of a touch, then the prompt, each once though it is told again and again', () => {
    const { voice, asked, end } = slowVoice()
    const speaker = createSpeaker(voice, speech)
    const spoken = [say('result', 'r1', 'pass'), say('prompt', 'p1', 'dial to diode test', 'red on A')]
    for (let k = 0; k < 5; k += 1) speaker.bench(spoken, false)
    expect(asked).toEqual(['pass'])
    end(); end(); end()
    expect(asked).toEqual(['pass', 'dial to diode test', 'red on A'])
  })

  it('does not tell a page that has just come what happened before it', () => {
    const { voice, asked } = slowVoice()
    createSpeaker(voice, speech).bench([say('result', 'r1', 'pass'), say('prompt', 'p1', 'red on A')], true)
    expect(asked).toEqual(['red on A'])
  })

  it('says a hint that lasts once, and not at all when it is over before its turn', () => {
    const { voice, asked, end } = slowVoice()
    const speaker = createSpeaker(voice, speech)
    speaker.bench([say('prompt', 'p1', 'red on A')], false)
    speaker.live(say('hint', 'h1', 'lift'))
    speaker.live(null)
    end()
    expect(asked).toEqual(['red on A'])
    for (let k = 0; k < 3; k += 1) speaker.live(say('hint', 'h2', 'turn the dial'))
    expect(asked).toEqual(['red on A', 'turn the dial'])
  })

  it('says a warning that began anew once more, and not one that only flickered', () => {
    const { voice, asked, end } = slowVoice()
    const speaker = createSpeaker(voice, speech)
    speaker.bench([say('prompt', 'p1', 'red on A')], false)
    end()
    const silent = (time: number): void => { speaker.live(say('warning', `silent ${time}`, 'meter silent')); end() }
    silent(1)
    speaker.live(say('hint', 'h1', 'lift'))
    end()
    silent(1)
    speaker.live(null)
    silent(2)
    expect(asked).toEqual(['red on A', 'meter silent', 'lift', 'meter silent'])
  })

  it('off is silent at once, and what was missed is not said later', () => {
    const { voice, asked, end } = slowVoice()
    const speaker = createSpeaker(voice, speech)
    speaker.bench([say('prompt', 'p1', 'dial to diode test', 'red on A')], false)
    speaker.use({ ...speech, on: false })
    end()
    speaker.bench([say('prompt', 'p2', 'red on B')], false)
    speaker.use(speech)
    speaker.bench([say('prompt', 'p2', 'red on B')], false)
    expect(asked).toEqual(['dial to diode test'])
  })

  it('says the prompt again when asked, with what stands in its way first', () => {
    const { voice, asked, end } = slowVoice()
    const speaker = createSpeaker(voice, speech)
    speaker.bench([say('prompt', 'p1', 'red on A')], false)
    end()
    speaker.live(say('hint', 'h1', 'turn the dial to resistance'))
    end()
    speaker.again()
    end(); end()
    expect(asked).toEqual(['red on A', 'turn the dial to resistance', 'turn the dial to resistance', 'red on A'])
  })

  it('says that nothing is live any more, but only where a run was on the bench', () => {
    const { voice, asked } = slowVoice()
    const speaker = createSpeaker(voice, speech)
    speaker.lost()
    expect(asked).toEqual([])
    speaker.bench([say('prompt', 'p1', 'red on A')], false)
    speaker.lost()
    expect(asked.at(-1)).toBe('not live any more')
  })

  it('with a silent voice nothing hangs', () => {
    const speaker = createSpeaker(silentVoice, speech)
    speaker.bench([say('result', 'r1', 'pass'), say('prompt', 'p1', 'red on A', 'and more')], false)
    speaker.again()
    expect(silentVoice.get()).toBe('off')
  })
})

type Made = { text: string; onend: (() => void) | null; onerror: ((event: { error: string }) => void) | null }
const voiceOf = (lang: string, change: Partial<SpeechSynthesisVoice> = {}): SpeechSynthesisVoice =>
  ({ name: lang, lang, localService: true, default: false, voiceURI: lang, ...change })

const engineWith = (voices: SpeechSynthesisVoice[]) => {
  const spoken: Made[] = []
  const listeners: (() => void)[] = []
  const place = {
    speechSynthesis: { getVoices: () => voices, addEventListener: (_: string, listener: () => void) => listeners.push(listener),
      speak: (one: Made) => spoken.push(one), cancel: () => undefined },
    SpeechSynthesisUtterance: class { onend = null; onerror = null; constructor(readonly text: string) {} },
  } as unknown as Parameters<typeof openWebSpeech>[0]
  return { place, spoken, voices, changed: () => listeners.forEach((listener) => listener()) }
}

describe('a voice over the browser’s speech', () => {
  beforeEach(() => { vi.useFakeTimers() })
  afterEach(() => { vi.useRealTimers() })

  it('takes an English voice of this machine, and never one that sends the words away', () => {
    expect(chooseVoice([voiceOf('de-DE', { default: true }), voiceOf('en-US'), voiceOf('en-GB', { default: true })])?.lang).toBe('en-GB')
    expect(chooseVoice([voiceOf('en-US', { localService: false }), voiceOf('fr-FR')])?.lang).toBe('fr-FR')
    expect(chooseVoice([voiceOf('en-US', { localService: false, default: true })])).toBeNull()
  })

  it('without a voice says so, asks for nothing, and is ready once the list has come', () => {
    const { place, spoken, voices, changed } = engineWith([])
    const voice = openWebSpeech(place)
    const done = vi.fn()
    voice.speak('red on A', speech, done)
    expect([voice.get(), spoken.length, done.mock.calls.length]).toEqual(['none', 0, 1])
    voices.push(voiceOf('en-GB'))
    changed()
    expect(voice.get()).toBe('ready')
    expect(voice.about()).toEqual({ name: 'en-GB', english: true })
  })

  it('names a machine whose only voices are on the internet', () => {
    expect(openWebSpeech(engineWith([voiceOf('en-US', { localService: false })]).place).get()).toBe('online-only')
  })

  it('goes on after a sentence that failed, and after one whose end is never told', () => {
    const { place, spoken } = engineWith([voiceOf('en-GB')])
    const voice = openWebSpeech(place)
    const done = vi.fn()
    voice.speak('red on A', speech, done)
    spoken[0]?.onerror?.({ error: 'synthesis-failed' })
    expect([voice.get(), done.mock.calls.length]).toEqual(['failed', 1])
    voice.speak('red on B', speech, done)
    spoken[1]?.onend?.()
    expect([voice.get(), done.mock.calls.length]).toEqual(['ready', 2])
    voice.speak('red on C', speech, done)
    vi.advanceTimersByTime(20_000)
    expect([voice.get(), done.mock.calls.length]).toEqual(['failed', 3])
  })

  it('that needs a key pressed first says so rather than that it failed', () => {
    const { place, spoken } = engineWith([voiceOf('en-GB')])
    const voice = openWebSpeech(place)
    voice.speak('red on A', speech, () => undefined)
    spoken[0]?.onerror?.({ error: 'not-allowed' })
    expect(voice.get()).toBe('waiting')
  })

  it('cut short by the next sentence, the first one’s end is nobody’s', () => {
    const { place, spoken } = engineWith([voiceOf('en-GB')])
    const voice = openWebSpeech(place)
    const [first, second] = [vi.fn(), vi.fn()]
    voice.speak('red on A', speech, first)
    voice.speak('red on B', speech, second)
    spoken[0]?.onerror?.({ error: 'interrupted' })
    spoken[0]?.onend?.()
    vi.advanceTimersByTime(1)
    expect([first.mock.calls.length, second.mock.calls.length]).toEqual([0, 0])
    spoken[1]?.onend?.()
    expect(second.mock.calls.length).toBe(1)
  })
})
