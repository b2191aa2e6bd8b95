/** A test signal for keys and pedals: says and sounds which action a press gives. Nothing goes to the run. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { actionWords, boundAction, keyFor, type BoundAction, type KeyBinding } from '../../src-core/settings/key-bindings'
import { pressInWords } from '../../src-core/settings/key-press'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { pressOfEvent } from '../keys/pedal'
import { useKeys } from '../keys/use-keys'

type Props = { keys: readonly KeyBinding[]; testing: boolean; begin: () => void; end: () => void }

export const PedalTest = ({ keys, testing, begin, end }: Props): JSX.Element => {
  const button = useRef<HTMLButtonElement>(null)
  const leave = (): void => {
    end()
    button.current?.focus()
  }
  return (
    <div className="pedal-test">
      <button
        ref={button} type="button" className="main-act second" data-testid="test-pedal" aria-expanded={testing} onClick={testing ? leave : begin}
      >
        {testing ? 'End the test' : 'Test a key or pedal'}
      </button>
      {testing ? <TestPanel keys={keys} leave={leave} /> : <span className="aside">Nothing is sent to the run.</span>}
    </div>
  )
}

type Heard = { words: string; works: boolean }

const TestPanel = ({ keys, leave }: { keys: readonly KeyBinding[]; leave: () => void }): JSX.Element => {
  const { tones, speaker } = useSession()
  const settings = useApp((state) => state.settings)
  const panel = useRef<HTMLDivElement>(null)
  const [heard, setHeard] = useState<Heard | null>(null)
  const [held, setHeld] = useState<string | null>(null)

  // No button keeps the keys to itself while they are tried.
  useEffect(() => { panel.current?.focus() }, [])

  useEffect(() => {
    const down = (event: KeyboardEvent): void => {
      const press = pressOfEvent(event)
      if (press === null || event.repeat) return
      setHeld(pressInWords(press))
    }
    const up = (): void => setHeld(null)
    window.addEventListener('keydown', down)
    window.addEventListener('keyup', up)
    return () => {
      window.removeEventListener('keydown', down)
      window.removeEventListener('keyup', up)
    }
  }, [])

  const works = (action: BoundAction): void => {
    const others = boundAction.options.filter((other) => other !== action && sameKey(keys, action, other))
    setHeard({ words: `It works: ${[action, ...others].map((each) => actionWords[each]).join(', at the end of a run ')}.`, works: true })
    tones.sample('pass', settings.sound)
    speaker.sample(`pedal works, ${actionWords[action]}`, settings.speech)
  }
  const bindings = boundAction.options.map((action) => {
    const { usual, presses } = keyFor(action, keys)
    return { key: usual, presses, run: () => works(action) }
  })
  useKeys([...bindings, { key: 'Esc', run: leave }], {
    scanned: (text) => setHeard({ words: `A scanner: “${text}”. A scanned code never commands.`, works: false }),
    ignored: (text) => setHeard({ words: `“${text}” came faster than a hand and is bound to nothing. Bind it above to use it.`, works: false }),
    typed: (text) => setHeard({ words: `${text.toUpperCase()} is bound to nothing.`, works: false }),
  })

  return (
    <div
      ref={panel} tabIndex={-1} className={held === null ? 'test-panel' : 'test-panel pressed'} role="group"
      aria-label="Test of keys and pedals" data-testid="test-panel"
    >
      <p className="test-words" role="status" data-testid="test-words">
        {heard === null ? 'Press a key or a pedal.' : <><Sign name={heard.works ? 'good' : 'warn'} /> {heard.words}</>}
      </p>
      <p className="aside" data-testid="test-held">{held === null ? 'released' : `pressed: ${held}`}</p>
      <p className="aside"><kbd>Esc</kbd>ends the test. Nothing is sent to the run.</p>
    </div>
  )
}

const sameKey = (keys: readonly KeyBinding[], a: BoundAction, b: BoundAction): boolean => {
  const [one, other] = [keyFor(a, keys).presses, keyFor(b, keys).presses]
  return one !== null && other !== null && JSON.stringify(one) === JSON.stringify(other)
}
