/** Everything that happened in a run, in order, each with its local time; what was stepped back from is struck out and says so. */
import type { JSX, Ref } from 'react'
import { clockWords, timeWords } from '../app/words'
import type { RunDetail } from '../../src-core/run/detail-view'

const dayOf = (utc: string): string => timeWords(utc).slice(0, 10)

export const EventList = ({ events, place }: { events: RunDetail['events']; place: Ref<HTMLDetailsElement> }): JSX.Element => (
  <details ref={place} className="run-events" data-testid="run-events">
    <summary>What happened, {events.length} events</summary>
    <ol>
      {events.map(({ seq, utc, words, undone }, index) => (
        <li key={seq}>
          <span className="figures event-number">{seq}</span>
          <time className="figures" dateTime={utc}>
            {dayOf(utc) === dayOf(events[index - 1]?.utc ?? '') ? '' : `${dayOf(utc)} `}
            {clockWords(utc)}
          </time>
          <span>{undone ? <><s>{words}</s> taken back</> : words}</span>
        </li>
      ))}
    </ol>
  </details>
)
