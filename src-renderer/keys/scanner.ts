/**
 * Tells a key that was pressed from a code that was scanned. A scanner types faster than a hand and ends with Enter; what it
 * types is never a command. So a single character waits 40 ms before it counts, long enough for a scanner's next one to
 * give it away and too short to notice; keys a scanner does not send (arrows, Escape) count at once, and so does Enter alone.
 * Pure: times are passed in, in milliseconds.
 */

/** Characters less than this apart come from a scanner. Common practice, no source. */
export const scannerGap = 35
/** A single character counts after this long without another. */
export const singleKeyWait = 40
/** Fewest characters that are reported as a code. */
const shortestCode = 3

export type Strokes = { text: string; last: number }
export type Found =
  | { kind: 'key'; key: string }
  | { kind: 'scanned'; text: string }
  /** Too fast for a hand, and no code: nothing was done. */
  | { kind: 'ignored'; text: string }

export const noStrokes: Strokes = { text: '', last: Number.NEGATIVE_INFINITY }

const modifiers = new Set(['Shift', 'Control', 'Alt', 'AltGraph', 'Meta', 'CapsLock', 'NumLock', 'Dead', 'Unidentified'])

const leftover = ({ text }: Strokes): Found[] =>
  text === '' ? [] : text.length === 1 ? [{ kind: 'key', key: text }] : [{ kind: 'ignored', text }]

/** What is known once `now` is `singleKeyWait` after the last stroke; before that, nothing. */
export const settleStrokes = (strokes: Strokes, now: number): { strokes: Strokes; found: Found[] } =>
  strokes.text === '' || now - strokes.last < singleKeyWait ? { strokes, found: [] } : { strokes: noStrokes, found: leftover(strokes) }

/**
 * One key went down. `fast` says that it belongs to a burst, so that the page must not act on it either;
 * `wait` that `settleStrokes` is to be asked in `singleKeyWait`.
 */
export const strike = (strokes: Strokes, key: string, at: number): { strokes: Strokes; found: Found[]; fast: boolean; wait: boolean } => {
  if (modifiers.has(key)) return { strokes, found: [], fast: false, wait: strokes.text !== '' }
  const fast = strokes.text !== '' && at - strokes.last < scannerGap
  const before = fast ? [] : leftover(strokes)
  if ([...key].length === 1) {
    return { strokes: { text: fast ? strokes.text + key : key, last: at }, found: before, fast, wait: true }
  }
  if (!fast) return { strokes: noStrokes, found: [...before, { kind: 'key', key }], fast, wait: false }
  const { text } = strokes
  const code = key === 'Enter' && text.length >= shortestCode
  return { strokes: noStrokes, found: [code ? { kind: 'scanned', text } : { kind: 'ignored', text }], fast, wait: false }
}
