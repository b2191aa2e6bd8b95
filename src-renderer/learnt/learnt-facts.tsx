/** The figures of a board type in one row, each with what it rests on. */
import type { JSX } from 'react'
import type { LearntView } from '../../src-core/shop/learnt-view'
import { effortInWords, shareInWords } from '../../src-core/shop/learnt-words'

const verdictNames: Record<string, string> = { pass: 'passed', fail: 'failed', 'beyond-repair': 'beyond repair', incomplete: 'incomplete' }

export const LearntFacts = ({ learnt }: { learnt: LearntView }): JSX.Element => (
  <section className="learnt-facts" aria-label="In figures">
    {learnt.due > 0 && (
      <p role="status" className="aside" data-testid="learnt-due">
        {learnt.due === 1 ? 'One run is' : `${learnt.due} runs are`} still to be read; the figures grow meanwhile.
      </p>
    )}
    {learnt.runs === 0 ? (
      <p data-testid="learnt-none">No run of this board type has ended yet. Practice runs teach nothing here.</p>
    ) : (
      <dl className="facts" data-testid="learnt-figures">
        <div>
          <dt>Runs that ended</dt>
          <dd>
            {learnt.runs}
            <span className="aside"> {learnt.verdicts.filter(({ count }) => count > 0).map(({ verdict, count }) => `${count} ${verdictNames[verdict] ?? verdict}`).join(', ')}</span>
          </dd>
        </div>
        <div>
          <dt>Passed, of those judged</dt>
          <dd>{shareInWords(learnt.passed)}</dd>
        </div>
        <div>
          <dt>Touches a board</dt>
          <dd>{effortInWords(learnt.touches)}</dd>
        </div>
        <div>
          <dt>Minutes a board</dt>
          <dd>{effortInWords(learnt.minutes)}</dd>
        </div>
        <div>
          <dt>Confirmations a run</dt>
          <dd>{effortInWords(learnt.confirmations)}</dd>
        </div>
      </dl>
    )}
    {learnt.history !== '' && <p data-testid="learnt-history">{learnt.history}</p>}
  </section>
)
