/** One run, to be read: every step with its values, how they were judged and on what evidence, and everything that happened with its time. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { serialWords, timeWords } from '../app/words'
import type { RunDetail, RunHead } from '../../src-core/run/detail-view'
import { ActionLine, type RecordAction } from './action-line'
import { ExportLine, ExportProgress, exportRuns } from './export-line'
import { EventList } from './event-list'
import { ScreenTitle } from './screen-title'
import { RunVerdictWord } from './run-table'
import { StepRows } from './step-rows'

export const HeadWords = ({ head }: { head: RunHead }): JSX.Element => (
  <>
    {head.board.name} rev {head.board.revision}, {serialWords(head.serialNumber)}
    {head.practice && (
      <>
        {' '}
        <span className="badge practice">practice</span>
      </>
    )}
  </>
)

export const ReadRun = ({ run, back, issue, repair }: { run: string; back: () => void; issue: () => void; repair: () => void }): JSX.Element => {
  const { call } = useSession()
  const lost = useLost()
  const bench = useApp((state) => (state.bench?.run === run ? state.bench : null))
  const [detail, setDetail] = useState<RunDetail | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const [tries, setTries] = useState(0)

  // A run on the bench is read anew with everything that happens to it.
  useEffect(() => {
    if (lost) return
    let over = false
    call('read-run', { run }).then(
      (read) => {
        if (over) return
        setDetail(read)
        setFault(null)
      },
      (error: Error) => { if (!over) setFault(error.message) },
    )
    return () => { over = true }
  }, [call, run, bench, lost, tries])

  if (detail === null) {
    return (
      <div className="records">
        <h1>One run</h1>
        {fault === null ? <p role="status">Reading the run …</p> : (
          <p className="form-fault" role="alert">
            <Sign name="warn" /> {fault}
          </p>
        )}
        <ActionLine
          away={lost}
          actions={[
            { key: 'Esc', does: 'back to the list', testId: 'back-to-list', run: back },
            ...(fault === null ? [] : [{ key: 'R', does: 'try again', testId: 'read-again', run: () => setTries((n) => n + 1) }]),
          ]}
        />
      </div>
    )
  }
  return <Detail detail={detail} onBench={bench !== null} back={back} issue={issue} repair={repair} lost={lost} />
}

const Detail = ({ detail, onBench, back, issue, repair, lost }: { detail: RunDetail; onBench: boolean; back: () => void; issue: () => void; repair: () => void; lost: boolean }): JSX.Element => {
  const session = useSession()
  const { head, noRecord } = detail
  const [opened, setOpened] = useState<ReadonlySet<string>>(new Set())
  const [cursor, setCursor] = useState(0)
  const [exporting, setExporting] = useState(false)
  const [told, setTold] = useState<{ run: string; truth: string | null } | null>(null)
  const truth = told?.run === head.run ? told.truth : detail.truth
  // The touches of practice by hand take a while to reckon.
  useEffect(() => {
    if (detail.truth === null) return
    let over = false
    session.call('read-truth', { run: head.run }).then((read) => { if (!over) setTold({ run: head.run, truth: read.truth }) }, (error: Error) => { if (!over) session.say(error.message, 'problem') })
    return () => { over = true }
  }, [session, head.run, detail.truth])
  const made = useApp((state) => state.exporting)
  const events = useRef<HTMLDetailsElement>(null)
  const place = useRef<HTMLDivElement>(null)
  const step = detail.steps[cursor]

  const toggle = (id: string): void => setOpened((before) => (before.has(id) ? new Set([...before].filter((each) => each !== id)) : new Set([...before, id])))
  const moveTo = (index: number): void => {
    const within = Math.max(0, Math.min(detail.steps.length - 1, index))
    setCursor(within)
    const button = place.current?.querySelectorAll<HTMLButtonElement>('button.step-opener')[within]
    button?.focus()
    button?.scrollIntoView({ block: 'nearest' })
  }
  const inRows = (): boolean => document.activeElement?.closest('.step-rows') !== null && document.activeElement !== null
  const all = opened.size === detail.steps.length
  const actions: RecordAction[] = [
    { key: 'Esc', does: 'back to the list', testId: 'back-to-list', run: back },
    { key: '↓', does: 'down', testId: 'row-down', run: () => moveTo(inRows() ? cursor + 1 : cursor) },
    { key: '↑', does: 'up', testId: 'row-up', run: () => moveTo(cursor - 1) },
    { key: 'Enter', does: 'more of this step', testId: 'open-here', run: () => { if (step !== undefined) toggle(step.id) } },
    { key: 'M', does: all ? 'less of all' : 'more of all', testId: 'open-all', run: () => setOpened(all ? new Set() : new Set(detail.steps.map(({ id }) => id))) },
    {
      key: 'V', does: 'events', testId: 'open-events',
      run: () => {
        if (events.current === null) return
        events.current.open = !events.current.open
        if (events.current.open) events.current.scrollIntoView({ block: 'start' })
      },
    },
    { key: 'X', does: 'export', testId: 'export', run: () => setExporting(true) },
    { key: 'I', does: 'issue record', testId: 'to-record', not: noRecord, run: () => (noRecord === null ? issue() : session.say(noRecord, 'note')) },
    { key: 'L', does: 'repair log', testId: 'to-repair', not: detail.noRepair, run: () => (detail.noRepair === null ? repair() : session.say(detail.noRepair, 'note')) },
    onBench
      ? { key: 'B', does: 'to the bench', testId: 'to-bench', run: () => session.go('bench') }
      : { key: 'B', does: head.status === 'ended' ? 'result with its picture' : 'go on with it', testId: 'to-bench', run: () => session.order('open-run', { run: head.run }) },
  ]
  return (
    <div className="records" ref={place}>
      <ScreenTitle>
        <HeadWords head={head} />
      </ScreenTitle>
      <p className="run-outcome" data-testid="detail-verdict" data-verdict={head.verdict ?? 'not-ended'}>
        <RunVerdictWord verdict={head.verdict} /> <span>{head.because}</span>
      </p>
      <dl className="facts run-facts">
        <Fact name="Begun" words={timeWords(head.startedUtc)} />
        <Fact name="Ended" words={head.endedUtc === null ? `not ended, ${head.status}` : timeWords(head.endedUtc)} />
        <Fact name="Meter" words={head.meter} />
        {detail.meterFacts.map((fact) => (
          <Fact key={`${fact.name} ${fact.words}`} {...fact} />
        ))}
        <Fact name="Decision rule" words={detail.rule} />
        <Fact name="Sequence" words={`${head.sequence.id}, version ${head.sequence.version}`} />
        <Fact name="Bench kit" words={detail.kit.join(', ')} />
      </dl>
      {!detail.boardKnown && (
        <p className="form-fault">
          <Sign name="warn" /> The board file of this run is no longer in the data folder: its steps bear their short names, and their points are not known.
        </p>
      )}
      {detail.notes.length > 0 && (
        <div data-testid="run-notes">
          <h2>Notes on the run</h2>
          <ul className="run-notes">
            {detail.notes.map((text, index) => (
              <li key={index}>{text}</li>
            ))}
          </ul>
        </div>
      )}
      {truth !== null && (
        <p className="truth">
          <span className="badge practice">practice</span> {truth}
        </p>
      )}
      <StepRows run={head.run} steps={detail.steps} opened={opened} cursor={cursor} toggle={toggle} setCursor={setCursor} />
      <EventList events={detail.events} place={events} />
      {made !== null ? <ExportProgress {...made} away={lost} /> : exporting ? (
        <ExportLine count={1} away={lost} close={() => setExporting(false)} choose={(as) => exportRuns(session, [head.run], as)} />
      ) : (
        <ActionLine actions={actions} away={lost} />
      )}
    </div>
  )
}

const Fact = ({ name, words, warn = false }: { name: string; words: string; warn?: boolean }): JSX.Element => (
  <div>
    <dt>{name}</dt>
    <dd className={warn ? 'form-fault' : undefined}>
      {warn && <Sign name="warn" />} {words}
    </dd>
  </div>
)
