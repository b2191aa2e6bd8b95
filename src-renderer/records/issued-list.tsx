/** Every record the shop issued, newest first: found by number, item and job, and opened where it can be saved or corrected. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { serialWords, timeWords } from '../app/words'
import type { RecordEntry } from '../../src-core/record/commands'
import { ActionLine, type RecordAction } from './action-line'
import { RunVerdictWord } from './run-table'
import { ScreenTitle } from './screen-title'

type Page = { records: RecordEntry[]; next: number | null }

const shownWords = ({ records, next }: Page): string =>
  `${records.length === 1 && next === null ? '1 record' : `${records.length} records, newest first`}${next === null ? '' : '; there are more'}`

export const IssuedList = ({ open, back }: { open: (record: RecordEntry) => void; back: () => void }): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const table = useRef<HTMLTableElement>(null)
  const [page, setPage] = useState<Page | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const [tries, setTries] = useState(0)
  const [cursor, setCursor] = useState(0)

  useEffect(() => {
    if (lost) return
    let over = false
    call('list-records', {}).then(
      (first) => {
        if (over) return
        setFault(null)
        setPage(first)
      },
      (error: Error) => { if (!over) setFault(error.message) },
    )
    return () => { over = true }
  }, [call, lost, tries])

  const rows = page?.records ?? []
  const here = rows[cursor]
  const more = (): void => {
    const after = page?.next ?? null
    if (after === null) return
    call('list-records', { after }).then(
      (next) => setPage((before) => (before?.next === after ? { records: [...before.records, ...next.records], next: next.next } : before)),
      (error: Error) => setFault(error.message),
    )
  }
  const moveTo = (index: number): void => {
    const within = Math.max(0, Math.min(rows.length - 1, index))
    setCursor(within)
    const row = table.current?.tBodies[0]?.rows[within]
    row?.querySelector('button')?.focus()
    row?.scrollIntoView({ block: 'nearest' })
    if (index >= rows.length - 1) more()
  }
  const noRow = here === undefined ? 'There is no record here.' : null
  const actions: RecordAction[] = [
    { key: 'Esc', does: 'back to the runs', testId: 'back-to-list', run: back },
    { key: '↓', does: 'down', testId: 'row-down', run: () => moveTo(cursor + 1), not: noRow },
    { key: '↑', does: 'up', testId: 'row-up', run: () => moveTo(cursor - 1), not: noRow },
    { key: 'Enter', does: 'open', testId: 'open-here', run: () => { if (here !== undefined) open(here) }, not: noRow },
    ...(fault === null ? [] : [{ key: 'R', does: 'try again', testId: 'read-again', run: () => setTries((n) => n + 1) }]),
  ]
  return (
    <div className="records">
      <ScreenTitle>Issued records</ScreenTitle>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> The issued records could not be read: {fault}
        </p>
      )}
      {page === null && fault === null && <p role="status">Reading the issued records …</p>}
      {page !== null && (
        <p role="status" className={rows.length === 0 ? '' : 'aside'} data-testid="record-count">
          {rows.length === 0 ? 'No record was issued yet. Open a run that has ended, and issue its record there.' : shownWords(page)}
        </p>
      )}
      {rows.length > 0 && (
        <div className="run-rows">
          <table ref={table} className="issued-rows">
            <caption className="unseen">Issued records, newest first</caption>
            <thead>
              <tr>
                {['Number', 'Issued', 'Board', 'Serial number', 'Job', 'Verdict', 'Corrected by'].map((title) => <th key={title} scope="col">{title}</th>)}
                <th scope="col"><span className="unseen">Open</span></th>
              </tr>
            </thead>
            <tbody>
              {rows.map((record, index) => <Row key={record.number} record={record} here={index === cursor} come={() => setCursor(index)} open={() => open(record)} />)}
            </tbody>
          </table>
        </div>
      )}
      {page !== null && page.next !== null && (
        <button type="button" className="main-act second small" data-testid="more-records" disabled={lost} onClick={more}>
          Show more
        </button>
      )}
      <ActionLine actions={actions} away={lost} />
    </div>
  )
}

const Row = ({ record, here, come, open }: { record: RecordEntry; here: boolean; come: () => void; open: () => void }): JSX.Element => {
  const { number, issued, name, revision, serialNumber, customer, job, verdict, replacedBy } = record
  return (
    <tr data-testid="record-row" data-number={number} className={here ? 'run-here' : undefined} aria-current={here ? 'true' : undefined} onFocus={come}>
      <td className="figures">{number}</td>
      <td className="figures">{timeWords(issued)}</td>
      <td>{name} rev {revision}</td>
      <td className="run-serial">{serialNumber === '' ? <span className="aside">none</span> : serialNumber}</td>
      <td className="run-serial">
        {job === null ? <span className="aside">none</span> : job}
        {customer !== null && <span className="aside of-values"> {customer}</span>}
      </td>
      <td><RunVerdictWord verdict={verdict} /></td>
      <td className="figures">{replacedBy ?? <span className="aside">not corrected</span>}</td>
      <td>
        <button type="button" className="quiet-act" tabIndex={here ? 0 : -1} data-testid="open-record" aria-label={`Open record ${number}, ${name} rev ${revision}, ${serialWords(serialNumber)}`} onClick={open}>
          open
        </button>
      </td>
    </tr>
  )
}
