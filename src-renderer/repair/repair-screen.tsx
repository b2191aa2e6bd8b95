/** The work on one unit: what was done to it, its values run beside run, measuring again, and how it is closed. */
import { useCallback, useEffect, useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { serialWords } from '../app/words'
import { useKeys } from '../keys/use-keys'
import { ScreenTitle } from '../records/screen-title'
import type { RepairView } from '../../src-core/repair/view'
import { CloseBoard } from './close-board'
import { EntryForm } from './entry-form'
import { LogList } from './log-list'
import { MeasureAgain } from './measure-again'
import { ValueTable } from './value-table'

export const RepairScreen = ({ run, back, backWords }: { run: string; back: () => void; backWords: string }): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const faulty = useApp((state) => (state.diagnosis?.run === run ? state.diagnosis.parts.filter(({ report }) => report === 'faulty').map(({ ref }) => ref).join(' ') : '')).split(' ').filter((ref) => ref !== '')
  const [view, setView] = useState<RepairView | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  useKeys([{ key: 'Esc', run: back }], { scanned: () => undefined, ignored: () => undefined })

  const read = useCallback(() => call('read-repairs', { run }).then((told) => {
    setView(told)
    setFault(null)
  }, (error: Error) => setFault(error.message)), [call, run])
  useEffect(() => { if (!lost) void read() }, [read, lost])

  return (
    <div className="records repair">
      <ScreenTitle>Repair log{view === null ? '' : `, ${view.board.name} rev ${view.board.revision}, ${serialWords(view.serialNumber)}`}</ScreenTitle>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {fault}
        </p>
      )}
      {view === null && fault === null && <p role="status">Reading the log …</p>}
      {view !== null && (
        <>
          <BoardState view={view} />
          <div className="repair-parts">
            <div className="repair-side">
              <LogList view={view} away={lost} changed={setView} />
              <ValueTable view={view} />
            </div>
            <div className="repair-side">
              {view.refusal === null ? <EntryForm key={view.entries.length} view={view} faulty={faulty} away={lost} logged={setView} /> : view.closed === null && <p className="form-fault">{view.refusal}</p>}
              <MeasureAgain view={view} away={lost} />
              <CloseBoard view={view} away={lost} closed={setView} />
            </div>
          </div>
        </>
      )}
      <div className="record-keys" role="toolbar" aria-label="Actions and their keys">
        <button type="button" className="key boxed" data-testid="back-from-repair" onClick={back}>
          <kbd>Esc</kbd>
          {backWords}
        </button>
      </div>
    </div>
  )
}

const BoardState = ({ view }: { view: RepairView }): JSX.Element => (
  <p className={view.state === '' ? 'repair-state' : 'repair-state not-whole'} data-testid="board-state" role="status">
    <Sign name={view.state === '' ? 'pass' : 'warn'} />
    {view.state === '' ? 'The board is whole, as far as the log says.' : `Not whole: ${view.state}. No final verdict before it is put back and logged.`}
  </p>
)
