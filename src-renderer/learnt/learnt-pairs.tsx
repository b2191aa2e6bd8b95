/** Parts that fail together, with how often and what chance alone would give. */
import type { JSX } from 'react'
import type { LearntView } from '../../src-core/shop/learnt-view'
import { pairInWords, shareInWords } from '../../src-core/shop/learnt-words'

export const LearntPairs = ({ learnt }: { learnt: LearntView }): JSX.Element | null =>
  learnt.pairs.length === 0 ? null : (
    <section className="run-rows" aria-labelledby="learnt-together">
      <h2 id="learnt-together">What fails together</h2>
      <table data-testid="learnt-pairs">
        <thead>
          <tr>
            <th scope="col">Parts</th>
            <th scope="col">Share</th>
            <th scope="col">That is</th>
          </tr>
        </thead>
        <tbody>
          {learnt.pairs.map((pair) => (
            <tr key={pair.parts.join(' ')}>
              <th scope="row">{pair.parts.join(' and ')}</th>
              <td className="figures">{shareInWords(pair.share)}</td>
              <td>{pairInWords(pair)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
