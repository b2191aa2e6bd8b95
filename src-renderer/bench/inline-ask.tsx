/** Asks for a reason or a note on the message line, with a key for each usual answer; never a dialog. */
import { useState, type JSX } from 'react'
import { useFastEnter } from '../keys/use-fast-enter'

export type Asking = { what: 'skip' | 'note' | 'end'; /** The free text is open. */ writing: boolean }

const reasons: Record<Asking['what'], readonly string[]> = {
  skip: ['cannot reach it', 'part not fitted', 'pad damaged', 'not needed here'],
  end: ['not worth repairing', 'wrong board type', 'put aside', 'owner wants it back'],
  note: [],
}
const asks: Record<Asking['what'], string> = { skip: 'Skip, because', end: 'End the run, because', note: 'Note' }

export const reasonsFor = (what: Asking['what']): readonly string[] => reasons[what]

type Props = { asking: Asking; answer: (text: string) => void; write: () => void; close: () => void }

export const InlineAsk = ({ asking, answer, write, close }: Props): JSX.Element => {
  const [text, setText] = useState('')
  const fastEnter = useFastEnter()
  const usual = reasonsFor(asking.what)
  return (
    <form
      className="inline-ask" aria-label={asks[asking.what]}
      onSubmit={(event) => {
        event.preventDefault()
        if (text.trim() !== '') answer(text.trim())
      }}
    >
      <span className="inline-word">{asks[asking.what]}</span>
      {!asking.writing && usual.map((reason, index) => (
        <button key={reason} type="button" className="chip" onClick={() => answer(reason)}><kbd>{index + 1}</kbd>{reason}</button>
      ))}
      {!asking.writing && <button type="button" className="chip" onClick={write}><kbd>{usual.length + 1}</kbd>other …</button>}
      {asking.writing && (
        <>
          <input
            className="inline-text" autoFocus value={text} maxLength={asking.what === 'note' ? 2000 : 500} aria-label={asks[asking.what]}
            onChange={(event) => setText(event.target.value)}
            onKeyDown={(event) => { if (event.key === 'Escape') close(); else fastEnter(event) }}
          />
          <button type="submit" className="chip" disabled={text.trim() === ''}><kbd>Enter</kbd>keep</button>
        </>
      )}
      <button type="button" className="chip" onClick={close}><kbd>Esc</kbd>never mind</button>
    </form>
  )
}
