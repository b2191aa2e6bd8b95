/** The next board in one key: its serial number typed, scanned or left empty. */
import type { JSX, RefObject } from 'react'
import type { Action } from '../bench/bench-screen'
import type { BenchView } from '../../src-core/run/view'

type Props = {
  keys: BenchView['keys']
  practice: boolean
  /** No press arrives at the moment. */
  away: boolean
  field: RefObject<HTMLInputElement | null>
  serialNumber: string
  /** Of the job: what is started where the field stays empty; null: none. */
  ofJob: string | null
  setSerialNumber: (text: string) => void
  start: (serialNumber: string) => void
  otherRevision: () => void
  act: (action: Action) => void
}

export const NextBoard = ({ keys, practice, away, field, serialNumber, ofJob, setSerialNumber, start, otherRevision, act }: Props): JSX.Element => {
  const next = keys.find(({ action }) => action === 'next-board')
  return (
    <>
      {next !== undefined && <form
        className="next-board"
        onSubmit={(event) => {
          event.preventDefault()
          if (!away) start(serialNumber)
        }}
      >
        {!practice && (
          <label>
            Serial number of the next board
            <input
              ref={field}
              data-testid="serial-number"
              value={serialNumber}
              maxLength={80}
              placeholder={ofJob ?? 'may stay empty'}
              autoComplete="off"
              onChange={(event) => setSerialNumber(event.target.value)}
              onKeyDown={({ key }) => { if (key === 'ArrowDown' && !away) otherRevision() }}
            />
          </label>
        )}
        <button type="submit" className="key wanted" data-testid="next-board" disabled={away}>
          <kbd>{next.key}</kbd>
          {next.does}
        </button>
      </form>}
      {keys
        .filter(({ action }) => action !== 'next-board')
        .map(({ key, does, action }) => (
          <button key={action} type="button" className="key" data-testid={`act-${action}`} disabled={away} onClick={() => act(action)}>
            <kbd>{key}</kbd>
            {does}
          </button>
        ))}
    </>
  )
}
