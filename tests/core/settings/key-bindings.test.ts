/** Bindings: any key or pedal, unless it is needed for something else; and then it is said for what. */
import { describe, expect, it } from 'vitest'
import { benchSettings, usualBenchSettings } from '../../../src-core/settings/bench-settings'
import { actionWords, benchKeys, bindingProblems, boundAction, keyFor, usualKeys, withBinding, type BoundAction,
  type KeyBinding } from '../../../src-core/settings/key-bindings'
import { plainPress, pressesInWords, pressInWords, samePress, withoutRepeats, type KeyPress } from '../../../src-core/settings/key-press'

const bind = (action: BoundAction, ...keys: (string | KeyPress)[]): KeyBinding =>
  ({ action, presses: keys.map((key) => (typeof key === 'string' ? plainPress(key) : key)) })
const withCtrlAlt = (key: string): KeyPress => ({ ...plainPress(key), ctrl: true, alt: true })

describe('a binding that can stand', () => {
  it.each(Array.from({ length: 12 }, (_, index) => `F${index + 13}`))('%s for every action', (key) => {
    for (const action of boundAction.options) expect(bindingProblems([bind(action, key)])).toEqual([])
  })

  it.each([
    ['Page Down', bind('confirm', 'PageDown')], ['a media key', bind('next-board', 'MediaPlayPause')],
      ['the letter b', bind('confirm', 'b')], ['Enter', bind('confirm', 'Enter')],
    ['a shortcut', bind('skip', withCtrlAlt('k'))], ['two keys at once', bind('again', 'F13', 'F14')],
      ['two letters at once', bind('pause', 'q', 'z')],
    ['its own usual key', bind('confirm', ' ')],
  ])('%s', (_name, binding) => expect(bindingProblems([binding])).toEqual([]))

  it('one pedal may confirm and go on to the next board: the two never stand on the bench together', () => {
    expect(bindingProblems([bind('confirm', 'F13'), bind('next-board', 'F13')])).toEqual([])
  })
})

describe('a binding that cannot stand is refused in plain words', () => {
  it.each([
    ['the same key twice', [bind('confirm', 'F13'), bind('back', 'F13')],
      /F13 is bound to “confirm” and “back”\. One key does one thing\./],
    ['Tab', [bind('confirm', 'Tab')], /Tab cannot be bound: it moves from one control to the next/],
    ['Esc', [bind('confirm', 'Escape')], /Esc cannot be bound: it leaves what is open/],
    ['the usual key of another action', [bind('confirm', 'r')], /R is the usual key for “measure again”/],
    ['the arrow of back, for skip', [bind('skip', 'ArrowLeft')], /← is the usual key for “back”/],
    ['Space for pause', [bind('pause', ' ')], /Space is the usual key for “confirm”/],
    ['the key that ends a run', [bind('note', 'E')], /E is taken: it is the key for “end the run”/],
    ['a digit', [bind('confirm', '3')], /3 is needed to choose a reason/],
    ['a letter where a serial number is typed', [bind('next-board', 'b')], /B is needed for typing a serial number/],
    ['a letter for back', [bind('back', 'b')], /B is needed for typing a serial number/],
    ['a shortcut the browser keeps', [bind('confirm', { ...plainPress('w'), ctrl: true })], /Ctrl\+W is kept by the browser/],
    ['letters ending in Enter', [bind('confirm', 'b', 'Enter')], /a scanner never commands/],
    ['letters mixed with keys', [bind('confirm', 'F13', 'b')], /mixes letters with other keys/],
    ['one pedal inside another', [bind('confirm', 'F13'), bind('skip', 'F13', 'F14')], /could not be told apart/],
    ['an arrow inside several', [bind('confirm', 'ArrowLeft', 'F14')], /contains ←, which is a key of its own/],
  ])('%s', (_name, bindings, words) => {
    expect(bindingProblems(bindings).join(' ')).toMatch(words)
  })

  it('no usual key of one action can be bound to another', () => {
    for (const action of boundAction.options) {
      for (const other of boundAction.options) {
        const shares = action === other || [action, other].toSorted().join() === 'confirm,next-board'
        expect(bindingProblems([{ action, presses: [usualKeys[other]] }]).length === 0, `${action} on the key of ${other}`).toBe(shares)
      }
    }
  })
})

describe('the key line', () => {
  const shown = [
    { key: 'Space', does: 'confirm open', action: 'confirm' as const }, { key: 'S', does: 'skip', action: 'skip' as const },
    { key: 'E', does: 'end', action: 'end' as const }, { key: 'V', does: 'say again', action: 'say-again' as const },
  ]
  it('shows the bound key, and keeps the usual one working', () => {
    const [confirm, skip] = benchKeys(shown, [bind('confirm', 'F13')], true)
    expect(confirm).toMatchObject({ key: 'F13', usual: 'Space', does: 'confirm open' })
    expect(skip).toMatchObject({ key: 'S', usual: 'S', presses: null })
  })
  it('offers to say again only where something speaks', () => {
    expect(benchKeys(shown, [], false).map(({ action }) => action)).toEqual(['confirm', 'skip', 'end'])
  })
  it('answers “same meter” with what confirms, and resumes with what pauses', () => {
    const bindings = [bind('confirm', 'F13'), bind('pause', 'F14')]
    expect(benchKeys([{ key: 'Space', does: 'same meter', action: 'same-meter' }, { key: 'P', does: 'resume', action: 'resume' }], bindings,
      true).map(({ key }) => key)).toEqual(['F13', 'F14'])
  })
  it('one binding an action: a new one takes the old one’s place', () => {
    const bindings = withBinding([bind('confirm', 'F13'), bind('skip', 'F14')], bind('confirm', 'F15'))
    expect(keyFor('confirm', bindings).presses).toEqual([plainPress('F15')])
    expect(bindings).toHaveLength(2)
  })
})

describe('presses in words', () => {
  it.each([[plainPress(' '), 'Space'], [plainPress('PageDown'), 'Page Down'], [plainPress('b'), 'B'], [withCtrlAlt('k'), 'Ctrl+Alt+K'],
    [{ ...plainPress('F13'), shift: true }, 'Shift+F13']])(
    '%j is %s', (press, words) => expect(pressInWords(press)).toBe(words))
  it('names several one after the other', () => expect(pressesInWords([plainPress('F13'), plainPress('F14')])).toBe('F13 F14'))
  it('takes a letter in either case as the same, and a named key with Shift as another', () => {
    expect(samePress(plainPress('b'), { ...plainPress('B'), shift: true })).toBe(true)
    expect(samePress(plainPress('F13'), { ...plainPress('F13'), shift: true })).toBe(false)
  })
  it('a pedal held down is bound as one press', () => {
    expect(withoutRepeats(Array.from({ length: 20 }, () => plainPress('b')))).toEqual([plainPress('b')])
  })
  it('every action has its words', () => expect(boundAction.options.every((action) => actionWords[action] !== '')).toBe(true))
})

describe('the settings of a bench', () => {
  it('as they come, are such settings', () => expect(benchSettings.parse(usualBenchSettings)).toEqual(usualBenchSettings))
  it.each([
    ['a rate nobody could follow', { ...usualBenchSettings, speech: { ...usualBenchSettings.speech, rate: 9 } }],
    ['a tone that is not there', { ...usualBenchSettings, sound: { ...usualBenchSettings.sound,
      tones: { ...usualBenchSettings.sound.tones, siren: true } } }],
    ['a tone left out', { ...usualBenchSettings, sound: { ...usualBenchSettings.sound, tones: { contact: true } } }],
    ['an action that is not there', { ...usualBenchSettings, keys: [{ action: 'explode', presses: [plainPress('F13')] }] }],
    ['a binding to nothing', { ...usualBenchSettings, keys: [{ action: 'confirm', presses: [] }] }],
    ['something else beside', { ...usualBenchSettings, more: 1 }],
  ])('refuse %s', (_name, settings) => expect(benchSettings.safeParse(settings).success).toBe(false))
})
