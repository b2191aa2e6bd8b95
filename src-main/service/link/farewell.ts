/** Leaves a meter: what the app set is put back first, within a few seconds; then the port is closed. */
import type { Conversation } from './conversation'
import type { BytePort } from './open-port'

/** A meter that is slower is left as it is. */
const patienceMs = 4000

/** @param gone nothing can be said over the port any more. Null where nothing had to be waited for. */
export const takeLeave = (talk: Conversation, port: BytePort | null, gone: boolean): Promise<void> | null => {
  const putBack = port === null || gone ? null : talk.leave()
  const end = (): void => {
    talk.close()
    port?.close()
  }
  if (putBack === null) {
    end()
    return null
  }
  let late: NodeJS.Timeout | undefined
  const tooLate = new Promise<void>((resolve) => { late = setTimeout(resolve, patienceMs) })
  return Promise.race([putBack, tooLate]).then(() => {
    clearTimeout(late)
    end()
    return port?.freed
  })
}
