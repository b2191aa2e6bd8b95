/** Says which revision the next board is taken for and how that one is told; one key takes it for another. */
import type { JSX } from 'react'
import type { NextRevision as Next } from '../../src-core/board/revisions'
import type { LibraryView } from '../../src-core/contract'

type Props = {
  next: Next<LibraryView['boards'][number]>
  /** No press arrives at the moment. */
  away: boolean
  change: () => void
}

export const NextRevision = ({ next: { taken, asBefore, other }, away, change }: Props): JSX.Element => (
  <p className="line line-note" data-testid="next-revision">
    <span className="line-words" role="status" title={taken.tell.words}>
      Next: <b>rev {taken.revision}</b>
      {asBefore ? ' as before?' : ', not as before.'} {taken.tell.words}
    </span>
    <button type="button" className="key" data-testid="other-revision" disabled={away} onClick={change}>
      <kbd>↓</kbd>
      it is rev {other.revision}
    </button>
  </p>
)
