/**
 * Tells a key that was pressed from a code that was scanned, and a pedal that is held from one that is pressed again. A scanner types
 * faster than a hand and ends with Enter; what it types is never a command. So a single character waits 40 ms before it counts, long
 * enough for a scanner's next one to give it away and too short to notice; keys a scanner does not send (arrows, F13) count at once,
 * and so does Enter alone. A pedal that repeats its key while it is held, without saying so, is one press until it pauses.
 * Pure: times are passed in, in milliseconds.
 */

/** Characters less than this apart come from a scanner. Common practice, no source. */
export const scannerGap = 35
/** A single character counts after this long without another. */
export const singleKeyWait = 40
/**
 * The same key again within this is a key held down: pedals repeat 15 times a second and more, no foot does. Common practice, no source.
 */
export const heldGap = 100
/** Fewest characters that are reported as a code. */
const shortestCode = 3

/** `key`: the last one that went down. */
export type Strokes = { text: string; last: number; key: string }
export type Found =
  | { kind: 'key'; key: string }
  | { kind: 'scanned'; text: string }
  /** Too fast for a hand, and no code: nothing was done, unless a pedal is bound to just this. */
  | { kind: 'ignored'; text: string; /** Another key ended it, as a scanner's Enter does: no pedal's. */ closed?: true }

export const noStrokes: Strokes = { text: '', last: Number.NEGATIVE_INFINITY, key: '' }

const modifiers = new Set(['Shift', 'Control', 'Alt', 'AltGraph', 'Meta', 'CapsLock', 'NumLock', 'Dead', 'Unidentified'])

const isOneKeyHeld = (text: string): boolean => new Set([...text.toLowerCase()]).size === 1

const leftover = ({ text }: Strokes): Found[] => {
  const [first] = [...text]
  return first === undefined ? [] : isOneKeyHeld(text) ? [{ kind: 'key', key: first }] : [{ kind: 'ignored', text }]
}

/** What is known once `now` is `singleKeyWait` after the last stroke; before that, nothing. */
export const settleStrokes = (strokes: Strokes, now: number): { strokes: Strokes; found: Found[] } =>
  strokes.text === '' || now - strokes.last < singleKeyWait ? { strokes, found: [] }
    : { strokes: { ...strokes, text: '' }, found: leftover(strokes) }

/**
 * One key went down; `key` is its character, or its name with what is held beside it. `fast` says that it belongs to a burst, so that
 * the page must not act on it either; `held` that it repeats the one before; `wait` that `settleStrokes` is to be asked in `singleKeyWait`.
 */
export const strike = (strokes: Strokes, key: string,
  at: number): { strokes: Strokes; found: Found[]; fast: boolean; held: boolean; wait: boolean } => {
  if (modifiers.has(key)) return { strokes, found: [], fast: false, held: false, wait: strokes.text !== '' }
  const fast = strokes.text !== '' && at - strokes.last < scannerGap
  // Inside a burst the same character twice is part of the code.
  if (!fast && key === strokes.key && at - strokes.last < heldGap) {
    return { strokes: { text: '', last: at, key }, found: leftover(strokes), fast: false, held: true, wait: false }
  }
  const before = fast ? [] : leftover(strokes)
  if ([...key].length === 1) {
    return { strokes: { text: fast ? strokes.text + key : key, last: at, key }, found: before, fast, held: false, wait: true }
  }
  if (!fast) return { strokes: { text: '', last: at, key }, found: [...before, { kind: 'key', key }], fast, held: false, wait: false }
  const { text } = strokes
  const code = key === 'Enter' && text.length >= shortestCode
  return { strokes: { text: '', last: at, key }, found: [code ? { kind: 'scanned', text } : { kind: 'ignored', text, closed: true }], fast, held: false,
    wait: false }
}
