/** Recognises what a key or a pedal was bound to: one press, or the several presses that some pedals send at once. Pure. */
import { isCharacter, isHeldKey, samePress, type KeyPress } from '../../src-core/settings/key-press'

/** Presses of one pedal come closer together than this, in ms. Common practice, no source. */
export const togetherGap = 150

/** The event without its page; AltGraph stands in the character it makes. */
export type KeyDown = Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'altKey' | 'shiftKey' | 'metaKey'> & { altGraph: boolean }

/** Null for a key that is only held while another is pressed. */
export const pressOf = ({ key, ctrlKey, altKey, shiftKey, metaKey, altGraph }: KeyDown): KeyPress | null =>
  isHeldKey(key) ? null : { key, ctrl: ctrlKey && !altGraph, alt: altKey && !altGraph, shift: shiftKey, meta: metaKey }

export const pressOfEvent = (event: KeyboardEvent): KeyPress | null => {
  const { key, ctrlKey, altKey, shiftKey, metaKey } = event
  return pressOf({ key, ctrlKey, altKey, shiftKey, metaKey, altGraph: event.getModifierState('AltGraph') })
}

/** How the scanner's eye sees a press: a character as it is, anything else by its name with what is held beside it. */
export const strokeOf = (press: KeyPress): string =>
  isCharacter(press) ? press.key
    : `${press.ctrl ? 'Ctrl+' : ''}${press.alt ? 'Alt+' : ''}${press.meta ? 'Meta+' : ''}${press.shift ? 'Shift+' : ''}${press.key}`

/** Presses that may still become a bound sequence, newest last. */
export type Row = { presses: readonly KeyPress[]; last: number }
export const noRow: Row = { presses: [], last: Number.NEGATIVE_INFINITY }

export type Bound = { presses: readonly KeyPress[] }

const endsWith = (row: readonly KeyPress[], presses: readonly KeyPress[]): boolean =>
  row.length >= presses.length && presses.every((press, index) =>
    { const one = row[row.length - presses.length + index]; return one !== undefined && samePress(one, press) })

/** @returns the longest binding these presses complete, if any; `part`: they are inside a longer one and mean nothing by themselves yet. */
export const addPress = <B extends Bound>(row: Row, press: KeyPress, at: number,
  bindings: readonly B[]): { row: Row; bound: B | null; part: boolean } => {
  const presses = [...(at - row.last < togetherGap ? row.presses : []), press].slice(-4)
  const [bound = null] = bindings.filter((each) => endsWith(presses, each.presses)).sort((a, b) => b.presses.length - a.presses.length)
  const part = bound === null && bindings.some((each) => each.presses.length > 1 && each.presses.some((one) => samePress(one, press)))
  return { row: bound === null ? { presses, last: at } : noRow, bound, part }
}

/** Several characters sent in one burst. */
export const burstBound = <B extends Bound>(text: string, bindings: readonly B[]): B | null =>
  bindings.find(({ presses }) => presses.length > 1 && presses.every(isCharacter)
    && presses.map(({ key }) => key.toLowerCase()).join('') === text.toLowerCase()) ?? null

/** Keys with a use of their own while text is typed. */
const editing = new Set(['Enter', 'Backspace', 'Delete', 'ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown', 'Home', 'End', 'Insert', 'Tab',
  'Escape', 'ContextMenu'])

/** A press that types nothing and edits nothing: it is a command in a text field too. */
export const commandsInText = (press: KeyPress): boolean => !isCharacter(press) && !press.ctrl && !press.meta && !press.alt
  && !editing.has(press.key)
