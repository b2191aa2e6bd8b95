/** Pedals: whatever one sends is recognised as bound, and a scanner's code never is. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { plainPress, type KeyPress } from '../../src-core/settings/key-press'
import { addPress, burstBound, commandsInText, noRow, pressOf, strokeOf, togetherGap, type KeyDown } from '../../src-renderer/keys/pedal'
import { noStrokes, scannerGap, settleStrokes, strike, type Found } from '../../src-renderer/keys/scanner'

const down = (key: string, change: Partial<KeyDown> = {}): KeyDown => ({ key, ctrlKey: false, altKey: false, shiftKey: false,
  metaKey: false, altGraph: false, ...change })
const ctrlAlt = (key: string): KeyPress => ({ ...plainPress(key), ctrl: true, alt: true })

describe('what a pedal sends', () => {
  it('is nothing while only Shift, Ctrl or Alt is down', () => {
    expect(['Shift', 'Control', 'Alt', 'Meta', 'AltGraph'].map((key) => pressOf(down(key)))).toEqual([null, null, null, null, null])
  })

  it('keeps the keys held beside it, but for AltGr, which stands in its character', () => {
    expect(pressOf(down('k', { ctrlKey: true, altKey: true }))).toEqual(ctrlAlt('k'))
    expect(pressOf(down('@', { ctrlKey: true, altKey: true, altGraph: true }))).toEqual(plainPress('@'))
  })

  it.each([['F13', true], ['F24', true], ['PageDown', true], ['MediaPlayPause', true], ['b', false], [' ', false], ['Enter', false],
    ['ArrowLeft', false], ['Escape', false], ['Home', false]] as const)(
    '%s commands while text is typed: %s', (key, expected) => expect(commandsInText(plainPress(key))).toBe(expected))
})

describe('several presses sent at once', () => {
  const pair = { presses: [plainPress('F13'), plainPress('F14')], name: 'pair' }
  const single = { presses: [plainPress('F15')], name: 'single' }

  it('are one command when they come together, whichever comes before', () => {
    const one = addPress(noRow, plainPress('F13'), 1000, [pair, single])
    expect(one).toMatchObject({ bound: null, part: true })
    expect(addPress(one.row, plainPress('F14'), 1010, [pair, single]).bound).toBe(pair)
  })

  it('are none when they come apart, or the other way round', () => {
    const one = addPress(noRow, plainPress('F13'), 1000, [pair])
    expect(addPress(one.row, plainPress('F14'), 1000 + togetherGap, [pair]).bound).toBeNull()
    const other = addPress(noRow, plainPress('F14'), 1000, [pair])
    expect(addPress(other.row, plainPress('F13'), 1010, [pair]).bound).toBeNull()
  })

  it('a letter in either case, or the same letters in a burst', () => {
    const letters = { presses: [plainPress('q'), plainPress('z')] }
    expect(burstBound('qz', [letters])).toBe(letters)
    expect(burstBound('QZ', [letters])).toBe(letters)
    expect(burstBound('qzq', [letters])).toBeNull()
  })
})

/** What the page would do with a burst: nothing but a key or a bound burst is a command. */
const commandsOf = (characters: string, gap: number, bound: { presses: KeyPress[] }[]): string[] => {
  let strokes = noStrokes
  const found: Found[] = []
  for (const [index, key] of [...characters, 'Enter'].entries()) {
    const step = strike(strokes, strokeOf(plainPress(key)), 1000 + index * gap)
    strokes = step.strokes
    found.push(...step.found)
  }
  found.push(...settleStrokes(strokes, Number.MAX_SAFE_INTEGER).found)
  return found.flatMap((one) => {
    if (one.kind === 'key') return bound.some(({ presses }) => presses.length === 1
      && presses[0]?.key.toLowerCase() === one.key.toLowerCase()) ? [one.key] : []
    return one.kind === 'ignored' && one.closed !== true && burstBound(one.text, bound) !== null ? [one.text] : []
  })
}

describe('rule 7: a fast burst ending in Enter is a scanner and never a command, whatever is bound', () => {
  it.each([
    ['a pedal bound to Enter', [{ presses: [plainPress('Enter')] }]],
    ['a pedal bound to b', [{ presses: [plainPress('b')] }]],
    ['a pedal bound to letters', [{ presses: [plainPress('v'), plainPress('d')] }]],
  ])('%s', (_name, bound) => {
    fc.assert(fc.property(fc.array(fc.constantFrom(...'bBvdVD0123-'), { minLength: 1, maxLength: 30 }),
      fc.integer({ min: 0, max: scannerGap - 1 }), (characters, gap) => {
      expect(commandsOf(characters.join(''), gap, bound)).toEqual([])
    }))
  })

  it('the pedal bound to Enter commands when it comes alone', () => {
    expect(commandsOf('', 0, [{ presses: [plainPress('Enter')] }])).toEqual(['Enter'])
  })
})
