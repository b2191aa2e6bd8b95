/** The entries of the repair log, oldest first: those of earlier runs, those of this one, and those struck out. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import { timeWords } from '../app/words'
import { assetUrl } from '../connection/token'
import type { RepairView } from '../../src-core/repair/view'

type Entry = RepairView['entries'][number]

export const LogList = ({ view, away, changed }: { view: RepairView; away: boolean; changed: (view: RepairView) => void }): JSX.Element => (
  <section className="card" aria-labelledby="what-was-done">
    <h2 id="what-was-done">What was done</h2>
    {view.before.length + view.entries.length === 0 && <p className="aside">Nothing is logged yet.</p>}
    <ol className="repair-log">
      {view.before.map(({ part, what, at, by, photographs }) => (
        <li key={`${at} ${part} ${what}`}>
          <b>{part}</b> {what} <span className="aside">{timeWords(at)}, {by}, before the last run</span>
          <Photographs part={part} photographs={photographs} />
        </li>
      ))}
      {view.entries.map((entry) => (
        <LogEntry key={entry.seq} entry={entry} run={view.run} away={away || view.refusal !== null} changed={changed} />
      ))}
    </ol>
  </section>
)

const Photographs = ({ part, photographs }: Pick<Entry, 'part' | 'photographs'>): JSX.Element | null => (photographs.length === 0 ? null : (
  <span className="repair-photographs">
    {photographs.map(({ when, asset }) => (
      <img key={`${when} ${asset}`} src={assetUrl(asset)} alt={`${part} ${when} the repair`} />
    ))}
  </span>
))

const LogEntry = ({ entry, run, away, changed }: { entry: Entry; run: string; away: boolean; changed: (view: RepairView) => void }): JSX.Element => {
  const { call, say } = useSession()
  const [asking, setAsking] = useState(false)
  const [because, setBecause] = useState('')
  const strike = (): void => { call('strike-repair', { run, entry: entry.seq, because: because.trim() }).then(changed, (error: Error) => say(error.message, 'problem')) }
  const line = <><b>{entry.part}</b> {entry.words}</>
  return (
    <li data-testid="repair-entry">
      {entry.struck === null ? line : <s>{line}</s>} <span className="aside">{timeWords(entry.utc)}, {entry.by}</span>
      {entry.struck !== null && <span className="aside"> Struck out: {entry.struck}</span>}
      {entry.judged.length > 0 && <Judged judged={entry.judged} />}
      <Photographs part={entry.part} photographs={entry.photographs} />
      {' '}
      {entry.struck === null && !asking && (
        <button type="button" className="key boxed" disabled={away} onClick={() => setAsking(true)} aria-label={`Strike out: ${entry.part} ${entry.words}`}>
          strike out
        </button>
      )}
      {entry.struck === null && asking && (
        <span className="strike-line">
          <input aria-label="Why it is struck out" placeholder="why is it wrong?" value={because} onChange={(event) => setBecause(event.target.value)} />
          <button type="button" className="key boxed" disabled={away || because.trim() === ''} onClick={strike}>strike out</button>
          <button type="button" className="key boxed" onClick={() => setAsking(false)}>leave it</button>
        </span>
      )}
    </li>
  )
}

const signOf = { 'as-good': 'pass', worse: 'fail', unlike: 'warn', unknown: 'doubtful' } as const

/** How a substitute stands against the original. */
export const Judged = ({ judged }: { judged: Entry['judged'] }): JSX.Element => (
  <ul className="judged" data-testid="judged">
    {judged.map(({ what, is, words }) => (
      <li key={what} data-is={is}>
        <Sign name={signOf[is]} /> {words}
      </li>
    ))}
  </ul>
)
