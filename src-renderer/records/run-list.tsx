/** Records, the list: find a run, mark some, open one, compare two, export. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { RunEntry } from '../../src-core/run/run-list'
import { ActionLine, type RecordAction } from './action-line'
import { ExportLine, ExportProgress, exportRuns } from './export-line'
import { RunFilters } from './run-filters'
import { countWords, noFields } from './run-question'
import { RunTable } from './run-table'
import type { RunListState } from './use-run-list'

type Props = { list: RunListState; cameBack: boolean; open: (run: string) => void; compare: (first: string, second: string) => void; issued: () => void }

export const RunList = ({ list, cameBack, open, compare, issued }: Props): JSX.Element => {
  const session = useSession()
  const lost = useLost()
  const onBench = useApp((state) => state.bench?.run ?? null)
  const search = useRef<HTMLInputElement>(null)
  const table = useRef<HTMLTableElement>(null)
  const [exporting, setExporting] = useState(false)
  const made = useApp((state) => state.exporting)
  const here = list.rows[list.cursor]
  const narrowed = Object.values(list.fields).some((value) => value !== '')

  const focusRow = (index: number): void => {
    const row = table.current?.tBodies[0]?.rows[index]
    row?.querySelector('button')?.focus()
    row?.scrollIntoView({ block: 'nearest' })
  }
  const moveTo = (index: number): void => {
    const within = Math.max(0, Math.min(list.rows.length - 1, index))
    list.setCursor(within)
    focusRow(within)
    if (index >= list.rows.length - 1 && list.hasMore) list.more()
  }
  // Coming back from a run, the keys are where they were.
  const cameTo = useRef(cameBack ? list.cursor : null)
  useEffect(() => {
    if (cameTo.current !== null) table.current?.tBodies[0]?.rows[cameTo.current]?.querySelector('button')?.focus()
  }, [])

  /** The two that are held against each other: both marked, or the one marked and the one the keys are on. */
  const pair = (): [string, string] | null => {
    const [one, other, more] = list.marked
    if (one === undefined || more !== undefined) return null
    const second = other ?? (here === undefined || here.run === one.run ? undefined : here)
    return second === undefined ? null : [one.run, second.run]
  }
  const exported = (): readonly RunEntry[] => (list.marked.length > 0 ? list.marked : here === undefined ? [] : [here])
  const noRow = here === undefined ? 'There is no run here.' : null

  const actions: RecordAction[] = [
    { key: '↓', does: 'down', testId: 'row-down', run: () => moveTo(list.cursor + 1), not: noRow },
    { key: '↑', does: 'up', testId: 'row-up', run: () => moveTo(list.cursor - 1), not: noRow },
    { key: 'Enter', does: 'open', testId: 'open-here', run: () => { if (here !== undefined) open(here.run) }, not: noRow },
    { key: 'M', does: 'mark', testId: 'mark-here', run: () => { if (here !== undefined) list.mark(here) }, not: noRow },
    {
      key: 'C', does: 'compare two', testId: 'compare', not: pair() === null ? 'Mark two runs of one board type first.' : null,
      run: () => {
        const two = pair()
        if (two === null) session.say('Mark two runs of one board type with M, then press C.', 'note')
        else compare(...two)
      },
    },
    { key: 'X', does: list.marked.length > 0 ? `export ${list.marked.length} marked` : 'export', testId: 'export', run: () => { if (here !== undefined) setExporting(true) }, not: noRow },
    { key: '/', does: 'find', testId: 'find', run: () => search.current?.focus() },
    { key: 'R', does: 'issued records', testId: 'to-issued', run: issued },
    { key: 'L', does: 'what was learnt', testId: 'to-learnt', run: () => session.go('learnt') },
    { key: 'A', does: 'show all', testId: 'show-all', run: () => list.setFields(noFields), not: narrowed ? null : 'Every run is shown.' },
  ]
  const find = (serialNumber: string): void => list.setFields({ ...noFields, serialNumber })

  if (list.fault !== null && list.fresh) {
    return (
      <div className="records">
        <h1>Records</h1>
        <p className="form-fault" role="alert">
          <Sign name="warn" /> The records could not be read: {list.fault}
        </p>
        <button type="button" className="main-act second" data-testid="read-again" onClick={list.again}>
          Try again
        </button>
      </div>
    )
  }
  if (list.fresh) return <div className="records"><h1>Records</h1><p role="status">Reading the records …</p></div>
  if (list.total === 0 && !narrowed && !list.busy) {
    return (
      <div className="records">
        <h1>Records</h1>
        <p>
          Every run is kept here, value by value, from its first press. There is none yet:{' '}
          <button type="button" className="quiet-act" onClick={() => session.go('start')}>
            start a board
          </button>
        </p>
      </div>
    )
  }
  return (
    <div className="records">
      <h1>Records</h1>
      <RunFilters list={list} search={search} toRows={() => moveTo(0)} />
      {list.fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {list.fault}
        </p>
      )}
      <p role="status" className="aside" data-testid="run-count">
        {list.busy ? 'Looking …' : countWords(list.rows.length, list.total, list.fields)}
        {list.marked.length > 0 && (
          <>
            {' '}
            · {list.marked.length} marked{' '}
            <button type="button" className="quiet-act" data-testid="unmark-all" onClick={list.unmarkAll}>
              unmark
            </button>
          </>
        )}
      </p>
      {list.rows.length > 0 && <RunTable list={list} onBench={onBench} open={(run) => open(run.run)} table={table} />}
      {list.rows.length > 0 && list.hasMore && (
        <button type="button" className="main-act second small" data-testid="more-runs" onClick={list.more}>
          Show more
        </button>
      )}
      {made !== null ? <ExportProgress {...made} away={lost} /> : exporting ? (
        <ExportLine count={exported().length} away={lost} close={() => setExporting(false)} choose={(as) => exportRuns(session, exported().map(({ run }) => run), as)} />
      ) : (
        <ActionLine actions={actions} away={lost} heard={{ scanned: find, ignored: find }} />
      )}
    </div>
  )
}
