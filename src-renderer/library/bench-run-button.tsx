/** Starts a run with no board on the connected meter, or says why it cannot be. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'

type Props = { command: 'check-meter' | 'fit-source'; words: string; connected: boolean }

export const BenchRunButton = ({ command, words, connected }: Props): JSX.Element => {
  const { call } = useSession()
  const [fault, setFault] = useState<string | null>(null)
  return (
    <>
      <p className="bench-run">
        <button
          type="button"
          className="main-act second"
          data-testid={command}
          disabled={!connected}
          onClick={() => {
            setFault(null)
            call(command, {}).catch((error: Error) => setFault(error.message))
          }}
        >
          {words}
        </button>
        {!connected && <span className="aside">Connect this meter first.</span>}
      </p>
      {fault !== null && (
        <p className="form-fault" role="alert">
          {fault}
        </p>
      )}
    </>
  )
}
