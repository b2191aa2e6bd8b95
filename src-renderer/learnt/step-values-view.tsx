/** One step: its values in their order, their distribution, each meter's part, and the limits good boards speak for. */
import { ColumnTitles } from '../app/column-titles'
import type { JSX } from 'react'
import { Sign } from '../app/sign'
import { ChartPicture } from './chart-picture'
import { useLearnt } from './use-learnt'

type Props = { of: { board: string; revision: string }; step: string; away: boolean; save: (what: 'values' | 'distribution') => () => void }

export const StepValuesView = ({ of, step, away, save }: Props): JSX.Element => {
  const known = useLearnt('learnt-values', { ...of, step })
  if (known === null) return <p role="status">Reading the values …</p>
  if (typeof known === 'string') {
    return (
      <p className="form-fault" role="alert">
        <Sign name="warn" /> {known}
      </p>
    )
  }
  return (
    <section className="step-values" aria-label={known.title}>
      <h2>{known.title}</h2>
      <p data-testid="limits-from-boards">{known.limits}</p>
      {known.withoutChart !== '' && <p data-testid="without-chart">{known.withoutChart}</p>}
      {known.values !== null && (
        <>
          <div className="charts">
            <ChartPicture chart={known.values} testId="chart-values" away={away} save={save('values')} />
            {known.distribution !== null && <ChartPicture chart={known.distribution} testId="chart-distribution" away={away} save={save('distribution')} />}
          </div>
          <p className="aside">
            A cross is the value of a run that did not pass, or one that stands out: beyond three standard deviations, or the eighth in a row on one side of the mean.
            {known.charted > known.marks && ` Marked are the latest ${known.marks} values; the distribution has the latest ${known.charted}, the table (CSV) all.`}
          </p>
        </>
      )}
      {known.meters.length > 0 && (
        <table className="figures" data-testid="learnt-meters">
          <caption>Values of runs that passed, by meter</caption>
          <thead>
            <tr>
              <ColumnTitles titles={['Meter', 'Values', 'Mean', 'Scatter']} />
            </tr>
          </thead>
          <tbody>
            {known.meters.map(({ meter, count, mean, scatter }) => (
              <tr key={meter}>
                <th scope="row">{meter}</th>
                <td>{count}</td>
                <td>{mean}</td>
                <td>{scatter}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}
