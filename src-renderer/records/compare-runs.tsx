/** Two runs of one board type side by side: both values, how far apart, and whether that is more than their uncertainty. */
import { useEffect, useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { evidenceWords, timeWords, verdictWords } from '../app/words'
import type { ComparedStep, Comparison } from '../../src-core/run/compare-view'
import { ActionLine, type RecordAction } from './action-line'
import { ExportLine, ExportProgress, exportRuns } from './export-line'
import { HeadWords } from './read-run'
import { ScreenTitle } from './screen-title'
import { RunVerdictWord } from './run-table'

type Props = { first: string; second: string; back: () => void }

export const CompareRuns = ({ first, second, back }: Props): JSX.Element => {
  const session = useSession()
  const { call } = session
  const lost = useLost()
  const [both, setBoth] = useState<Comparison | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const [onlyFlagged, setOnlyFlagged] = useState(false)
  const [exporting, setExporting] = useState(false)
  const made = useApp((state) => state.exporting)
  useEffect(() => {
    let over = false
    call('compare-runs', { first, second }).then((answer) => { if (!over) setBoth(answer) }, (error: Error) => { if (!over) setFault(error.message) })
    return () => { over = true }
  }, [call, first, second])

  const backAction: RecordAction = { key: 'Esc', does: 'back to the list', testId: 'back-to-list', run: back }
  if (both === null) {
    return (
      <div className="records">
        <h1>Two runs</h1>
        {fault === null ? <p role="status">Comparing …</p> : (
          <p className="form-fault" role="alert" data-testid="compare-refused">
            <Sign name="warn" /> {fault}
          </p>
        )}
        <ActionLine actions={[backAction]} away={lost} />
      </div>
    )
  }
  const shown = onlyFlagged ? both.steps.filter(({ flagged }) => flagged) : both.steps
  return (
    <div className="records">
      <ScreenTitle>Two runs of {both.first.board.name}</ScreenTitle>
      <p data-testid="compare-count">
        <Sign name={both.flagged === 0 ? 'good' : 'warn'} /> {both.flagged === 0 ? 'No step is further apart than its uncertainty.' : `${both.flagged} of ${both.steps.length} steps worth a look: further apart than U, one open, or judged otherwise.`}
      </p>
      {both.caution !== '' && (
        <p className="form-fault">
          <Sign name="warn" /> {both.caution}
        </p>
      )}
      <div className="run-rows" tabIndex={0} role="group" aria-label="Comparison">
        <table className="compared">
          <thead>
            <tr>
              <th scope="col">Step</th>
              {[both.first, both.second].map((head, index) => (
                <th key={head.run} scope="col">
                  {index === 0 ? 'First' : 'Second'}: <HeadWords head={head} />, {timeWords(head.startedUtc)}
                  <br />
                  <RunVerdictWord verdict={head.verdict} />
                </th>
              ))}
              <th scope="col">Second less first</th>
              <th scope="col">U of both</th>
              <th scope="col">So</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((step) => (
              <Compared key={step.id} step={step} />
            ))}
          </tbody>
        </table>
      </div>
      <p className="aside">
        U of both is the root of the sum of the squares of the two uncertainties (k = 2). With the same meter for both, part of it is common to the two: a smaller difference can be real as well.
      </p>
      {both.notComparable.length > 0 && (
        <div data-testid="not-comparable">
          <h2>Not comparable</h2>
          <ul className="run-notes">
            {both.notComparable.map(({ id, title, because }) => (
              <li key={`${id} ${because}`}>
                <b>{title}</b>: {because}
              </li>
            ))}
          </ul>
        </div>
      )}
      {made !== null ? <ExportProgress {...made} away={lost} /> : exporting ? (
        <ExportLine count={2} away={lost} close={() => setExporting(false)} choose={(as) => exportRuns(session, [first, second], as)} />
      ) : (
        <ActionLine
          away={lost}
          actions={[
            backAction,
            { key: 'D', does: onlyFlagged ? 'all steps' : 'only those worth a look', testId: 'only-flagged', run: () => setOnlyFlagged(!onlyFlagged) },
            { key: 'X', does: 'export both', testId: 'export', run: () => setExporting(true) },
          ]}
        />
      )}
    </div>
  )
}

const Side = ({ side }: { side: ComparedStep['first'] }): JSX.Element => (
  <td>
    <b className="figures">{side.value === '' ? (side.skipped ? '' : 'none') : side.value}</b> <span className="aside figures">{side.uncertainty}</span>
    {(side.verdict !== null || side.skipped) && (
      <span className={`verdict-word side-verdict verdict-${side.skipped ? 'skipped' : side.verdict ?? ''}`}>
        <Sign name={side.skipped ? 'skipped' : side.verdict ?? 'not-judged'} />
        {verdictWords[side.skipped ? 'skipped' : side.verdict ?? 'not-judged']}
        {side.evidence !== null && <span className="aside">{evidenceWords[side.evidence]}</span>}
      </span>
    )}
  </td>
)

const Compared = ({ step }: { step: ComparedStep }): JSX.Element => (
  <tr data-testid="compared-step" data-step={step.id} data-flagged={step.flagged} className={step.flagged ? 'flagged' : undefined}>
    <th scope="row">
      {step.title}
      <br />
      <span className="aside">{step.limits}</span>
    </th>
    <Side side={step.first} />
    <Side side={step.second} />
    <td className="figures">
      {step.difference === null ? '' : step.difference.words}
      {step.difference !== null && step.difference.percent !== null && <span className="aside percent"> {percentWords(step.difference.percent)}</span>}
    </td>
    <td className="figures">{step.combined === '' ? '' : `± ${step.combined}`}</td>
    <td>
      {step.flagged && <Sign name="warn" />} {step.says}
    </td>
  </tr>
)

const percentWords = (percent: number): string => `${percent > 0 ? '+' : percent < 0 ? '\u2212' : ''}${Math.abs(percent)} %`
