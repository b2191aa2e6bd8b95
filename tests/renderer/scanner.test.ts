/** Keys: a press acts soon, a held key once, and what a scanner types is never a command. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { isShownKey } from '../../src-renderer/keys/key-names'
import { heldGap, noStrokes, scannerGap, settleStrokes, singleKeyWait, strike, type Found } from '../../src-renderer/keys/scanner'

/** Plays strokes at their times (ms), asking for what has settled between them as the page does. */
const play = (strokes: { key: string; at: number }[]): Found[] => {
  let state = noStrokes
  const found: Found[] = []
  for (const { key, at } of strokes) {
    const settled = settleStrokes(state, at)
    found.push(...settled.found)
    const step = strike(settled.strokes, key, at)
    state = step.strokes
    found.push(...step.found)
  }
  return [...found, ...settleStrokes(state, Number.MAX_SAFE_INTEGER).found]
}

const burst = (text: string, gap: number, from = 1000): { key: string; at: number }[] =>
  [...text, 'Enter'].map((key, index) => ({ key, at: from + index * gap }))

describe('rule 7: a fast burst ending in Enter is a scanner and never a command', () => {
  it('a code that holds every command key does nothing but report itself', () => {
    expect(play(burst(' RSNPE5', 4))).toEqual([{ kind: 'scanned', text: ' RSNPE5' }])
  })

  it('holds for any code of three characters or more at any gap a scanner has', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...'ABRSNP0123456789-. '), { minLength: 3, maxLength: 40 }),
        fc.integer({ min: 0, max: scannerGap - 1 }),
        (characters, gap) => {
          expect(play(burst(characters.join(''), gap))).toEqual([{ kind: 'scanned', text: characters.join('') }])
        },
      ),
    )
  })

  it('two keys bumped together and Enter do nothing', () => {
    expect(play(burst('RS', 10))).toEqual([{ kind: 'ignored', text: 'RS', closed: true }])
  })

  it('a burst without Enter does nothing', () => {
    expect(play(burst('R4417', 8).slice(0, -1))).toEqual([{ kind: 'ignored', text: 'R4417' }])
  })

  it('Shift held by a scanner for capitals does not break its code', () => {
    const strokes = [
      { key: 'Shift', at: 0 },
      { key: 'V', at: 5 },
      { key: 'Shift', at: 10 },
      { key: 'D', at: 15 },
      { key: '7', at: 20 },
      { key: 'Enter', at: 25 },
    ]
    expect(play(strokes)).toEqual([{ kind: 'scanned', text: 'VD7' }])
  })
})

describe('a single key', () => {
  it('acts once it has stood alone, in under 50 ms', () => {
    const { strokes, found, wait } = strike(noStrokes, ' ', 1000)
    expect(found).toEqual([])
    expect(wait).toBe(true)
    expect(settleStrokes(strokes, 1000 + singleKeyWait).found).toEqual([{ kind: 'key', key: ' ' }])
    expect(singleKeyWait).toBeLessThan(50)
    expect(singleKeyWait).toBeGreaterThanOrEqual(scannerGap)
  })

  it('acts at once where a scanner has no such key', () => {
    for (const key of ['ArrowLeft', 'Escape', 'Enter']) expect(strike(noStrokes, key, 5).found).toEqual([{ kind: 'key', key }])
  })

  it('typed at a hand’s pace acts one by one, in order', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom('r', 's', ' ', 'ArrowLeft', 'Enter'), { maxLength: 20 }),
        // Quicker than this the same key again is a key held down.
        fc.integer({ min: heldGap, max: 400 }),
        (keys, gap) => {
          expect(play(keys.map((key, index) => ({ key, at: index * gap })))).toEqual(keys.map((key) => ({ kind: 'key', key })))
        },
      ),
    )
  })
})

describe('a pedal that repeats its key while it is held, without saying so', () => {
  /** Down and up again and again, `rate` times a second. */
  const heldDown = (key: string, rate: number, times: number, from = 1000): { key: string; at: number }[] =>
    Array.from({ length: times }, (_, index) => ({ key, at: from + (index * 1000) / rate }))

  it('is one press at any rate from 15 a second, for a letter, a function key, Enter and a shortcut', () => {
    fc.assert(
      fc.property(fc.constantFrom('b', ' ', 'F13', 'Enter', 'PageDown', 'Ctrl+Alt+k'), fc.integer({ min: 15, max: 200 }),
        fc.integer({ min: 1, max: 60 }), (key, rate, times) => {
        expect(play(heldDown(key, rate, times))).toEqual([{ kind: 'key', key }])
      }),
    )
  })

  it('is one press when its pace wavers around the time in which a scanner types', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 20, max: 66 }), { minLength: 1, maxLength: 40 }), (gaps) => {
        let at = 1000
        const strokes = [{ key: 'b', at }, ...gaps.map((gap) => ({ key: 'b', at: (at += gap) }))]
        expect(play(strokes)).toEqual([{ kind: 'key', key: 'b' }])
      }),
    )
  })

  it('is a new press after a gap', () => {
    expect(play([...heldDown('F13', 30, 20), ...heldDown('F13', 30, 20, 2500)])).toEqual([{ kind: 'key', key: 'F13' },
      { kind: 'key', key: 'F13' }])
  })

  it('leaves a code with the same digit twice whole', () => {
    expect(play(burst('VD-0044', 10))).toEqual([{ kind: 'scanned', text: 'VD-0044' }])
  })
})

describe('shown keys', () => {
  it.each([
    ['Space', ' '],
    ['←', 'ArrowLeft'],
    ['R', 'r'],
    ['R', 'R'],
    ['Enter', 'Enter'],
    ['Esc', 'Escape'],
    ['1', '1'],
  ])('%s is the key %j', (shown, pressed) => {
    expect(isShownKey(shown, pressed)).toBe(true)
  })

  it('another key is not', () => {
    expect(isShownKey('R', 's')).toBe(false)
    expect(isShownKey('Space', 'Enter')).toBe(false)
  })
})
