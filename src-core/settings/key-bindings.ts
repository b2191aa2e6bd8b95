/** Which key or pedal does what beside the usual keys, and what speaks against a binding, in plain words. */
import { z } from 'zod'
import type { BenchView } from '../run/view'
import { isCharacter, keyPress, plainPress, pressesInWords, pressInWords, samePress, samePresses, type KeyPress } from './key-press'

type ShownKey = BenchView['keys'][number]

export const boundAction = z.enum(['confirm', 'again', 'back', 'skip', 'note', 'pause', 'found', 'finish', 'say-again', 'next-board'])
export type BoundAction = z.infer<typeof boundAction>

export const keyBinding = z.strictObject({ action: boundAction, presses: z.array(keyPress).min(1).max(4) })
export type KeyBinding = z.infer<typeof keyBinding>

export const actionWords: Record<BoundAction, string> = {
  confirm: 'confirm', again: 'measure again', back: 'back', skip: 'skip', note: 'note', pause: 'pause and resume', found: 'found damage', finish: 'last point of a walk',
  'say-again': 'say again', 'next-board': 'next board',
}

/** The keys that always work, as the bench shows them. */
export const usualKeys: Record<BoundAction, KeyPress> = {
  confirm: plainPress(' '), again: plainPress('r'), back: plainPress('ArrowLeft'), skip: plainPress('s'), note: plainPress('n'),
  pause: plainPress('p'),
  found: plainPress('f'), finish: plainPress('g'), 'say-again': plainPress('v'), 'next-board': plainPress('Enter'),
}

/** Further keys the bench has a use for. */
const otherUses: readonly [KeyPress, string][] = [
  [plainPress('e'), 'end the run'], [plainPress('x'), 'another meter'], [plainPress('t'), 'go on without the meter'],
  [plainPress('k'), 'sound and keys'], [plainPress('w'), 'why the next placement'], [plainPress('m'), 'measure elsewhere'],
]
/** Keys that always do the same and take no pedal, with what they do. */
export const fixedKeys: readonly { key: string; does: string }[] = [
  ...otherUses.map(([press, does]) => ({ key: pressInWords(press), does })),
  { key: 'A', does: 'leads as asked, practising by hand' }, { key: 'L', does: 'lift the leads, practising by hand' },
  { key: 'D', does: 'turn the dial, practising by hand' }, { key: '1', does: 'red lead, practising by hand' },
  { key: '2', does: 'black lead, practising by hand' }, { key: '1 to 9', does: 'a reason by its number' },
]

const reserved: readonly [KeyPress, string][] = [
  [plainPress('Tab'), 'moves from one control to the next'],
  [{ ...plainPress('Tab'), shift: true }, 'moves from one control to the one before'],
  [plainPress('Escape'), 'leaves what is open'],
]
/** Shortcuts a browser or a desktop keeps to itself: a page is never told of them. From memory. */
const keptBack = (press: KeyPress): boolean =>
  ((press.ctrl || press.meta) && /^[wtnq]$/i.test(press.key)) || (press.alt && (press.key === 'F4' || press.key === 'Tab'))

/** These two never stand on the bench at the same moment, so one pedal can do both. */
const mayShare = (a: BoundAction, b: BoundAction): boolean => [a, b].includes('confirm') && [a, b].includes('next-board')

/** Where a serial number is typed without going to its field, a character cannot be a command. */
const whileTyping: readonly BoundAction[] = ['back', 'next-board']

const oneKey = 'Set the pedal to one key, such as F13.'
const anotherKey = 'Set the pedal to another key, such as F13.'

const problemAlone = ({ action, presses }: KeyBinding): string | null => {
  const words = pressesInWords(presses)
  const [first] = presses
  if (first === undefined) return null
  const kept = presses.find(keptBack)
  if (kept !== undefined) return `${pressInWords(kept)} is kept by the browser or the desktop and never reaches the app. ${anotherKey}`
  const fixed = reserved.find(([press]) => presses.some((each) => samePress(each, press)))
  if (fixed !== undefined) return `${pressInWords(fixed[0])} cannot be bound: it ${fixed[1]}. ${anotherKey}`
  if (presses.length > 1) return problemOfSeveral(presses)
  const other = otherUses.find(([press]) => samePress(press, first))
  if (other !== undefined) return `${words} is taken: it is the key for “${other[1]}”.`
  if (isCharacter(first) && /^[0-9]$/.test(first.key)) return `${words} is needed to choose a reason by its number.`
  if (isCharacter(first) && first.key !== ' ' && whileTyping.includes(action) && !samePress(usualKeys[action], first)) {
    return `${words} is needed for typing a serial number at the end of a run. For “${actionWords[action]}” `
      + 'set the pedal to a key that types nothing, such as F13.'
  }
  return null
}

const problemOfSeveral = (presses: readonly KeyPress[]): string | null => {
  const words = pressesInWords(presses)
  if (presses.some((press) => press.key === 'Enter')) {
    return `${words} ends as a scanner's code does, and a scanner never commands. ${oneKey}`
  }
  if (presses.some(isCharacter) && !presses.every(isCharacter)) return `${words} mixes letters with other keys. ${oneKey}`
  const used = [...Object.entries(usualKeys).map(([action, press]): [KeyPress, string] => [press, action]), ...otherUses]
  const [hit] = used.filter(([press]) => !isCharacter(press) && presses.some((each) => samePress(each, press)))
  return hit === undefined ? null
    : `${words} contains ${pressInWords(hit[0])}, which is a key of its own. ${oneKey}`
}

const problemWithUsual = ({ action, presses }: KeyBinding): string | null => {
  const [only] = presses
  if (only === undefined || presses.length > 1) return null
  const taken = boundAction.options.find((other) => other !== action && !mayShare(action, other) && samePress(usualKeys[other], only))
  return taken === undefined ? null : `${pressInWords(only)} is the usual key for “${actionWords[taken]}”. One key does one thing.`
}

const problemBetween = (a: KeyBinding, b: KeyBinding): string | null => {
  const both = `“${actionWords[a.action]}” and “${actionWords[b.action]}”`
  if (samePresses(a.presses, b.presses)) {
    return a.action === b.action || mayShare(a.action, b.action) ? null
      : `${pressesInWords(a.presses)} is bound to ${both}. One key does one thing.`
  }
  const [shorter, longer] = a.presses.length < b.presses.length ? [a, b] : [b, a]
  const [one] = shorter.presses
  if (shorter.presses.length > 1 || one === undefined || isCharacter(one)
    || !longer.presses.some((press) => samePress(press, one))) return null
  return `${pressInWords(one)} is bound by itself and is part of ${pressesInWords(longer.presses)}: ${both} could not be told apart.`
}

/** Why these bindings cannot stand, one sentence each; none: they can. */
export const bindingProblems = (bindings: readonly KeyBinding[]): string[] => [
  ...bindings.flatMap((binding) => [problemAlone(binding) ?? problemWithUsual(binding)].filter((each) => each !== null)),
  ...bindings.flatMap((a, index) => bindings.slice(index + 1).flatMap((b) => [problemBetween(a, b)].filter((each) => each !== null))),
]

/** One binding an action: the new presses in place of what it had. */
export const withBinding = (bindings: readonly KeyBinding[], binding: KeyBinding): KeyBinding[] =>
  [...bindings.filter(({ action }) => action !== binding.action), binding]

const boundAs: Partial<Record<ShownKey['action'], BoundAction>> = {
  confirm: 'confirm', 'same-meter': 'confirm', again: 'again', back: 'back', skip: 'skip', note: 'note', pause: 'pause', resume: 'pause',
  found: 'found', finish: 'finish',
  'say-again': 'say-again', 'next-board': 'next-board',
}

/** A key as the key line shows it, with the key that always works and what is bound beside it. */
export type BenchKey = ShownKey & { usual: string; presses: KeyPress[] | null }

/** The keys of this moment with what the shop has bound; the bound key is the one shown. @param speaks there is a voice to say it again. */
export const benchKeys = (keys: readonly ShownKey[], bindings: readonly KeyBinding[], speaks: boolean): BenchKey[] =>
  keys.filter(({ action }) => speaks || action !== 'say-again').map((shown) => {
    const action = boundAs[shown.action]
    const presses = bindings.find((binding) => binding.action === action)?.presses ?? null
    return { ...shown, usual: shown.key, presses, key: presses === null ? shown.key : pressesInWords(presses) }
  })

/** The usual key of one action, and what is bound beside it. */
export const keyFor = (action: BoundAction, bindings: readonly KeyBinding[]): { usual: string; presses: KeyPress[] | null } =>
  ({ usual: pressInWords(usualKeys[action]), presses: bindings.find((binding) => binding.action === action)?.presses ?? null })
