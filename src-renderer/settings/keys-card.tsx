/** Binds any key or pedal to the actions of the bench, and tries them without touching the run. */
import { useState, type JSX } from 'react'
import { actionWords, bindingProblems, boundAction, fixedKeys, keyFor, withBinding, type BoundAction } from '../../src-core/settings/key-bindings'
import { pressesInWords, type KeyPress } from '../../src-core/settings/key-press'
import { Sign } from '../app/sign'
import { PedalTest } from './pedal-test'
import type { CardProps } from './settings-screen'
import { usePedalCapture } from './use-pedal-capture'

export const KeysCard = ({ settings, keep }: CardProps): JSX.Element => {
  const [binding, setBinding] = useState<BoundAction | null>(null)
  const [problem, setProblem] = useState<string | null>(null)
  const [testing, setTesting] = useState(false)

  const bind = (action: BoundAction): void => {
    setTesting(false)
    setProblem(null)
    setBinding(action)
  }
  const came = (presses: readonly KeyPress[]): void => {
    if (binding === null) return
    setBinding(null)
    const keys = withBinding(settings.keys, { action: binding, presses: [...presses] })
    const [why = null] = bindingProblems(keys)
    setProblem(why)
    if (why === null) keep({ ...settings, keys })
  }
  usePedalCapture(binding !== null, {
    came,
    gaveUp: (why) => {
      setBinding(null)
      setProblem(why)
    },
  })

  return (
    <section className="card keys-card" aria-labelledby="keys-title">
      <h2 id="keys-title">Keys and pedals</h2>
      <p className="aside">
        A foot pedal is a keyboard with one key. Bind any key it sends; the usual keys go on working. While a reason to skip is asked for,
        skip goes on to the next reason and confirm takes it; while a note is written, confirm keeps it.
      </p>
      <table className="keys-table">
        <thead>
          <tr>
            <th scope="col">Action</th>
            <th scope="col">Usual key</th>
            <th scope="col">Your key or pedal</th>
            <td />
          </tr>
        </thead>
        <tbody>
          {boundAction.options.map((action) => {
            const { usual, presses } = keyFor(action, settings.keys)
            return (
              <tr key={action} className={binding === action ? 'binding' : undefined}>
                <th scope="row">{actionWords[action]}</th>
                <td><kbd>{usual}</kbd></td>
                <td data-testid={`bound-${action}`}>
                  {binding === action ? <b>press the pedal now …</b>
                    : presses === null ? <span className="aside">none</span> : <kbd>{pressesInWords(presses)}</kbd>}
                </td>
                <td className="keys-acts">
                  {binding === action
                    ? <button type="button" className="chip" onClick={() => setBinding(null)}><kbd>Esc</kbd>never mind</button>
                    : (
                        <button
                          type="button" className="chip" data-testid={`bind-${action}`}
                          aria-label={`Bind a key or pedal to ${actionWords[action]}`} onClick={() => bind(action)}
                        >
                          bind
                        </button>
                      )}
                  {presses !== null && binding !== action && (
                    <button
                      type="button" className="chip" data-testid={`unbind-${action}`} aria-label={`Take the key off ${actionWords[action]}`}
                      onClick={() => keep({ ...settings, keys: settings.keys.filter((each) => each.action !== action) })}
                    >
                      take off
                    </button>
                  )}
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
      <p className="fixed-keys" data-testid="fixed-keys">
        <span className="aside">Fixed:</span>{' '}
        {fixedKeys.map(({ key, does }) => (
          <span key={key}>
            <kbd>{key}</kbd>
            {does}
          </span>
        ))}
      </p>
      <p role="status" className="unseen">
        {binding === null ? '' : `Press the pedal for ${actionWords[binding]} now. Escape leaves it as it was.`}
      </p>
      {problem !== null && <p className="form-fault" role="alert" data-testid="binding-problem"><Sign name="warn" /> {problem}</p>}
      <PedalTest
        keys={settings.keys} testing={testing}
        begin={() => {
          setBinding(null)
          setProblem(null)
          setTesting(true)
        }}
        end={() => setTesting(false)}
      />
    </section>
  )
}
