/** The history of one check standard as a control chart: each difference in units of its limit, in the order the checks were made. */
import type { JSX } from 'react'
import { checkOutcome, type CheckResult } from '../../src-core/metrology/check-standards'
import { checkedValueWords, shouldBeWords, standardName } from '../../src-core/metrology/check-words'
import { timeWords } from '../app/words'

const width = 720
const height = 210
const edge = { left: 74, right: 700, top: 18, bottom: 168 }
/** Units of the limit from the middle to the edge; what lies further out stands at the edge. */
const reach = 2
const mostPoints = 40
const middle = (edge.top + edge.bottom) / 2

const yOf = (units: number): number => middle - (Math.max(-reach, Math.min(reach, units)) / reach) * (middle - edge.top)

const unitsOf = ({ difference, limit }: CheckResult): number => (difference === null ? reach : difference / limit)

/** A good check is a dot, a failed one a cross with its word, one with a standard out of date an open square. */
const Point = ({ check, x }: { check: CheckResult; x: number }): JSX.Element => {
  const y = yOf(unitsOf(check))
  switch (checkOutcome(check)) {
    case 'good':
      return <circle className="check-good" cx={x} cy={y} r="5" />
    case 'failed':
      return (
        <g className="check-failed">
          <path d={`M${x - 7} ${y - 7}l14 14M${x + 7} ${y - 7}l-14 14`} />
          <text x={x} y={y < middle ? y + 26 : y - 14} textAnchor={x > edge.right - 40 ? 'end' : 'middle'}>
            failed
          </text>
        </g>
      )
    case 'standard out of date':
      return <rect className="check-void" x={x - 5} y={y - 5} width="10" height="10" />
  }
}

const Line = ({ units, words }: { units: number; words: string }): JSX.Element => (
  <g className={units === 0 ? 'check-middle' : 'check-limit'}>
    <path d={`M${edge.left} ${yOf(units)}H${edge.right}`} />
    <text x={edge.left - 10} y={yOf(units) + 5} textAnchor="end">
      {words}
    </text>
  </g>
)

/** @param checks of one standard, oldest first, at least one. */
export const ControlChart = ({ checks }: { checks: readonly CheckResult[] }): JSX.Element => {
  const shown = checks.slice(-mostPoints)
  const [first, last] = [shown[0], shown.at(-1)]
  const step = shown.length < 2 ? 0 : (edge.right - edge.left - 40) / (shown.length - 1)
  const xOf = (index: number): number => (shown.length < 2 ? (edge.left + edge.right) / 2 : edge.left + 20 + index * step)
  const failed = shown.filter((check) => checkOutcome(check) === 'failed').length
  const name = last === undefined ? '' : standardName(last.standard)
  return (
    <figure className="control-chart" data-testid="control-chart">
      <figcaption>{name}: difference from its value, in units of the limit</figcaption>
      <svg viewBox={`0 0 ${width} ${height}`} role="img" aria-label={`${name}: ${shown.length} checks, ${failed} failed. The table below has every value.`}>
        <Line units={1} words="+ limit" />
        <Line units={0} words="0" />
        <Line units={-1} words="− limit" />
        {shown.map((check, index) => (
          <Point key={check.id} check={check} x={xOf(index)} />
        ))}
        <text className="check-when" x={edge.left} y={height - 14}>
          {first === undefined ? '' : timeWords(first.utc)}
        </text>
        {last !== first && (
          <text className="check-when" x={edge.right} y={height - 14} textAnchor="end">
            {last === undefined ? '' : timeWords(last.utc)}
          </text>
        )}
      </svg>
      <details>
        <summary>{name} as a table</summary>
        <table className="figures check-table">
          <caption>Newest first</caption>
          <thead>
            <tr>
              <th scope="col">Checked</th>
              <th scope="col">Read</th>
              <th scope="col">Should be</th>
              <th scope="col">Part of the limit</th>
              <th scope="col">Result</th>
            </tr>
          </thead>
          <tbody>
            {[...shown].reverse().map((check) => (
              <tr key={check.id}>
                <th scope="row">{timeWords(check.utc)}</th>
                <td>{checkedValueWords(check)}</td>
                <td>{shouldBeWords(check)}</td>
                <td>{check.difference === null ? 'none' : (check.difference / check.limit).toFixed(2).replace('-', '−')}</td>
                <td>{checkOutcome(check)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </figure>
  )
}
