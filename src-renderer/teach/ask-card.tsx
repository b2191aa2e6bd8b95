/** What to show next, and the fields to type what the meter shows. */
import { useRef, useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import { flagWords, functionWords } from '../app/words'
import { meterFlag, meterFunction, type MeterFlag, type MeterFunction } from '../../src-core/meter/reading'
import { marksOf } from '../../src-core/meter/teach/shown'
import type { TeachingView } from '../../src-core/meter/teach/teaching-view'

/** What the person has set; null where the request's own still stands. */
type Draft = { text: string; function: MeterFunction | null; mark: string | null; flags: MeterFlag[] }
const blank: Draft = { text: '', function: null, mark: null, flags: [] }

export const AskCard = ({ teaching }: { teaching: TeachingView }): JSX.Element => {
  const { call } = useSession()
  const { ask, examples, tried, thinking } = teaching
  const [draft, setDraft] = useState(blank)
  const [fault, setFault] = useState<string | null>(null)
  const [busy, setBusy] = useState(false)
  const figure = useRef<HTMLInputElement>(null)
  const last = examples.at(-1)?.shown
  const is = draft.function ?? ask?.function ?? last?.function ?? teaching.setup.functions[0] ?? 'dc-voltage'
  const mark = draft.mark ?? examples.findLast((each) => each.shown.function === is)?.shown.mark ?? marksOf[is][0] ?? ''
  const enough = ask === null && teaching.description !== null
  const trial = enough ? tried.at(-1) : undefined

  const submit = (): void => {
    if (draft.text.trim() === '') {
      setFault('Type what the display shows, such as −1.234, or OL for out of range.')
      figure.current?.focus()
      return
    }
    setBusy(true)
    setFault(null)
    call('teach-shown', { shown: { function: is, text: draft.text.trim(), mark, flags: draft.flags } })
      .then(() => setDraft({ ...draft, text: '', function: enough ? is : null, mark: null }), (error: Error) => setFault(error.message))
      .finally(() => {
        setBusy(false)
        figure.current?.focus()
      })
  }
  return (
    <section className="card teach-ask" aria-labelledby="ask-title">
      <h2 id="ask-title" className="step-words">{thinking ? 'Working it out …' : enough ? 'Try it' : 'Show this next'}</h2>
      <div
        role="status" data-testid="teach-ask" data-busy={thinking || busy} data-kind={ask?.kind ?? (enough ? 'enough' : 'none')} data-function={ask?.function ?? ''} data-suggestion={ask?.suggestion ?? ''}
        data-count={teaching.typed}
      >
        <p className="teach-request">
          {ask?.words ?? (enough ? 'Enough was seen. Show a figure that was not shown yet and type it: the description is tried on it.' : 'Nothing more can be asked for.')}
        </p>
        <p className="aside">{ask?.because ?? (enough ? (teaching.proven ? 'Two figures in a row were read the same. It can be kept.' : 'Two figures in a row should be read the same before it is kept.') : teaching.known.at(-1) ?? '')}</p>
      </div>
      <form
        className="teach-fields"
        onSubmit={(event) => {
          event.preventDefault()
          submit()
        }}
      >
        <label className="teach-figure">
          <span>It shows</span>
          <input ref={figure} data-testid="teach-text" value={draft.text} maxLength={16} placeholder="figure, or OL" spellCheck={false} autoComplete="off" onChange={(event) => setDraft({ ...draft, text: event.target.value })} />
        </label>
        <label>
          <span>Unit</span>
          <select data-testid="teach-mark" value={mark} onChange={(event) => setDraft({ ...draft, mark: event.target.value })}>
            {marksOf[is].map((one) => (
              <option key={one} value={one}>
                {one === '' ? 'none shown' : one}
              </option>
            ))}
          </select>
        </label>
        <label>
          <span>Function</span>
          <select data-testid="teach-function" value={is} onChange={(event) => setDraft({ ...draft, mark: null, function: meterFunction.parse(event.target.value) })}>
            {teaching.setup.functions.map((one) => (
              <option key={one} value={one}>
                {functionWords[one]}
              </option>
            ))}
          </select>
        </label>
        <details className="teach-flags">
          <summary>Annunciators{draft.flags.length > 0 && `: ${draft.flags.map(flagWords).join(', ')}`}</summary>
          <div className="ports">
            {meterFlag.options.map((one) => (
              <button
                key={one} type="button" className="chip" aria-pressed={draft.flags.includes(one)}
                onClick={() => setDraft({ ...draft, flags: draft.flags.includes(one) ? draft.flags.filter((each) => each !== one) : [...draft.flags, one] })}
              >
                {flagWords(one)}
              </button>
            ))}
          </div>
        </details>
        <div className="teach-acts">
          <button type="submit" className="main-act" data-testid="teach-shown" disabled={busy}>
            It shows this
          </button>
          {ask !== null && (
            <button
              type="button" className="quiet-act" data-testid="teach-cannot" disabled={busy || thinking}
              onClick={() => { call('teach-cannot', { key: ask.key }).then(() => setFault(null), (error: Error) => setFault(error.message)) }}
            >
              {ask.kind === 'range' ? 'There is no other range' : 'It cannot show this'}
            </button>
          )}
        </div>
      </form>
      {fault !== null && (
        <p className="form-fault" role="alert" data-testid="teach-fault">
          <Sign name="warn" /> {fault}
        </p>
      )}
      {fault === null && trial !== undefined && (
        <p className={trial.says === null ? 'teach-trial' : 'teach-trial form-fault'} role="status" data-testid="teach-trial">
          <Sign name={trial.says === null ? 'good' : 'warn'} /> {trial.words}: {trial.says ?? 'read the same.'}
        </p>
      )}
    </section>
  )
}
