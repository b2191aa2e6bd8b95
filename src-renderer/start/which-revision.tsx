/** Asks which revision of a board type lies on the bench, and shows for each how it is told from the others. Nothing is chosen beforehand. */
import { useEffect, useRef, type JSX } from 'react'
import type { BoardTypeChoice } from '../../src-core/board/revisions'
import type { LibraryView } from '../../src-core/contract'
import { Sign } from '../app/sign'
import { CloseUp } from '../picture/close-up'

type Entry = LibraryView['boards'][number]
type Props = {
  type: BoardTypeChoice<Entry>
  chosen: string | null
  /** Start was pressed and waits for the answer. */
  waiting: boolean
  choose: (revision: string) => void
}

export const WhichRevision = ({ type, chosen, waiting, choose }: Props): JSX.Element => {
  const first = useRef<HTMLButtonElement>(null)
  // A serial number field would take the key; the question has the keyboard until it is answered.
  useEffect(() => {
    if (waiting) first.current?.focus()
  }, [waiting])
  return (
    <div className="which-revision" role="group" aria-labelledby="which-revision" data-testid="which-revision">
      <p id="which-revision" className={waiting ? 'form-fault' : 'aside'} role={waiting ? 'alert' : undefined}>
        {waiting && <Sign name="warn" />} Which revision lies on the bench?
        {waiting && ` Press ${type.revisions.flatMap(({ key }) => (key === null ? [] : [key])).join(' or ')}.`}
      </p>
      <div className="revisions">
        {type.revisions.map(({ key, revision, entry, tell }, at) => {
          const top = entry.board.pictures[0]
          return (
            <button
              key={revision}
              ref={at === 0 ? first : undefined}
              type="button"
              className="revision"
              data-testid={`revision-${revision}`}
              aria-pressed={revision === chosen}
              onClick={() => choose(revision)}
            >
              {entry.picture !== null && top !== undefined && tell.place !== null && (
                <CloseUp
                  picture={{ asset: entry.picture, width: top.width, height: top.height }}
                  place={tell.place}
                  label={`The place to look at on revision ${revision}`}
                />
              )}
              <span>
                {key !== null && <kbd>{key}</kbd>}
                <b>rev {revision}</b>
                {revision === chosen && <span className="chosen-word"> chosen</span>}
                <br />
                {tell.words}
              </span>
            </button>
          )
        })}
      </div>
    </div>
  )
}
