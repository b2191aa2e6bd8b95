/** Sends the live line often enough to look live and no oftener; at once when something was recorded. */
import type { LiveView } from '../../src-core/run/view'
import type { Seconds } from '../../src-core/quantity/units'

export type LiveLine = { now: () => void; soon: () => void; /** When it has stood for this long. */ ifOlder: (seconds: number) => void; stop: () => void }

const everySeconds = 0.05

export const createLiveLine = (clock: () => Seconds, view: () => LiveView, send: (live: LiveView) => void): LiveLine => {
  let due: NodeJS.Timeout | null = null
  let sent = 0
  const now = (): void => {
    if (due !== null) clearTimeout(due)
    due = null
    sent = clock()
    send(view())
  }
  return {
    now,
    soon: () => {
      if (due !== null) return
      const wait = sent + everySeconds - clock()
      if (wait <= 0) now()
      else due = setTimeout(now, wait * 1000)
    },
    ifOlder: (seconds) => { if (clock() - sent > seconds) now() },
    stop: () => { if (due !== null) clearTimeout(due) },
  }
}
