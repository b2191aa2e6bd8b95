/** The state line as this page may show it: never more than the page knows. */
import type { LinkView } from '../../src-core/contract'
import type { LiveView } from '../../src-core/run/view'

type Shown = Pick<LiveView, 'state' | 'tone' | 'wants'>

/** A meter that nobody connected is not coming back by itself, and an app that is lost says nothing. */
export const stateShown = (live: LiveView, link: Pick<LinkView, 'status'>, lost: boolean): Shown => {
  if (lost) return { state: 'not live any more', tone: 'stop', wants: 'nothing' }
  if (link.status === 'closed' && live.tone === 'stop' && live.wants === 'nothing') return { ...live, state: 'no meter is connected' }
  return live
}
