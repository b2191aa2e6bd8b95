/** Below the picture in manual practice: where both leads are, the moves of the hand with their keys, and the dial. */
import type { JSX, MouseEvent } from 'react'
import type { Lead } from '../../src-core/practice/hand'
import type { HandAction } from '../../src-core/practice/hand-view'
import { letGo } from '../keys/let-go'
import { placeName } from './place-name'
import type { UserHand } from './use-hand'

const press = (event: MouseEvent<HTMLElement>, does: () => void): void => {
  letGo(event)
  does()
}

export const HandBar = ({ hand, away }: { hand: UserHand; away: boolean }): JSX.Element => {
  const { view, lead } = hand
  const leadKey = (which: Lead): string => view.keys.find(({ action }) => action === which)?.key ?? ''
  const moves = (...which: HandAction[]): JSX.Element[] =>
    view.keys
      .filter(({ action }) => which.includes(action))
      .map(({ key, does, action }) => (
        <button key={action} type="button" className="key boxed" data-testid={`hand-${action}`} disabled={away} onClick={(event) => press(event, () => hand.act(action))}>
          <kbd>{key}</kbd>
          {does}
        </button>
      ))
  return (
    <div className="hand-bar" role="group" aria-label="Your hand">
      <div className="hand-row">
        {(['red', 'black'] as const).map((which) => (
          <button
            key={which}
            type="button"
            className={`chip hand-lead hand-${which}`}
            data-testid={`hand-${which}`}
            disabled={away}
            aria-pressed={lead === which}
            onClick={(event) => press(event, () => hand.act(which))}
          >
            <kbd>{leadKey(which)}</kbd>
            <svg viewBox="0 0 20 20" aria-hidden="true">
              {which === 'red' ? <circle cx="10" cy="10" r="7.2" /> : <rect x="3" y="3" width="14" height="14" />}
            </svg>
            {which} {view[which] === null ? 'lifted' : `on ${placeName(view[which])}`}
            {lead === which && <span className="unseen">, goes down next</span>}
          </button>
        ))}
        {moves('as-asked', 'lift', 'dial')}
      </div>
      <div className="hand-row">
        <span className="aside" id="hand-dial">Dial</span>
        <div className="hand-dial" role="group" aria-labelledby="hand-dial">
          {view.dial.map((one) => (
            <button
              key={one.function}
              type="button"
              className="chip"
              data-testid={`dial-${one.function}`}
              disabled={away}
              aria-pressed={one.function === view.hand.function}
              onClick={(event) => press(event, () => hand.turn(one.function))}
            >
              {one.words}
            </button>
          ))}
        </div>
      </div>
      <p className="aside hand-help" data-testid="hand-help">
        <kbd>↑</kbd>
        <kbd>↓</kbd>
        choose a place, <kbd>Enter</kbd>
        sets {lead} down<span className="hand-help-more"> there; so does a click</span>
      </p>
    </div>
  )
}
