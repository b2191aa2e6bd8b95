/** The rows of the list: one tab stop, moved by the arrow keys; each run can be marked and opened. */
import { UnseenTitle } from '../app/column-titles'
import type { JSX, Ref } from 'react'
import { Sign } from '../app/sign'
import { runVerdictWords, serialWords, timeWords } from '../app/words'
import type { RunEntry } from '../../src-core/run/run-list'
import type { RunListState } from './use-run-list'

export const RunVerdictWord = ({ verdict }: { verdict: RunEntry['verdict'] }): JSX.Element =>
  verdict === null ? (
    <span className="verdict-word">
      <Sign name="busy" />
      not ended
    </span>
  ) : (
    <span className={`verdict-word verdict-${verdict}`}>
      <Sign name={verdict} />
      {runVerdictWords[verdict]}
    </span>
  )

type Props = { list: RunListState; onBench: string | null; open: (run: RunEntry) => void; table: Ref<HTMLTableElement> }

export const RunTable = ({ list, onBench, open, table }: Props): JSX.Element => (
  <div className="run-rows">
    <table ref={table} aria-busy={list.busy}>
      <caption className="unseen">Runs, newest first</caption>
      <thead>
        <tr>
          <th scope="col">Mark</th>
          <th scope="col">Begun</th>
          <th scope="col">Board</th>
          <th scope="col">Serial number</th>
          <th scope="col" className="of-values">Values</th>
          <th scope="col">Verdict</th>
          <UnseenTitle title="Open" />
        </tr>
      </thead>
      <tbody>
        {list.rows.map((run, index) => (
          <Row key={run.run} run={run} index={index} list={list} onBench={run.run === onBench} open={open} />
        ))}
      </tbody>
    </table>
  </div>
)

const Row = ({ run, index, list, onBench, open }: { run: RunEntry; index: number; list: RunListState; onBench: boolean; open: Props['open'] }): JSX.Element => {
  const here = index === list.cursor
  const marked = list.marked.some((each) => each.run === run.run)
  const named = `${run.name} rev ${run.revision}, ${serialWords(run.serialNumber)}, ${timeWords(run.startedUtc)}`
  return (
    <tr data-testid="run-row" data-run={run.run} className={here ? 'run-here' : undefined} aria-current={here ? 'true' : undefined} onFocus={() => list.setCursor(index)}>
      <td>
        <input type="checkbox" tabIndex={here ? 0 : -1} aria-label={`Mark ${named}`} data-testid="mark-run" checked={marked} onChange={() => list.mark(run)} />
      </td>
      <td className="figures">{timeWords(run.startedUtc)}</td>
      <td>
        {run.name} rev {run.revision}
        {run.practice && (
          <>
            {' '}
            <span className="badge practice">practice</span>
          </>
        )}
      </td>
      <td className="run-serial">{run.serialNumber === '' ? <span className="aside">none</span> : run.serialNumber}</td>
      <td className="figures of-values">{run.values}</td>
      <td>
        <RunVerdictWord verdict={run.verdict} />
        {onBench && <span className="aside"> on the bench</span>}
      </td>
      <td>
        <button type="button" className="quiet-act" tabIndex={here ? 0 : -1} data-testid="open-run" aria-label={`Open ${named}`} onClick={() => open(run)}>
          open
        </button>
      </td>
    </tr>
  )
}
