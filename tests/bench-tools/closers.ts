/** Whatever a piece of work opens is closed when it ends, well or not, the last opened first. */
/** Notes how to close what was just opened. */
export type Later = (close: () => unknown) => void

export const closeAll = async (closers: (() => unknown)[]): Promise<void> => {
  const problems: unknown[] = []
  for (const close of closers.splice(0)) {
    try {
      await close()
    } catch (error) {
      problems.push(error)
    }
  }
  if (problems.length > 0) throw new AggregateError(problems, `Could not be closed: ${problems.map(String).join('; ')}`)
}

/** Closes when `work` ends. */
export const closeAfter = async <T>(work: (later: Later) => Promise<T>): Promise<T> => {
  const closers: (() => unknown)[] = []
  try {
    return await work((close) => { closers.unshift(close) })
  } finally {
    await closeAll(closers)
  }
}
