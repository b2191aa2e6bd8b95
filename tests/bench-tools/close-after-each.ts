/** Whatever a test opens is closed when it ends, passed or failed, the last opened first. */
import { afterEach } from 'vitest'
import { closeAll, type Later } from './closers'

/** To be called once in a test file; what is returned notes how to close what was just opened. */
export const closeAfterEach = (): Later => {
  const closers: (() => unknown)[] = []
  afterEach(() => closeAll(closers))
  return (close) => { closers.unshift(close) }
}
