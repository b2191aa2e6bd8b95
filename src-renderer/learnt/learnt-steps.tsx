/** The steps of a board type, each with how often it failed and how the values of good boards lie. */
import { ColumnTitles, UnseenTitle } from '../app/column-titles'
import { useEffect, useRef, type JSX } from 'react'
import type { LearntView } from '../../src-core/shop/learnt-view'
import { cpkInWords, shareInWords } from '../../src-core/shop/learnt-words'

type Props = { steps: LearntView['steps']; cursor: number; come: (index: number) => void; open: (step: string) => void }

export const LearntSteps = ({ steps, cursor, come, open }: Props): JSX.Element => {
  const table = useRef<HTMLTableElement>(null)
  const shown = useRef(cursor)
  useEffect(() => {
    if (shown.current === cursor) return
    shown.current = cursor
    const row = table.current?.tBodies[0]?.rows[cursor]
    // A press of the mouse is there already: moving the row from under it would lose the click.
    if (row === undefined || row.contains(document.activeElement)) return
    row.querySelector('button')?.focus()
    row.scrollIntoView({ block: 'nearest' })
  }, [cursor])
  return (
    <section className="run-rows" aria-labelledby="learnt-steps">
      <h2 id="learnt-steps">Values, step by step</h2>
      <table ref={table} data-testid="learnt-steps">
        <caption>Mean, scatter and Cpk are of runs that passed</caption>
        <thead>
          <tr>
            <ColumnTitles titles={['Step', 'Failed', 'Values', 'Mean', 'Scatter', 'Limits', 'Cpk', 'Meters']} />
            <UnseenTitle title="Open" />
          </tr>
        </thead>
        <tbody>
          {steps.map((row, index) => (
            <tr key={row.step} className={index === cursor ? 'run-here' : undefined} aria-current={index === cursor ? 'true' : undefined} onFocus={() => come(index)}>
              <th scope="row">{row.title}</th>
              <td className="figures">{shareInWords(row.failed)}</td>
              <td className="figures">
                {row.values}
                {row.open > 0 && <span className="aside"> and {row.open} open</span>}
              </td>
              <td className="figures">{row.mean}</td>
              <td className="figures">{row.scatter}</td>
              <td className="figures">{row.limits}</td>
              <td className="figures">{cpkInWords(row)}</td>
              <td className="figures">{row.meters}</td>
              <td>
                <button type="button" className="quiet-act" tabIndex={index === cursor ? 0 : -1} data-testid="open-values" aria-label={`Open the values of ${row.title}`} onClick={() => open(row.step)}>
                  open
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
