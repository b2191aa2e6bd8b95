/** Every action of this moment with its key; each is a button too. */
import type { JSX } from 'react'
import { useApp } from '../app/session'
import { letGo } from '../keys/let-go'
import type { BenchView } from '../../src-core/run/view'
import type { Action } from './bench-screen'
import { SoundSwitch } from './sound-switch'
import type { Awake } from './use-wake-lock'

type Props = {
  keys: BenchView['keys']
  act: (action: Action) => void
  /** Keys mean something else at the moment. */ away: boolean
  place: string
  awake: Awake
}

const testId = (action: Action): string => (action === 'confirm' || action === 'next-board' ? action : `act-${action}`)

export const KeyLine = ({ keys, act, away, place, awake }: Props): JSX.Element => {
  const wants = useApp((state) => state.live.wants)
  return (
    <footer className="key-line">
      <div role="toolbar" aria-label="Actions and their keys" className="keys">
        {keys.map(({ key, does, action }) => (
          <button
            key={action}
            type="button"
            data-testid={testId(action)}
            disabled={away}
            className={!away && ((wants === 'confirm' || wants === 'press') && action === 'confirm' || wants === 'skip' && action === 'skip' || action === 'same-meter') ? 'key wanted' : 'key'}
            onClick={(event) => {
              letGo(event)
              act(action)
            }}
          >
            <kbd>{key}</kbd>
            {does}
          </button>
        ))}
      </div>
      <span className="grow" />
      {awake === 'refused' && (
        <span className="fact" title="The browser refused to keep the display on; turn its sleep off for this work.">
          display may sleep
        </span>
      )}
      <SoundSwitch away={away} />
      <span className="fact">{place}</span>
    </footer>
  )
}
