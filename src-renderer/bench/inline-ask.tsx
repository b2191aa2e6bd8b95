/** Asks for a reason or a note on the message line, with a key for each usual answer; never a dialog. */
import { useState, type JSX } from 'react'
import { keyFor } from '../../src-core/settings/key-bindings'
import { pressesInWords } from '../../src-core/settings/key-press'
import { useApp, useSession } from '../app/session'
import { useFastEnter } from '../keys/use-fast-enter'
import { useKeys, type Heard } from '../keys/use-keys'
import { answerKeys, type Asking } from './answer-keys'

const asks: Record<Asking['what'], string> = { skip: 'Skip, because', end: 'End the run, because', note: 'Note' }

type Props = {
  asking: Asking
  change: (asking: Asking) => void
  answer: (text: string) => void
  close: () => void
  /** Scanned codes, as on the bench. */
  heard: Heard
}

export const InlineAsk = ({ asking, change, answer, close, heard }: Props): JSX.Element => {
  const [text, setText] = useState('')
  const fastEnter = useFastEnter()
  const { reasons } = asking
  const offers = asking.what === 'skip' && !asking.writing
  const { speaker } = useSession()
  const bound = useApp((state) => state.settings.keys)
  const write = (): void => change({ ...asking, writing: true })
  /** A pedal that opened the field by mistake closes it again. */
  const keep = (): void => {
    if (text.trim() === '') close()
    else answer(text.trim())
  }
  useKeys(answerKeys({ asking, bound, answer, close, change, tell: speaker.tell, keep }), heard)
  return (
    <form
      className="inline-ask" aria-label={asks[asking.what]}
      onSubmit={(event) => {
        event.preventDefault()
        keep()
      }}
    >
      <span className="inline-word">{asks[asking.what]}</span>
      {!asking.writing && reasons.map((reason, index) => (
        <Reason key={reason} digit={index + 1} words={reason} offered={offers && asking.offered === index} take={() => answer(reason)} />
      ))}
      {!asking.writing && (
        <Reason digit={reasons.length + 1} words="other …" offered={offers && asking.offered === reasons.length} take={write} />
      )}
      {offers && <PedalHint />}
      {asking.writing && (
        <>
          <input
            className="inline-text" autoFocus value={text} maxLength={asking.what === 'note' ? 2000 : 500} aria-label={asks[asking.what]}
            placeholder={asking.what === 'note' ? 'typed, or dictated with the operating system’s dictation' : undefined}
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

type ReasonProps = { digit: number; words: string; offered: boolean; take: () => void }

/** The one a pedal would take is marked, and said to be by a screen reader. */
const Reason = ({ digit, words, offered, take }: ReasonProps): JSX.Element => (
  <button type="button" className={offered ? 'chip offered' : 'chip'} aria-current={offered ? 'true' : undefined} onClick={take}>
    <kbd>{digit}</kbd>{words}
  </button>
)

const PedalHint = (): JSX.Element => {
  const bound = useApp((state) => state.settings.keys)
  const shown = (action: 'skip' | 'confirm'): string => {
    const { usual, presses } = keyFor(action, bound)
    return presses === null ? usual : pressesInWords(presses)
  }
  return (
    <span className="aside pedal-hint"><kbd>{shown('skip')}</kbd>next <kbd>{shown('confirm')}</kbd>take</span>
  )
}
