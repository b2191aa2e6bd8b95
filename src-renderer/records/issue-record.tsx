/** The record of a run: the sheet that asks what only people know, what was issued, and a correction where something in it was wrong. */
import { useEffect, useState, type JSX } from 'react'
import { useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { useKeys } from '../keys/use-keys'
import type { CommandOutput } from '../../src-core/contract'
import { IssuedRecord } from './issued-record'
import { RecordSheetForm } from './record-sheet-form'
import { ScreenTitle } from './screen-title'

type Offered = CommandOutput<'record-sheet'>

export const IssueRecord = ({ run, back, backWords }: { run: string; back: () => void; backWords: string }): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const [offered, setOffered] = useState<Offered | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const [correcting, setCorrecting] = useState(false)
  const [asked, setAsked] = useState(0)
  const callOff = (): void => setCorrecting(false)
  useKeys([{ key: 'Esc', run: correcting ? callOff : back }], { scanned: () => undefined, ignored: () => undefined })

  useEffect(() => {
    let over = false
    call('record-sheet', { run }).then(
      (read) => {
        if (over) return
        setOffered(read)
        setFault(null)
      },
      (error: Error) => { if (!over) setFault(error.message) },
    )
    return () => { over = true }
  }, [call, run, asked])

  const issued = (): void => {
    setCorrecting(false)
    setAsked((n) => n + 1)
  }
  const standing = offered?.records.find(({ replacedBy }) => replacedBy === null) ?? null
  // The newest of them first.
  const replaced = offered?.records.filter(({ replacedBy }) => replacedBy !== null).toReversed() ?? []
  return (
    <div className="records">
      <ScreenTitle>{standing === null ? 'Issue record' : `Record ${standing.number}`}</ScreenTitle>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {fault}
        </p>
      )}
      {offered === null && fault === null && <p role="status">Reading the run …</p>}
      {offered !== null && standing !== null && <IssuedRecord record={standing} paper={offered.paper} away={lost} />}
      {offered !== null && standing === null && offered.refused !== null && (
        <p className="form-fault" role="alert" data-testid="record-refused">
          <Sign name="warn" /> {offered.refused}
        </p>
      )}
      {offered !== null && (standing === null ? offered.refused === null : correcting) && (
        <RecordSheetForm run={run} offered={offered} corrects={standing === null ? null : { number: standing.number, callOff }} away={lost} issued={issued} />
      )}
      {offered !== null && replaced.length > 0 && (
        <section className="replaced-records" aria-labelledby="replaced-title">
          <h2 id="replaced-title">Replaced</h2>
          {replaced.map((record) => <IssuedRecord key={record.number} record={record} paper={offered.paper} away={lost} />)}
        </section>
      )}
      <div className="record-keys" role="toolbar" aria-label="Actions and their keys">
        {correcting ? (
          <button type="button" className="key boxed" data-testid="call-off" onClick={callOff}>
            <kbd>Esc</kbd>
            call off the correction
          </button>
        ) : (
          <button type="button" className="key boxed" data-testid="leave-record" onClick={back}>
            <kbd>Esc</kbd>
            {backWords}
          </button>
        )}
        {standing !== null && !correcting && (
          <button type="button" className="key boxed" data-testid="correct-record" disabled={lost} onClick={() => setCorrecting(true)}>
            correct it by a new record
          </button>
        )}
      </div>
    </div>
  )
}
