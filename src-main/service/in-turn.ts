/** Work that must not overlap: each piece begins when the one before it has ended, well or badly. */
export type InTurn = <T>(work: () => Promise<T>) => Promise<T>

export const createInTurn = (): InTurn => {
  let before: Promise<unknown> = Promise.resolve()
  return (work) => {
    const own = before.then(work)
    before = own.catch(() => null)
    return own
  }
}
