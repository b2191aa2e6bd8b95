/** Finds out which description fits the meter on a port; sends bytes only once the technician has said so. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { CommandOutput } from '../../src-core/contract'

type Outcome = CommandOutput<'recognise'>
type Found = Outcome['found'][number]
type State = { kind: 'idle' } | { kind: 'busy' } | { kind: 'fault'; words: string } | { kind: 'done'; path: string; outcome: Outcome }

const signs = { sure: 'good', likely: 'doubtful', perhaps: 'warn' } as const

type Props = { path: string; disabled: boolean; choose: (found: Found) => void; hear: (path: string, at: Outcome['heardAt']) => void }

/** @param choose connects with what was found. @param hear is told how the port was set when it spoke. */
export const RecognisePort = ({ path, disabled, choose, hear }: Props): JSX.Element => {
  const { call } = useSession()
  const progress = useApp((state) => state.recognising)
  const lost = useLost()
  const [state, setState] = useState<State>({ kind: 'idle' })
  const busy = state.kind === 'busy'
  const turn = useRef(0)
  useEffect(() => () => { turn.current += 1 }, [])

  const recognise = (ask: boolean): void => {
    if (path === '') {
      setState({ kind: 'fault', words: 'Which port? Choose one of the list, or type its path, such as /dev/ttyUSB0.' })
      return
    }
    turn.current += 1
    const mine = turn.current
    setState({ kind: 'busy' })
    call('recognise', { path, ask }).then(
      (outcome) => {
        if (mine !== turn.current) return
        setState({ kind: 'done', path, outcome })
        hear(path, outcome.heardAt)
      },
      (error: Error) => { if (mine === turn.current) setState({ kind: 'fault', words: error.message }) },
    )
  }
  const stop = (): void => {
    turn.current += 1
    setState({ kind: 'idle' })
    call('stop-recognising', {}).catch((error: Error) => setState({ kind: 'fault', words: error.message }))
  }

  return (
    <div className="recognise" data-testid="recognise-port">
      <div className="row">
        <button type="button" className="main-act second small" data-testid="recognise" disabled={disabled || busy || lost} onClick={() => recognise(false)}>
          Recognise the meter
        </button>
        {busy && (
          <button type="button" className="quiet-act" data-testid="stop-recognising" onClick={stop}>
            Stop
          </button>
        )}
      </div>
      {busy && (
        <p role="status" data-testid="recognising">
          {progress === null ? 'Opening the port' : progress.words} …
          <progress max={1} value={progress?.share ?? 0} aria-label="How much of the time has passed" />
        </p>
      )}
      {state.kind === 'fault' && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {state.words}
        </p>
      )}
      {state.kind === 'done' && state.path === path && <Result outcome={state.outcome} disabled={disabled || lost} choose={choose} ask={() => recognise(true)} forget={() => setState({ kind: 'idle' })} />}
    </div>
  )
}

type ResultProps = { outcome: Outcome; disabled: boolean; choose: (found: Found) => void; ask: () => void; forget: () => void }

const Result = ({ outcome: { found, words, ask: question }, disabled, choose, ask, forget }: ResultProps): JSX.Element => {
  const [best, ...others] = found
  return (
    <div role="status" data-testid="recognised">
      <p>
        {best !== undefined && <Sign name={signs[best.confidence]} />} {words}
      </p>
      {best !== undefined && best.sampleWords !== '' && <p className="aside">It says: {best.sampleWords}</p>}
      {best !== undefined && (
        <button type="button" className="main-act small" data-testid="connect-recognised" disabled={disabled} onClick={() => choose(best)}>
          Connect with it
        </button>
      )}
      {others.map((other) => (
        <p key={other.description} className="aside">
          {other.words}: {other.sampleWords}{' '}
          <button type="button" className="quiet-act" disabled={disabled} onClick={() => choose(other)}>
            Connect with this instead
          </button>
        </p>
      ))}
      {question !== null && (
        <div role="group" aria-label="Ask the meter?" data-testid="ask-first">
          <p>
            <Sign name="warn" /> {question}
          </p>
          <div className="row">
            <button type="button" className="main-act second small" data-testid="ask-it" disabled={disabled} onClick={ask}>
              It is a meter: ask it
            </button>
            <button type="button" className="quiet-act" onClick={forget}>
              Send nothing
            </button>
          </div>
        </div>
      )}
    </div>
  )
}
