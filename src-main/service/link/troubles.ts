/** What a meter refused or reported: shown for a while beside the state of the link. */
import type { Seconds } from '../../../src-core/quantity/units'

export type Troubles = {
  /** Changes nothing but the message: hand it to the view. */
  add: (text: string) => Record<string, never>
  /** True when one has stood long enough and is gone. */
  fade: () => boolean
  beside: (message: string | null) => string | null
  forget: () => void
}

const shownSeconds = 30
const mostShown = 3

export const createTroubles = (clock: () => Seconds): Troubles => {
  let shown: { text: string; at: Seconds }[] = []
  return {
    add: (text) => {
      shown = [...shown.filter((each) => each.text !== text), { text, at: clock() }].slice(-mostShown)
      return {}
    },
    fade: () => {
      const before = shown.length
      shown = shown.filter(({ at }) => clock() - at < shownSeconds)
      return shown.length < before
    },
    beside: (message) => {
      const words = [...(message === null ? [] : [message]), ...shown.map(({ text }) => text)]
      return words.length === 0 ? null : words.join(' ')
    },
    forget: () => { shown = [] },
  }
}
