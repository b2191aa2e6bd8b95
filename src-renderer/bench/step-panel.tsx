/** The right half of the bench: the prompt, the reading, what is waited for, and the scale. */
import { Fragment, memo, useRef, type JSX } from 'react'
import { LiveFigure } from '../app/live-figure'
import { useApp, useLost } from '../app/session'
import { Sign } from '../app/sign'
import { flagWords, functionWords } from '../app/words'
import type { BenchView, LiveView } from '../../src-core/run/view'
import { promptSize } from './prompt-size'
import { Scale } from './scale'
import { stateShown } from './state-shown'
import { TypedField } from './typed-field'
import { useFitted } from './use-fitted'

type Step = NonNullable<BenchView['step']>

type Props = { step: BenchView['step']; asksMeter: boolean; /** A reason or a note is being asked for. */ away: boolean }

export const StepPanel = ({ step, asksMeter, away }: Props): JSX.Element => {
  const size = asksMeter ? 'short' : promptSize((step?.prompt ?? []).reduce((sum, part) => sum + part.text.length + 1, 0))
  const measuring = step?.kind === 'measure'
  const panel = useRef<HTMLElement>(null)
  useFitted(panel, step)
  return (
    <section ref={panel} className={`step-panel prompt-${size} ${measuring ? 'measuring' : 'reading-aside'}`} aria-label="Prompt and reading">
      <h1 className="unseen">{step?.title ?? 'No step is to be made'}</h1>
      <div className="step-grid">
        {asksMeter ? (
          <SameMeter />
        ) : step === null ? (
          <div className="prompt" data-testid="prompt">
            No step is to be made
          </div>
        ) : (
          <Prompt step={step} />
        )}
        {step !== null && step.typed !== null && !asksMeter ? <TypedField key={step.id} step={step} unit={step.typed.unit} away={away} /> : <Reading />}
        <StateLine />
        {measuring && step.limits !== '' && <LiveScale step={step} />}
      </div>
    </section>
  )
}

/** Asked after the meter was away, in the prompt's place: until it is answered no tip goes anywhere. */
const SameMeter = (): JSX.Element => (
  <div className="asked-for">
    <div className="prompt" data-testid="prompt" role="status">
      Same meter and leads as before?
    </div>
    <p className="where">The meter was away. Scanning its asset number answers too. The step goes on once the proof has been made again.</p>
  </div>
)

const Prompt = memo(({ step }: { step: Step }): JSX.Element => (
  <div className="asked-for">
    {step.onBoard !== undefined && <OnBoard board={step.onBoard} />}
    <div className="prompt" data-testid="prompt" role="status">
      {step.prompt.map((part, index) => (
        <Fragment key={index}>
          {index > 0 && ' '}
          {part.lead === null ? (
            <span>{part.text}</span>
          ) : (
            <span className={`lead lead-${part.lead}`}>
              <LeadShape lead={part.lead} />
              {part.text}
            </span>
          )}
        </Fragment>
      ))}
    </div>
    {step.where !== '' && <p className="where">{step.where}</p>}
    {step.caution !== null && (
      <p className="caution">
        <Sign name="warn" /> <span>{step.caution}</span>
      </p>
    )}
  </div>
))
Prompt.displayName = 'Prompt'

/** Which of two boards: a frame, a shape and words of its own, so that colour is never the only difference. */
const OnBoard = ({ board: { which, words } }: { board: NonNullable<Step['onBoard']> }): JSX.Element => (
  <p className={`on-board on-board-${which}`} data-testid="on-board">
    <svg viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <rect x="3" y="4" width="18" height="16" rx="2" />
      {which === 'good' ? <path d="M7.5 12.5l3 3 6-7" /> : which === 'both' ? <path d="M12 4v16" /> : <path d="M9.3 9.6a2.7 2.7 0 1 1 4 2.3c-.9.5-1.3 1-1.3 1.9M12 16.6v.3" />}
    </svg>
    {words}
  </p>
)

const LeadShape = ({ lead }: { lead: 'red' | 'black' }): JSX.Element => (
  <svg className={`lead-shape lead-shape-${lead}`} viewBox="0 0 20 20" aria-hidden="true" focusable="false">
    {lead === 'red' ? <circle cx="10" cy="10" r="7.2" /> : <rect x="3" y="3" width="14" height="14" />}
  </svg>
)

const Reading = (): JSX.Element => {
  const { reading, beads, watch } = useApp((state) => state.live)
  return (
    <div className={watch === undefined ? 'reading' : 'reading followed'}>
      <LiveFigure reading={reading} />
      {watch !== undefined ? <Watched watch={watch} /> : <div className="reading-about">
        <span>{reading === null ? ' ' : [functionWords[reading.function], ...reading.flags.map(flagWords)].join(', ')}</span>
        {beads !== null && (
          <span className="beads" role="img" aria-label={`${beads.have} of ${beads.of} steady values`}>
            {Array.from({ length: beads.of }, (_, index) => (
              <i key={index} className={index < beads.have ? 'bead on' : 'bead'} />
            ))}
          </span>
        )}
      </div>}
    </div>
  )
}

/** What the watch has seen so far; its tone is for the ear. */
const Watched = ({ watch }: { watch: NonNullable<LiveView['watch']> }): JSX.Element => (
  <dl className="watched figures" data-testid="watched" data-pitch={watch.pitch ?? ''}>
    <div><dt>min</dt><dd>{watch.minimum}</dd></div>
    <div><dt>max</dt><dd>{watch.maximum}</dd></div>
    <div><dt className="unseen">dropouts</dt><dd>{watch.dropouts}</dd></div>
    <div><dt className="unseen">time</dt><dd>{watch.time}</dd></div>
  </dl>
)

const StateLine = (): JSX.Element => {
  const live = useApp((state) => state.live)
  const link = useApp((state) => state.link)
  const { state, tone, wants } = stateShown(live, link, useLost())
  return (
    <div className={`state state-${tone}`} data-wants={wants}>
      {state !== '' && <Sign name={tone} />}
      <span className="state-words" data-testid="state-line" role="status">
        {state}
      </span>
    </div>
  )
}

const LiveScale = ({ step }: { step: Step }): JSX.Element => {
  const mark = useApp(({ live }) => (live.reading === null ? null : live.mark))
  const diagnosis = useApp((state) => state.diagnosis)
  const expected = diagnosis === null || diagnosis.readings === 0 ? undefined : diagnosis.expected.find((one) => one.step === step.id)
  return <Scale scale={step.scale} limits={step.limits} are={step.limitsAre ?? 'limits'} mark={mark} expected={expected !== undefined && expected.marks.length > 1 ? expected.marks : []} />
}
