/** What a meter puts on its leads: the sources that were fitted, and the run that fits them. */
import type { JSX } from 'react'
import { useApp } from '../app/session'
import { functionWords } from '../app/words'
import type { Meter } from '../../src-core/meter/instrument'
import { inWords } from '../../src-core/quantity/engineering'
import { BenchRunButton } from './bench-run-button'

export const SourceFitCard = ({ meter }: { meter: Meter }): JSX.Element => {
  const connected = useApp((state) => state.link.meter) === meter.id
  const fitted = meter.register.sources.filter(({ basis }) => basis === 'fitted')
  return (
    <section className="card check-card" aria-labelledby="fit-title" data-testid="source-fit-card">
      <h2 id="fit-title">Source, fitted</h2>
      <p className="aside">Two resistors and a diode of the bench kit tell what this meter drives in diode test and resistance. About three minutes.</p>
      {fitted.length > 0 && (
        <table className="figures">
          <caption>Fitted so far</caption>
          <thead>
            <tr>
              <th scope="col">Function</th>
              <th scope="col">Range</th>
              <th scope="col">Open voltage</th>
              <th scope="col">Behind</th>
              <th scope="col">At most</th>
              <th scope="col">Plus at</th>
            </tr>
          </thead>
          <tbody>
            {fitted.map((one) => (
              <tr key={`${one.function} ${one.range ?? ''}`}>
                <th scope="row">{functionWords[one.function]}</th>
                <td>{one.range === null ? 'any' : inWords(one.range, 'Ω', null)}</td>
                <td>{inWords(one.volts, 'V', null)}</td>
                <td>{inWords(one.ohms, 'Ω', null)}</td>
                <td>{one.amperes === null ? 'no limit' : inWords(one.amperes, 'A', null)}</td>
                <td>{one.plus} lead</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <BenchRunButton command="fit-source" words="Fit the source" connected={connected} />
    </section>
  )
}
