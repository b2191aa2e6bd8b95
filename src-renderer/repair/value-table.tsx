/** Each step's value in every run of the unit, the first beside the last. */
import type { JSX } from 'react'
import { Sign } from '../app/sign'
import { runVerdictWords, timeWords, verdictWords } from '../app/words'
import type { RepairView } from '../../src-core/repair/view'

const purposeWords: Record<RepairView['runs'][number]['purpose'], string> = { first: 'first', affected: 'again, what was repaired', whole: 'again, all', prove: 'proof' }

export const ValueTable = ({ view }: { view: RepairView }): JSX.Element => (
  <section className="card" aria-labelledby="values-of-unit">
    <h2 id="values-of-unit">Its values, run beside run</h2>
    <div className="run-rows" role="region" aria-label="Values" tabIndex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">step</th>
            {view.runs.map((one) => (
              <th key={one.run} scope="col">
                {purposeWords[one.purpose]}
                <br />
                <span className="aside">{timeWords(one.startedUtc)}{one.verdict === null ? ', not ended' : `, ${runVerdictWords[one.verdict]}`}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {view.values.map(({ id, title, made }) => (
            <tr key={id} data-testid="value-row" data-step={id}>
              <th scope="row">{title}</th>
              {made.map((one, at) => (
                <td key={view.runs[at]?.run ?? at}>
                  {one === null ? <span className="aside">not made</span> : (
                    <span className={`verdict-word verdict-${one.verdict ?? 'not-judged'}`}>
                      {one.verdict !== null && <Sign name={one.verdict} />} {one.value} {one.verdict !== null && <span className="aside">{verdictWords[one.verdict]}</span>}
                    </span>
                  )}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  </section>
)
