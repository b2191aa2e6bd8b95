/** Cuts long work into pieces: between two of them the loop turns, and the serial line is served. */

/** Well under the 5 ms that the loop may be held up, as a piece may overrun. */
const mostMs = 1.5

/** Lets the loop turn once. */
export const nextTurn = (): Promise<void> => new Promise((resolve) => { setImmediate(resolve) })

export type Turn = () => Promise<void>

/** Resolves at once while the present piece is short, else after a turn of the loop. One for each piece of work. */
export const createTurns = (): Turn => {
  let since = performance.now()
  return async () => {
    if (performance.now() - since < mostMs) return
    await nextTurn()
    since = performance.now()
  }
}
