/** The end of a run: the verdict, what failed and what it means, what to look at next, with the picture; then the next board. */
import { useRef, useState, type JSX } from 'react'
import { Frame } from '../app/frame'
import { BenchHeader } from '../bench/bench-header'
import type { Action } from '../bench/bench-screen'
import { MessageLine } from '../bench/message-line'
import { StepStrip } from '../bench/step-strip'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { runVerdictWords } from '../app/words'
import { useBenchKeys } from '../keys/use-bench-keys'
import { useKeys } from '../keys/use-keys'
import { BoardPicture } from '../picture/board-picture'
import { IssueRecord } from '../records/issue-record'
import { RepairScreen } from '../repair/repair-screen'
import { nextRevision } from '../../src-core/board/revisions'
import { isBenchRun } from '../../src-core/run/bench-runs'
import type { BenchView } from '../../src-core/run/view'
import { isOfJob } from '../../src-core/shop/job'
import { LikelyStrip } from '../diagnosis/likely-strip'
import { PartsReport } from '../diagnosis/parts-report'
import { Surroundings } from '../diagnosis/surroundings'
import { shadesOf } from '../picture/part-shades'
import { failedPlaces } from './failed-places'
import { JobLine, useNextOfJob } from './job-line'
import { NextBoard } from './next-board'
import { NextRevision } from './next-revision'
import { SameUnit } from './same-unit'

type Result = NonNullable<BenchView['result']>

/** The result, or the record that is made of it, in its place. */
export const ResultScreen = ({ bench, result }: { bench: BenchView; result: Result }): JSX.Element => {
  const [shown, setShown] = useState<'result' | 'record' | 'repair'>('result')
  const back = (): void => setShown('result')
  switch (shown) {
    case 'record':
      return (
        <Frame title="Record">
          <IssueRecord run={bench.run} back={back} backWords="back to the result" />
        </Frame>
      )
    case 'repair':
      return (
        <Frame title="Repair log">
          <RepairScreen run={bench.aloneFor ?? bench.run} back={back} backWords="back to the result" />
        </Frame>
      )
    case 'result':
      return <ResultOfRun bench={bench} result={result} issue={() => setShown('record')} repair={() => setShown('repair')} />
  }
}

const ResultOfRun = ({ bench, result, issue, repair }: { bench: BenchView; result: Result; issue: () => void; repair: () => void }): JSX.Element => {
  const { order, go, hush } = useSession()
  const lost = useLost()
  const library = useApp((state) => state.library)
  const [serialNumber, setSerialNumber] = useState('')
  const [revision, setRevision] = useState<string | null>(null)
  const field = useRef<HTMLInputElement>(null)
  const keys = useBenchKeys(bench)
  const links = failedPlaces(library?.boards ?? [], bench, result)
  const diagnosis = useApp((state) => (state.diagnosis?.run === bench.run ? state.diagnosis : null))
  const board = library?.boards.find(({ id, revision: own }) => id === bench.board.id && own === bench.board.revision)?.board ?? null
  const worst = diagnosis?.parts.find(({ report }) => report === 'faulty')?.ref ?? null

  const takesNext = bench.keys.some(({ action }) => action === 'next-board')
  const { noNext } = result
  /** A board is on the bench, or was: it has its log and its record. */
  const ofBoard = takesNext || noNext !== undefined
  const queued = useNextOfJob(bench.run, takesNext && !bench.practice)
  const inJob = isOfJob(queued, serialNumber)
  const next = takesNext && !bench.practice && !inJob ? nextRevision(library?.boards ?? [], bench.board, revision) : null
  const otherRevision = (): void => { if (next !== null) setRevision(next.other.revision) }
  /** Back to the list: shown first, so that closing the record does not go by Start. */
  const leave = (): void => {
    go('records')
    order('close-run', {})
  }

  const startNext = (serial: string): void => {
    hush()
    order('next-board', { serialNumber: serial.trim(), ...(next === null ? {} : { revision: next.taken.revision }) })
  }
  // A serial number can be typed without going to its field first.
  const typeOn = (text: string): void => {
    if (lost || !takesNext) return
    setSerialNumber((before) => before + text)
    field.current?.focus()
  }
  const act = (action: Action): void => {
    switch (action) {
      case 'next-board':
        startNext(serialNumber)
        return
      case 'skip':
      case 'note':
      case 'end':
      case 'by-eye':
      case 'say-again':
        return
      default:
        order('press', { key: action })
    }
  }
  useKeys(
    lost ? [] : [
      ...keys.map(({ usual, presses, action }) => ({ key: usual, presses, run: () => act(action) })),
      ...(next === null ? [] : [{ key: '↓', run: otherRevision }]), ...(bench.record ? [{ key: 'Esc', run: leave }] : [])],
    {
      scanned: (text) => {
        // Where none follows, the service says why.
        if (!lost && ofBoard) startNext(text)
      },
      ignored: typeOn,
      typed: typeOn,
    },
  )

  return (
    <div className="bench result-bench">
      <BenchHeader bench={bench} />
      <main className="bench-main result-main" aria-label="Result">
        <section className="bench-picture" aria-label="Where it failed">
          {bench.picture === null ? (
            <p className="no-picture">{isBenchRun(bench.board.id) ? 'No board was on the bench: this was about the meter.' : 'This board type has no picture.'}</p>
          ) : (
            <BoardPicture
              picture={bench.picture}
              links={links}
              shades={diagnosis === null ? [] : shadesOf(diagnosis.parts, links.flatMap(({ words }) => words.split(', ')))}
              label={links.length === 0 ? 'Board picture' : `Board picture, pointing out ${links.map(({ words }) => words).join('; ')}`}
            />
          )}
          {diagnosis !== null && <LikelyStrip diagnosis={diagnosis} failed={result.failed.length > 0} />}
        </section>
        <section className={`result verdict-${result.verdict}`} aria-label="Verdict">
          <h1>
            <Sign name={result.verdict} />
            <span data-testid="run-verdict" data-verdict={result.verdict}>
              {runVerdictWords[result.verdict]}
            </span>
          </h1>
          <div className="found" tabIndex={0} role="group" aria-label="What was found">
            {result.because !== '' && <p className="because">{result.because}</p>}
            {result.next.length > 0 && (
              <div className="next">
                <h2>What to look at next</h2>
                <ol>
                  {result.next.map((line) => (
                    <li key={line}>{line}</li>
                  ))}
                </ol>
              </div>
            )}
            {result.failed.length > 0 && (
              <div className="failed">
                <h2>What failed, and what it means</h2>
                <ul>
                  {result.failed.map((one) => (
                    <Failed key={one.step} one={one} />
                  ))}
                </ul>
              </div>
            )}
            {diagnosis !== null && <PartsReport diagnosis={diagnosis} failed={result.failed} />}
            {board !== null && worst !== null && <Surroundings board={board} part={worst} />}
            {bench.notes.length > 0 && (
              <div className="notes" data-testid="run-notes">
                <h2>Notes</h2>
                <ul>
                  {bench.notes.map((text) => (
                    <li key={text}>{text}</li>
                  ))}
                </ul>
              </div>
            )}
          </div>
          {result.truth !== null && (
            <p className="truth" data-testid="practice-truth">
              <span className="badge practice">practice</span> {result.truth}
            </p>
          )}
        </section>
      </main>
      <StepStrip steps={bench.steps} />
      <div className="message-row" role="region" aria-label="Messages">
        <MessageLine bench={bench} />
        {noNext !== undefined && (
          <p className="line line-note" data-testid="no-next">
            <Sign name="warn" /> {noNext}
          </p>
        )}
        {queued !== null && <JobLine next={queued} serialNumber={serialNumber} />}
        {next !== null && <NextRevision next={next} away={lost} change={otherRevision} />}
        {takesNext && !bench.practice && <SameUnit board={bench.board.id} serialNumber={serialNumber} />}
      </div>
      <footer className="key-line">
        <NextBoard
          keys={keys}
          practice={bench.practice}
          away={lost}
          field={field}
          serialNumber={serialNumber}
          ofJob={queued?.unit.serialNumber ?? null}
          setSerialNumber={setSerialNumber}
          start={startNext}
          otherRevision={otherRevision}
          act={act}
        />
        <span className="grow" />
        {(ofBoard || bench.aloneFor !== undefined) && (
          <button type="button" className="key boxed" data-testid="to-repair" disabled={lost} onClick={repair}>
            {bench.aloneFor === undefined ? 'repair log' : 'back to the repair log'}
          </button>
        )}
        {!bench.practice && ofBoard && (
          <button type="button" className="key boxed" data-testid="to-record" disabled={lost} onClick={issue}>
            issue record
          </button>
        )}
        {bench.record ? (
          <button type="button" className="key boxed" data-testid="back-to-records" disabled={lost} onClick={leave}>
            <kbd>Esc</kbd>
            Back to Records
          </button>
        ) : (
          <button type="button" className="key boxed" data-testid="close-run" disabled={lost} onClick={() => order('close-run', {})}>
            {isBenchRun(bench.board.id) ? 'done' : 'put the board away'}
          </button>
        )}
      </footer>
    </div>
  )
}

const Failed = ({ one }: { one: Result['failed'][number] }): JSX.Element => (
  <li className="verdict-fail" data-testid="failed-step">
    <p className="failed-line">
      <Sign name="fail" />
      <b>{one.title}</b> <strong>{one.value}</strong>
      {one.limits !== '' && <span className="aside">limits {one.limits}</span>}
    </p>
    {one.means !== '' && <p>{one.means}</p>}
    {one.parts.length > 0 && (
      <p className="aside">
        Parts in question: <b>{one.parts.join(', ')}</b>
      </p>
    )}
  </li>
)
