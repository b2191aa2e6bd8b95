/** Points out, under the field, that the serial number typed for the next board was on the bench before. It blocks nothing. */
import { useEffect, useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import { timeWords } from '../app/words'
import { measuredBeforeWords } from '../../src-core/run/run-list'

/** A hand that types on asks once. */
const typingMs = 150

export const SameUnit = ({ board, serialNumber }: { board: string; serialNumber: string }): JSX.Element | null => {
  const { call } = useSession()
  const wanted = serialNumber.trim()
  const [known, setKnown] = useState<{ of: string; words: string | null }>({ of: '', words: null })
  useEffect(() => {
    if (wanted === '') return
    let over = false
    const timer = setTimeout(() => {
      call('measured-before', { board, serialNumber: wanted }).then(
        (before) => { if (!over) setKnown({ of: wanted, words: before.last === null ? null : measuredBeforeWords(before, timeWords(before.last.startedUtc)) }) },
        // The same is said once the run has begun; the loss of the app has its own line.
        (error: Error) => { if (!over) setKnown({ of: wanted, words: `It could not be looked up whether ${wanted} was measured before: ${error.message}` }) },
      )
    }, typingMs)
    return () => {
      over = true
      clearTimeout(timer)
    }
  }, [call, board, wanted])
  return known.of !== wanted || wanted === '' || known.words === null ? null : (
    <p className="line line-note" role="status" data-testid="same-unit">
      <Sign name="warn" /> <span className="line-words">{known.words} Enter measures it again.</span>
    </p>
  )
}
