/** Where the reading stands when no meter is connected: what the meter shows is typed, and Enter keeps it. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { functionWords } from '../app/words'
import { useFastEnter } from '../keys/use-fast-enter'
import { inWords } from '../../src-core/quantity/engineering'
import { typedValue } from '../../src-core/quantity/typed-value'
import type { BenchView } from '../../src-core/run/view'

type Step = NonNullable<BenchView['step']>

export const TypedField = ({ step, unit }: { step: Step; unit: NonNullable<Step['typed']>['unit'] }): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const fastEnter = useFastEnter()
  const field = useRef<HTMLInputElement>(null)
  const [text, setText] = useState('')
  const [sending, setSending] = useState(false)
  const [fault, setFault] = useState<string | null>(null)

  useEffect(() => { field.current?.focus() }, [step.id])

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
  const meant = text.trim() === '' ? null : typedValue(text, unit)
  const echo = meant === null || 'problem' in meant ? '' : `= ${inWords(meant.value, unit, meant.resolution)}`
  return (
    <form
      className="reading typed"
      onSubmit={(event) => {
        event.preventDefault()
        if (text.trim() !== '') keep()
      }}
    >
      <label className="figure typed-figure">
        <span className="unseen">What the meter shows, {functionWords[step.function ?? 'resistance']} in {unit}</span>
        <input
          ref={field} data-testid="typed-value" data-keys-when-empty value={text} maxLength={40} placeholder="—" autoComplete="off" spellCheck={false}
          inputMode="text" aria-describedby="typed-says" disabled={lost} onKeyDown={fastEnter}
          onChange={(event) => { setText(event.target.value); setFault(null) }}
        />
        <span className="figure-unit">{unit}</span>
      </label>
      <div className="reading-about" id="typed-says" role="status">
        {fault !== null ? <span className="typed-fault"><Sign name="warn" /> {fault}</span>
          : echo !== '' ? <span>{echo}, <kbd>Enter</kbd> keeps it</span>
            : <span>read by eye: such as 221.4, 4.70 k, OL</span>}
      </div>
    </form>
  )
}
