/** The boards of a job in their order: how each stands, how long it took, which record it has. */
import { ColumnTitles, UnseenTitle } from '../app/column-titles'
import type { JSX } from 'react'
import { serialWords, timeWords } from '../app/words'
import { RunVerdictWord } from '../records/run-table'
import type { JobView, UnitView } from '../../src-core/shop/job'

type Props = { view: JobView; marked: readonly string[]; mark: (unit: string) => void; cursor: number; come: (index: number) => void; away: boolean; start: (unit: string) => void }

const minutesWords = (minutes: number | null): string => (minutes === null ? '' : minutes < 1 ? 'under 1' : `${Math.round(minutes)}`)

const State = ({ unit, next }: { unit: UnitView; next: boolean }): JSX.Element => {
  switch (unit.state) {
    case 'waiting':
      return <span className={next ? '' : 'aside'}>{next ? 'comes next' : 'waits'}</span>
    case 'under-way':
      return <span>under way</span>
    case 'pass':
    case 'fail':
    case 'beyond-repair':
    case 'incomplete':
      return <RunVerdictWord verdict={unit.state} />
  }
}

export const JobUnits = ({ view, marked, mark, cursor, come, away, start }: Props): JSX.Element => (
  <div className="run-rows">
    <table data-testid="job-units">
      <caption className="unseen">The boards of {view.name}</caption>
      <thead>
        <tr>
          <UnseenTitle title="Marked" />
          <ColumnTitles titles={['Serial number', 'Board', 'State', 'Begun', 'Minutes', 'Record']} />
          <UnseenTitle title="Start" />
        </tr>
      </thead>
      <tbody>
        {view.units.map((unit, index) => (
          <tr key={unit.unit} data-testid="job-unit" className={index === cursor ? 'run-here' : undefined} aria-current={index === cursor ? 'true' : undefined} onFocus={() => come(index)}>
            <td>
              <input type="checkbox" aria-label={`Mark ${serialWords(unit.serialNumber)}`} checked={marked.includes(unit.unit)} tabIndex={index === cursor ? 0 : -1} onChange={() => mark(unit.unit)} />
            </td>
            <th scope="row" className="run-serial">
              {serialWords(unit.serialNumber)}
            </th>
            <td>
              {unit.name} rev {unit.revision}
            </td>
            <td>
              <State unit={unit} next={unit.unit === view.next} />
            </td>
            <td className="figures">{unit.startedUtc === null ? '' : timeWords(unit.startedUtc)}</td>
            <td className="figures">{minutesWords(unit.minutes)}</td>
            <td className="figures">{unit.record ?? ''}</td>
            <td>
              {unit.state !== 'under-way' && (
                <button type="button" className="quiet-act" tabIndex={index === cursor ? 0 : -1} disabled={away || view.paused} aria-label={`Start ${serialWords(unit.serialNumber)}${unit.state === 'waiting' ? '' : ' again'}`} onClick={() => start(unit.unit)}>
                  {unit.state === 'waiting' ? 'start' : 'again'}
                </button>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  </div>
)
