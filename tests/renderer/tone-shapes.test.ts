/** Tones are told apart by pitch and by rhythm, so that one of the two may fail. */
import { describe, expect, it } from 'vitest'
import { events } from '../../src-core/contract'
import { toneLength, toneShapes, type Tone } from '../../src-renderer/sound/tone-shapes'

const tones = Object.keys(toneShapes) as Tone[]
const pairs = tones.flatMap((a, index) => tones.slice(index + 1).map((b): [Tone, Tone] => [a, b]))

describe('the tones of the bench', () => {
  it('exist for everything the service can sound', () => {
    expect(tones.toSorted()).toEqual([...events.tone.shape.tone.options].toSorted())
  })

  it.each(pairs)('%s and %s differ in pitch', (a, b) => {
    const pitches = (tone: Tone): number[] => toneShapes[tone].flatMap(({ from, to }) => [from, to])
    // A semitone is 5.9 %: common practice, no source, for what an untrained ear tells apart with ease.
    expect(Math.abs(Math.log2((pitches(a)[0] ?? 0) / (pitches(b)[0] ?? 1)))).toBeGreaterThan(1 / 12)
  })

  it.each(pairs)('%s and %s differ in rhythm', (a, b) => {
    const rhythm = (tone: Tone): number[] => toneShapes[tone].flatMap(({ start, length }) => [start, length])
    const [one, other] = [rhythm(a), rhythm(b)]
    const sameCount = one.length === other.length
    expect(!sameCount || one.some((time, index) => Math.abs(time - (other[index] ?? 0)) >= 0.05)).toBe(true)
  })

  it('a captured value is heard in under half a second, a fail in under one', () => {
    expect(toneLength('pass')).toBeLessThan(0.5)
    expect(toneLength('fail')).toBeLessThan(1)
    expect(toneLength('contact')).toBeLessThan(0.1)
  })
})
