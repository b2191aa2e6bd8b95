/** The uncertainty budget of one value: against its limits as a small chart, and part by part as a table. */
import type { JSX } from 'react'
import type { BudgetView } from '../../src-core/metrology/budget-view'
import type { DetailValue } from '../../src-core/run/detail-view'

export const ValueBudget = ({ value }: { value: DetailValue }): JSX.Element | null => {
  if (value.noBudget !== '') return <p>No uncertainty: {value.noBudget}</p>
  if (value.budget === null) return null
  const { budget } = value
  return (
    <details className="budget" open={value.standing} data-testid="budget">
      <summary>
        Uncertainty <b className="figures">{budget.result}</b>
      </summary>
      {budget.conformance !== '' && <p data-testid="conformance">Against {value.limits}: {budget.conformance} (JCGM 106:2012).</p>}
      {budget.acceptance !== '' && <p data-testid="acceptance">{budget.acceptance}</p>}
      <Axis axis={budget.axis} words={[`${budget.result} against the limits ${value.limits}`, budget.acceptance].filter((each) => each !== '').join('. ')} />
      <div className="budget-rows" tabIndex={0} role="group" aria-label="Uncertainty budget, part by part">
        <Parts budget={budget} />
      </div>
      <p>{budget.coverage}</p>
      {budget.remarks.length > 0 && (
        <ul className="budget-remarks">
          {budget.remarks.map((each) => (
            <li key={each}>{each}</li>
          ))}
        </ul>
      )}
      <p className="aside">{value.ruleWords}</p>
    </details>
  )
}

const left = 90
const right = 510
const middle = 40
const at = (place: number): number => left + place * (right - left)

const Limit = ({ place, side }: { place: number | null; side: 'lower' | 'upper' }): JSX.Element | null =>
  place === null ? null : (
    <g className="axis-limit">
      <path d={`M${at(place)} ${middle - 22}V${middle + 22}`} />
      <text x={at(place) + (side === 'lower' ? -6 : 6)} y={middle - 12} textAnchor={side === 'lower' ? 'end' : 'start'}>
        {side} limit
      </text>
    </g>
  )

const AcceptanceLimit = ({ place, side }: { place: number | null; side: 'lower' | 'upper' }): JSX.Element | null =>
  place === null ? null : (
    <g className="axis-acceptance">
      <path d={`M${at(place)} ${middle - 16}V${middle + 28}`} />
      <text x={at(place) + (side === 'lower' ? -6 : 6)} y={middle + 36} textAnchor={side === 'lower' ? 'end' : 'start'}>
        acceptance
      </text>
    </g>
  )

const Axis = ({ axis, words }: { axis: BudgetView['axis']; words: string }): JSX.Element => {
  const [lo, hi] = [axis.lo === null ? 0 : at(axis.lo), axis.hi === null ? 600 : at(axis.hi)]
  const guarded = axis.acceptLo !== null || axis.acceptHi !== null
  return (
    <figure className="budget-axis">
      <svg viewBox={`0 0 600 ${guarded ? 80 : 66}`} role="img" aria-label={`Chart: ${words.replace(/\.$/, '')}. The table below has the figures.`}>
        {(axis.lo !== null || axis.hi !== null) && <rect className="axis-within" x={lo} y={middle - 14} width={Math.max(0, hi - lo)} height="28" />}
        <path className="axis-line" d={`M0 ${middle}H600`} />
        <Limit place={axis.lo} side="lower" />
        <Limit place={axis.hi} side="upper" />
        <AcceptanceLimit place={axis.acceptLo} side="lower" />
        <AcceptanceLimit place={axis.acceptHi} side="upper" />
        <path className="axis-interval" d={`M${at(axis.from)} ${middle - 8}v16m0-8H${at(axis.to)}m0-8v16`} />
        <circle className="axis-value" cx={at(axis.value)} cy={middle} r="5" />
      </svg>
      <figcaption className="aside">The value as a dot with U to both sides{axis.lo === null && axis.hi === null ? '' : ', the limits as upright lines'}{guarded && ', the acceptance limits as dashed ones'}.</figcaption>
    </figure>
  )
}

const Parts = ({ budget: { rows, combined } }: { budget: BudgetView }): JSX.Element => (
  <table className="figures budget-table">
    <thead>
      <tr>
        <th scope="col">Part</th>
        <th scope="col">Spread</th>
        <th scope="col">Standard uncertainty</th>
        <th scope="col">Sensitivity</th>
        <th scope="col">Degrees of freedom</th>
        <th scope="col">Adds</th>
        <th scope="col">Share</th>
      </tr>
    </thead>
    <tbody>
      {rows.map((row, index) => (
        <tr key={index}>
          <th scope="row">
            {row.what} <span className="aside">{row.from}</span>
          </th>
          <td>{row.spread}</td>
          <td>{row.standard}</td>
          <td>{row.sensitivity}</td>
          <td>{row.degrees}</td>
          <td>{row.contribution}</td>
          <td>
            <svg className="budget-bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
              <rect width={100 * row.bar} height="10" />
            </svg>
            {row.share}
          </td>
        </tr>
      ))}
    </tbody>
    <tfoot>
      <tr>
        <th scope="row">combined</th>
        <td />
        <td>{combined.standard}</td>
        <td />
        <td>{combined.degrees}</td>
        <td>{combined.standard}</td>
        <td>100 %</td>
      </tr>
    </tfoot>
  </table>
)
