/** The user's hand on screen: which lead goes down next, and what a click or a key does with leads and dial. */
import { useRef, useState } from 'react'
import { leadPlaced, nextLead, type Hand, type Lead } from '../../src-core/practice/hand'
import type { HandAction, HandView } from '../../src-core/practice/hand-view'
import { useSession } from '../app/session'
import type { Binding } from '../keys/use-keys'

export type UserHand = {
  view: HandView
  /** The lead the next click sets down. */
  lead: Lead
  placeAt: (place: string) => void
  turn: (what: Hand['function']) => void
  act: (action: HandAction) => void
  bindings: Binding[]
}

/** Null where no hand is the user's. */
export const useHand = (view: HandView | undefined): UserHand | null => {
  const { call, say } = useSession()
  const [chosen, choose] = useState<Lead | null>(null)
  /** What was sent last, until it is answered: a second click may come before the first is shown. */
  const sent = useRef<Hand | null>(null)
  if (view === undefined) return null

  const present = (): Hand => sent.current ?? view.hand
  const send = (hand: Hand): void => {
    sent.current = hand
    call('place', hand)
      .catch((error: Error) => say(error.message, 'problem'))
      .finally(() => {
        if (sent.current === hand) sent.current = null
      })
  }
  const placeAt = (place: string): void => {
    const { tips, function: dial } = present()
    const next = leadPlaced(tips, place, chosen ?? nextLead(tips))
    choose(null)
    send({ tips: next, function: dial })
    // With both tips down the keyboard goes back to the bench: the next Space confirms.
    if (nextLead(next) === 'red' && document.activeElement instanceof HTMLElement) document.activeElement.blur()
  }
  const act = (action: HandAction): void => {
    switch (action) {
      case 'red':
      case 'black':
        choose(action)
        return
      case 'lift':
        choose(null)
        send({ ...present(), tips: 'lifted' })
        return
      case 'as-asked':
        choose(null)
        if (view.asked !== null) send({ ...present(), tips: view.asked.tips })
        return
      case 'dial':
        if (view.asked !== null) send({ ...present(), function: view.asked.function })
    }
  }
  const move = (by: 1 | -1): void => {
    const buttons = [...document.querySelectorAll<HTMLButtonElement>('button[data-place]')]
    const at = buttons.findIndex((one) => one === document.activeElement)
    buttons[at < 0 ? (by === 1 ? 0 : buttons.length - 1) : (at + by + buttons.length) % buttons.length]?.focus()
  }
  return {
    view, lead: chosen ?? view.next, placeAt, act,
    turn: (what) => send({ ...present(), function: what }),
    bindings: [
      ...view.keys.map(({ key, action }) => ({ key, run: () => act(action) })),
      { key: '↓', run: () => move(1) },
      { key: '↑', run: () => move(-1) },
    ],
  }
}
