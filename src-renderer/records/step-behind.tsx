/** What lies behind a step's value: where the tips were, every touch with its figures, and the frames as the meter sent them. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { Sign } from '../app/sign'
import { clockWords, evidenceWords, functionWords, verdictWords } from '../app/words'
import { ValueBudget } from './value-budget'
import type { DetailStep, DetailValue, FrameView } from '../../src-core/run/detail-view'

export const StepBehind = ({ run, step }: { run: string; step: DetailStep }): JSX.Element => (
  <div className="behind">
    <p>
      {[step.placement, step.function === null ? '' : functionWords[step.function], step.parts.length === 0 ? '' : `parts ${step.parts.join(', ')}`].filter((each) => each !== '').join(' · ') || 'Nothing is measured in this step.'}
    </p>
    {step.means !== '' && (step.verdict === 'fail' || step.verdict === 'conditional-fail') && <p>{step.means}</p>}
    {step.values.map((value) => (
      <Value key={value.seq} run={run} title={step.title} value={value} />
    ))}
    {step.found !== undefined && <Found run={run} found={step.found} />}
  </div>
)

/** Points of a walk that was learned, or what a watch came to. */
const Found = ({ run, found }: { run: string; found: NonNullable<DetailStep['found']> }): JSX.Element => (
  <ul className="found" data-testid="found">
    {found.map(({ seq, words, utc, meter, frames }, index) => (
      <li key={`${seq} ${index}`}>
        <span className="figures">{words}</span>
        {found.findIndex((each) => each.seq === seq) === index && (
          <>
            {' '}
            <span className="aside">{clockWords(utc)}, {meter}</span>
            <Frames run={run} value={{ seq, frames, conversions: frames, evidence: frames === 0 ? 'typed' : 'steady' }} />
          </>
        )}
      </li>
    ))}
  </ul>
)

const Value = ({ run, title, value }: { run: string; title: string; value: DetailValue }): JSX.Element => (
  <section className="one-value" aria-label={`${title}, touch ${value.touch}, ${value.words}, event ${value.seq}`}>
    <p className="one-value-head">
      <b className="figures">{value.words}</b> {value.uncertainty !== '' && <span className="figures">{value.uncertainty}</span>}
      <span className={`verdict-word verdict-${value.verdict}`}>
        <Sign name={value.verdict} />
        {verdictWords[value.verdict]}
      </span>
      <span>{evidenceWords[value.evidence]}</span>
      <span className="aside">{value.standing ? 'the value that stands' : 'earlier value'}</span>
    </p>
    <dl className="facts figures">
      <Figure name="Recorded" words={`${clockWords(value.utc)}, touch ${value.touch}, event ${value.seq}`} />
      <Figure name="Meter" words={value.meter} />
      <Figure name="Limits, rule" words={`${value.limits}, ${value.rule}`} />
      <Figure name="Conversions" words={`${value.conversions} in ${value.seconds.toFixed(1)} s`} />
      <Figure name="Standard deviation" words={value.sd} />
      <Figure name="Median" words={value.median} />
      <Figure name="One count, range" words={[value.resolution, value.range].filter((each) => each !== '').join(', ')} />
    </dl>
    <ValueBudget value={value} />
    <Frames run={run} value={value} />
  </section>
)

const Figure = ({ name, words }: { name: string; words: string }): JSX.Element => (
  <div>
    <dt>{name}</dt>
    <dd>{words === '' ? 'none' : words}</dd>
  </div>
)

const Frames = ({ run, value }: { run: string; value: Pick<DetailValue, 'seq' | 'frames' | 'conversions' | 'evidence'> }): JSX.Element => {
  const { call } = useSession()
  const [frames, setFrames] = useState<readonly FrameView[] | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  if (value.frames === 0) return <p className="aside">No frames of a meter: {value.evidence === 'typed' ? 'the value was typed' : 'none were kept'}.</p>
  if (frames === null) {
    return (
      <p>
        <button
          type="button"
          className="quiet-act"
          data-testid="show-frames"
          onClick={() => {
            setFault(null)
            call('read-frames', { run, seq: value.seq }).then((answer) => setFrames(answer.frames), (error: Error) => setFault(error.message))
          }}
        >
          Show {value.frames === 1 ? 'the raw frame' : `the ${value.frames} raw frames`}{value.frames < value.conversions && ' of the window the value was taken from'}
        </button>
        {fault !== null && <span className="form-fault"> {fault}</span>}
      </p>
    )
  }
  return (
    <div className="frames" tabIndex={0} role="group" aria-label="Raw frames">
      <ol data-testid="frames">
        {frames.map(({ hex, text }, index) => (
          <li key={index}>
            {text !== null && <code className="frame-text">{text}</code>} <code className="aside">{hex.replace(/(..)(?=.)/g, '$1 ')}</code>
          </li>
        ))}
      </ol>
    </div>
  )
}
