/** Where the reading stands when no meter is connected: what the meter shows is typed, and Enter keeps it. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { functionWords } from '../app/words'
import { useFastEnter } from '../keys/use-fast-enter'
import { typedHint } from '../../src-core/quantity/typed-hint'
import type { BenchView } from '../../src-core/run/view'

type Step = NonNullable<BenchView['step']>

type Props = { step: Step; unit: NonNullable<Step['typed']>['unit']; /** A reason or a note is being asked for. */ away: boolean }

export const TypedField = ({ step, unit, away }: Props): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const [tooFast, setTooFast] = useState(false)
  const fastEnter = useFastEnter(() => setTooFast(true))
  const field = useRef<HTMLInputElement>(null)
  const [text, setText] = useState('')
  const [sending, setSending] = useState(false)
  const [fault, setFault] = useState<string | null>(null)

  // Whatever took the focus for a while gives it back.
  useEffect(() => { if (!away && !lost) field.current?.focus() }, [step.id, away, lost])

  const keep = (): void => {
    if (sending) return
    setSending(true)
    call('type-value', { text, step: step.id, touch: step.typed?.touch ?? 1 })
      .then(() => { setText(''); setFault(null) })
      .catch((error: Error) => setFault(error.message))
      .finally(() => {
        setSending(false)
        field.current?.focus()
      })
  }
  const hint = fault === null ? typedHint(text, unit, tooFast) : { kind: 'problem' as const, words: fault }
  return (
    <form
      className="reading typed"
      onSubmit={(event) => {
        event.preventDefault()
        setTooFast(false)
        if (text.trim() !== '') keep()
      }}
    >
      <label className="figure typed-figure">
        <span className="unseen">What the meter shows, {functionWords[step.function ?? 'resistance']} in {unit}</span>
        <input
          ref={field} data-testid="typed-value" data-keys-when-empty value={text} maxLength={40} placeholder="—" autoComplete="off" spellCheck={false}
          inputMode="text" aria-describedby="typed-says" disabled={lost} onKeyDown={fastEnter}
          onChange={(event) => { setText(event.target.value); setFault(null); setTooFast(false) }}
        />
        <span className="figure-unit">{unit}</span>
      </label>
      <div className="reading-about" id="typed-says" data-testid="typed-says" role="status">
        {hint.kind === 'problem' ? <span className="typed-fault"><Sign name="warn" /> <span>{hint.words}</span></span> : <span>{hint.words}</span>}
        <span className="typed-keep"><kbd>Enter</kbd>keeps it</span>
      </div>
    </form>
  )
}
