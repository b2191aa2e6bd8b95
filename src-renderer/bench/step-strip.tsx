/** The steps of the run in a row: what came out, how it was judged, on what evidence, and what it was before. */
import { memo, useLayoutEffect, useRef, type JSX } from 'react'
import { Sign } from '../app/sign'
import { verdictWords, type VerdictShown } from '../app/words'
import type { StepRow } from '../../src-core/run/view'

const shownVerdict = (row: StepRow): VerdictShown | null => (row.state === 'skipped' ? 'skipped' : row.verdict)

const stateWords: Record<StepRow['state'], string> = {
  'to-come': 'to come',
  now: 'now',
  decided: 'done',
  skipped: 'skipped',
  'passed-over': 'not needed',
}

/** One line that keeps the present step in view, or once ended the first that failed. */
export const StepStrip = memo(({ steps }: { steps: StepRow[] }): JSX.Element => {
  const strip = useRef<HTMLOListElement>(null)
  const now = steps.findIndex((row) => row.state === 'now')
  const shown = now >= 0 ? now : steps.findIndex((row) => row.verdict === 'fail' || row.verdict === 'conditional-fail')

  useLayoutEffect(() => {
    const list = strip.current
    const row = list?.children[shown]
    if (list === null || !(row instanceof HTMLElement)) return
    const bring = (): void => { list.scrollLeft = row.offsetLeft - list.clientWidth * 0.45 }
    bring()
    const resized = new ResizeObserver(bring)
    resized.observe(list)
    return () => resized.disconnect()
  }, [shown, steps.length])

  return (
    <section className="steps" aria-label="Steps">
      <ol ref={strip} tabIndex={0} aria-label="Steps of this run">
        {steps.map((row) => (
          <Row key={row.id} row={row} />
        ))}
      </ol>
    </section>
  )
})
StepStrip.displayName = 'StepStrip'

const Row = memo(({ row }: { row: StepRow }): JSX.Element => {
  const verdict = shownVerdict(row)
  return (
    <li
      className={`step step-${row.state} ${verdict === null ? '' : `verdict-${verdict}`}`}
      data-testid="step-row"
      data-step={row.id}
      data-state={row.state}
      data-verdict={verdict ?? ''}
      aria-current={row.state === 'now' ? 'step' : undefined}
    >
      <span className="step-title">{row.title}</span>
      <strong className="step-value">
        {row.value === '' ? ' ' : row.value}
        {verdict === null && row.evidence !== null && <span className="step-evidence" data-testid="evidence"> {row.evidence}</span>}
      </strong>
      <span className="step-judged">
        {verdict !== null ? (
          <>
            <span className="step-verdict">
              <Sign name={verdict} />
              <span data-testid="step-verdict">{verdictWords[verdict]}</span>
            </span>
            {row.evidence !== null && (
              <span className="step-evidence" data-testid="evidence">
                {row.evidence}
              </span>
            )}
          </>
        ) : row.state === 'to-come' || row.state === 'now' ? (
          <span className="step-limits">{row.limits === '' ? stateWords[row.state] : row.limits}</span>
        ) : (
          <span className="step-limits">{stateWords[row.state]}</span>
        )}
      </span>
      <Aside row={row} />
    </li>
  )
})
Row.displayName = 'Row'

/** What else is to be read of a step, beside its value and whole: why it was skipped, earlier values, notes. */
const Aside = ({ row }: { row: StepRow }): JSX.Element | null => {
  const why = row.skipReason
  if (why === null && row.note === null && row.earlier.length === 0 && row.first === undefined && row.beside === undefined && row.expected === undefined) return null
  return (
    <span className="step-aside" tabIndex={0} title={asideWords(row)}>
      {why !== null && (
        <span className="step-why" data-testid="skip-reason">
          because: {why}
        </span>
      )}
      {row.beside !== undefined && (
        <span className="step-earlier" data-testid="beside-value">
          {row.beside}
        </span>
      )}
      {row.expected !== undefined && (
        <span className="step-earlier" data-testid="expected-value">
          {row.expected}
        </span>
      )}
      {row.first !== undefined && (
        <span className="step-earlier" data-testid="first-value">
          first {row.first}
        </span>
      )}
      {row.earlier.length > 0 && (
        <span className="step-earlier" data-testid="earlier">
          earlier{' '}
          {row.earlier.map((value, index) => (
            <s key={index}>{value}</s>
          ))}
        </span>
      )}
      {row.note !== null && (
        <span className="step-note" data-testid="step-note">
          <span className="aside">note</span> {row.note}
        </span>
      )}
    </span>
  )
}

const asideWords = ({ skipReason, earlier, first, beside, expected, note }: StepRow): string =>
  [
    ...(skipReason === null ? [] : [`Skipped because: ${skipReason}`]),
    ...(beside === undefined ? [] : [beside]),
    ...(expected === undefined ? [] : [expected]),
    ...(first === undefined ? [] : [`When it was first measured: ${first}`]),
    ...(earlier.length === 0 ? [] : [`Earlier: ${earlier.join(', ')}`]),
    ...(note === null ? [] : [`Note: ${note}`]),
  ].join('\n')
