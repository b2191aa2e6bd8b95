/** Records: every run, newest first; an open one is gone on with, an ended one is looked at. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { runVerdictWords, serialWords, timeWords } from '../app/words'

export const RecordsScreen = (): JSX.Element => {
  const { order, go } = useSession()
  const runs = useApp((state) => state.runs)
  const bench = useApp((state) => state.bench)
  const boards = useApp((state) => state.library?.boards)
  const [wanted, setWanted] = useState('')
  const name = (id: string): string => boards?.find((board) => board.id === id)?.name ?? id
  const fits = (run: (typeof runs)[number]): boolean =>
    `${name(run.board)} ${run.serialNumber}`.toLowerCase().includes(wanted.trim().toLowerCase())
  const shown = runs.filter(fits).sort((a, b) => (a.startedUtc < b.startedUtc ? 1 : -1))
  return (
    <div className="records">
      <h1>Records</h1>
      {runs.length === 0 ? (
        <p>
          Every run is kept here, value by value, from its first press. There is none yet:{' '}
          <button type="button" className="quiet-act" onClick={() => go('start')}>
            start a board
          </button>
        </p>
      ) : (
        <>
          <label className="field small">
            <span>Find</span>
            <input type="search" value={wanted} placeholder="board or serial number" onChange={(event) => setWanted(event.target.value)} />
          </label>
          <table>
            <thead>
              <tr>
                <th scope="col">Begun</th>
                <th scope="col">Board</th>
                <th scope="col">Serial number</th>
                <th scope="col">Values</th>
                <th scope="col">Verdict</th>
                <th scope="col">
                  <span className="unseen">Open</span>
                </th>
              </tr>
            </thead>
            <tbody>
              {shown.map((run) => (
                <tr key={run.run} data-testid="run-row" data-run={run.run}>
                  <td className="figures">{timeWords(run.startedUtc)}</td>
                  <td>
                    {name(run.board)} rev {run.revision}
                    {run.practice && (
                      <>
                        {' '}
                        <span className="badge practice">practice</span>
                      </>
                    )}
                  </td>
                  <td>{serialWords(run.serialNumber)}</td>
                  <td className="figures">{run.values}</td>
                  <td>
                    {run.verdict === null ? (
                      'not ended'
                    ) : (
                      <span className={`verdict-word verdict-${run.verdict}`}>
                        <Sign name={run.verdict} />
                        {runVerdictWords[run.verdict]}
                      </span>
                    )}
                  </td>
                  <td>
                    {run.run === bench?.run ? (
                      <button type="button" className="quiet-act" onClick={() => go('bench')}>
                        on the bench
                      </button>
                    ) : (
                      <button
                        type="button"
                        className="quiet-act"
                        data-testid="open-run"
                        onClick={() => order('open-run', { run: run.run })}
                      >
                        {run.verdict === null ? 'go on' : 'look'}
                      </button>
                    )}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
          {shown.length === 0 && <p>No run fits “{wanted}”.</p>}
        </>
      )}
    </div>
  )
}
