/** The order of what is said: no warning is cut short, nothing stale is said, and of each kind only the newest waits. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ended, noSpeech, offer, withdrawHint, type Speech } from '../../../src-core/run/speech-order'
import type { Utterance } from '../../../src-core/run/view'

let number = 0
const say = (kind: Utterance['kind'], text: string = kind): Utterance => ({ id: `${kind} ${number += 1}`, kind, sentences: [text] })

/** Says all of it to the end; what was said, in order. */
const heardAfter = (speech: Speech): string[] => {
  const heard: string[] = []
  for (let now = speech; now.saying !== null; now = ended(now).speech) heard.push(...now.saying.sentences)
  return heard
}
const offerAll = (...all: Utterance[]): Speech => all.reduce((speech, each) => offer(speech, each).speech, noSpeech)

describe('the order of what is said', () => {
  it('the result of a touch, then the next prompt, then what is waited for', () => {
    expect(heardAfter(offerAll(say('result', 'pass'), say('prompt', 'red on A'), say('hint', 'lift')))).toEqual(['pass', 'red on A',
      'lift'])
  })
  it('a newer prompt takes the place of an older one, being said or waiting', () => {
    expect(heardAfter(offerAll(say('prompt', 'red on A'), say('prompt', 'red on B')))).toEqual(['red on B'])
    expect(heardAfter(offerAll(say('result', 'pass'), say('prompt', 'red on A'), say('prompt', 'red on B')))).toEqual(['pass', 'red on B'])
  })
  it('a new result makes the prompt before it stale', () => {
    expect(heardAfter(offerAll(say('prompt', 'red on A'), say('result', 'pass')))).toEqual(['pass'])
  })
  it('a warning cuts a prompt short, and the prompt is said again behind it', () => {
    expect(heardAfter(offerAll(say('prompt', 'red on A'), say('warning', 'board is charged, stop')))).toEqual(['board is charged, stop',
      'red on A'])
    expect(offer(offerAll(say('prompt')), say('warning')).say?.kind).toBe('warning')
  })
  it('a hint that holds no longer is not said', () => {
    expect(heardAfter(withdrawHint(offerAll(say('prompt', 'red on A'), say('hint', 'lift'))))).toEqual(['red on A'])
  })

  it('a warning is never cut short, whatever comes', () => {
    fc.assert(fc.property(fc.array(fc.constantFrom('warning', 'result', 'prompt', 'hint', 'end'), { maxLength: 40 }), (happenings) => {
      let speech = noSpeech
      for (const one of happenings) {
        const before = speech.saying
        const next = one === 'end' ? ended(speech) : offer(speech, say(one as Utterance['kind']))
        if (one !== 'end' && before?.kind === 'warning') expect(next.say).toBeNull()
        speech = next.speech
      }
    }))
  })

  it('of each kind at most one waits, so a voice is never far behind', () => {
    fc.assert(fc.property(fc.array(fc.constantFrom('warning', 'result', 'prompt', 'hint'), { maxLength: 40 }), (kinds) => {
      const { waiting } = offerAll(...kinds.map((kind) => say(kind as Utterance['kind'])))
      expect(new Set(waiting.map(({ kind }) => kind)).size).toBe(waiting.length)
    }))
  })
})
