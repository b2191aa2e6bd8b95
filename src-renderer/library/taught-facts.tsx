/** What a meter taught by measuring: its leads, its checks, and what it shows with the leads apart and joined. Nothing here is typed. */
import type { JSX } from 'react'
import { functionWords, timeWords } from '../app/words'
import type { AirPattern, Meter } from '../../src-core/meter/instrument'
import { unitOf, type UnitSymbol } from '../../src-core/meter/reading'
import { inWords } from '../../src-core/quantity/engineering'

export const Fact = ({ name, words }: { name: string; words: string }): JSX.Element => (
  <div>
    <dt>{name}</dt>
    <dd>{words}</dd>
  </div>
)

const shownWords = (shown: AirPattern['apart'] | null, unit: UnitSymbol): string => {
  if (shown === null) return 'not known'
  if (shown === 'overload') return 'OL'
  const figure = (value: number): string => inWords(Number(value.toPrecision(4)), unit, null)
  return shown.from === shown.to ? figure(shown.from) : `${figure(shown.from)} to ${figure(shown.to)}`
}

export const TaughtFacts = ({ meter }: { meter: Meter }): JSX.Element => {
  const { leadCheck, diodeCheck, sourceCheck, air } = meter
  return (
    <section className="card" aria-labelledby="taught-part">
      <h2 id="taught-part">What it taught by measuring</h2>
      <dl className="facts">
        <Fact name="Leads joined" words={leadCheck === null ? 'not checked yet' : `${inWords(leadCheck.ohms, 'Ω', leadCheck.resolution)}, ${timeWords(leadCheck.utc)}`} />
        <Fact name="Known diode" words={diodeCheck === null ? 'not checked yet' : `${diodeCheck.forwardVolts.toFixed(3)} V, ${timeWords(diodeCheck.utc)}`} />
        <Fact name="Known source" words={sourceCheck === null ? 'not checked yet' : `${sourceCheck.volts.toFixed(3)} V, ${timeWords(sourceCheck.utc)}`} />
      </dl>
      {air.length === 0 ? <p className="aside">What it shows with its leads apart is learned in the preparation of its first run.</p> : (
        <table className="figures">
          <caption>What it shows while it measures nothing</caption>
          <thead>
            <tr>
              <th scope="col">Function</th>
              <th scope="col">Range</th>
              <th scope="col">Leads apart</th>
              <th scope="col">Leads joined</th>
            </tr>
          </thead>
          <tbody>
            {air.map((one, at) => (
              <tr key={at}>
                <th scope="row">{functionWords[one.function]}</th>
                <td>{one.range === null ? 'any' : inWords(one.range, unitOf[one.function], null)}</td>
                <td>{shownWords(one.apart, unitOf[one.function])}</td>
                <td>{shownWords(one.joined, unitOf[one.function])}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}
