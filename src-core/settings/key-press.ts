/** One press of a key or a pedal as the keyboard reports it, with its name in words. A pedal is a keyboard with one key. */
import { z } from 'zod'

export const keyPress = z.strictObject({
  /** As KeyboardEvent.key names it: " ", "b", "F13", "PageDown". */
  key: z.string().min(1).max(32),
  ctrl: z.boolean(), alt: z.boolean(), shift: z.boolean(), meta: z.boolean(),
})
export type KeyPress = z.infer<typeof keyPress>

export const plainPress = (key: string): KeyPress => ({ key, ctrl: false, alt: false, shift: false, meta: false })

/** One character: what is typed in a text field, and what a scanner sends. */
export const isCharacter = (press: KeyPress): boolean => [...press.key].length === 1 && !press.ctrl && !press.alt && !press.meta

/** Keys that are held while another is pressed, and those that no keyboard names. */
const heldKeys = new Set([
  'Shift', 'Control', 'Alt', 'AltGraph', 'Meta', 'CapsLock', 'NumLock', 'ScrollLock', 'Dead', 'Unidentified', 'Process',
])
export const isHeldKey = (key: string): boolean => heldKeys.has(key)

/** Letters count in either case; Shift counts only where it does not already stand in the character. */
const signature = (press: KeyPress): string => [
  press.ctrl ? 'ctrl' : '', press.alt ? 'alt' : '', press.meta ? 'meta' : '', press.shift && !isCharacter(press) ? 'shift' : '',
  press.key.toLowerCase(),
].join(' ')

export const samePress = (a: KeyPress, b: KeyPress): boolean => signature(a) === signature(b)

export const samePresses = (a: readonly KeyPress[], b: readonly KeyPress[]): boolean =>
  a.length === b.length && a.every((press, index) => { const other = b[index]; return other !== undefined && samePress(press, other) })

const named: Record<string, string> = {
  ' ': 'Space', ArrowLeft: '←', ArrowRight: '→', ArrowUp: '↑', ArrowDown: '↓', PageDown: 'Page Down', PageUp: 'Page Up', Escape: 'Esc',
  MediaPlayPause: 'Play/Pause', MediaTrackNext: 'Next Track', MediaTrackPrevious: 'Previous Track', MediaStop: 'Media Stop',
  AudioVolumeUp: 'Volume Up', AudioVolumeDown: 'Volume Down', AudioVolumeMute: 'Mute',
}

/** "F13", "Ctrl+Alt+K", "Page Down". */
export const pressInWords = (press: KeyPress): string => [
  ...(press.ctrl ? ['Ctrl'] : []), ...(press.alt ? ['Alt'] : []), ...(press.meta ? ['Meta'] : []),
  ...(press.shift && !isCharacter(press) ? ['Shift'] : []),
  named[press.key] ?? ([...press.key].length === 1 ? press.key.toUpperCase() : press.key),
].join('+')

/** "F13", or "F13 F14" for a pedal that sends several presses. */
export const pressesInWords = (presses: readonly KeyPress[]): string => presses.map(pressInWords).join(' ')

/** A held pedal that repeats itself is one press: neighbours that are the same are taken as one. */
export const withoutRepeats = (presses: readonly KeyPress[]): KeyPress[] =>
  presses.filter((press, index) => { const before = presses[index - 1]; return before === undefined || !samePress(before, press) })
