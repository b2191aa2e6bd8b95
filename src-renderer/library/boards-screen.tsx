/** Boards: every board type with its picture, parts, steps and cautions, and the files that could not be read. */
import { ColumnTitles } from '../app/column-titles'
import { useState, type JSX } from 'react'
import { useApp } from '../app/session'
import { Sign } from '../app/sign'
import { BoardPicture } from '../picture/board-picture'
import type { LibraryView } from '../../src-core/contract'
import { unitOf } from '../../src-core/meter/reading'
import { limitsInWords } from '../../src-core/metrology/limits-in-words'
import { functionWords } from '../app/words'
import { PartTable } from './part-table'

type Entry = LibraryView['boards'][number]
type Step = Entry['board']['sequence']['steps'][number]

export const BoardsScreen = (): JSX.Element => {
  const boards = useApp((state) => state.library?.boards) ?? []
  const problems = useApp((state) => state.library?.problems) ?? []
  const [chosen, setChosen] = useState<string | null>(null)
  const entry = boards.find((one) => one.file === chosen) ?? boards[0]
  return (
    <div className="two-parts">
      <nav className="side" aria-label="Board types">
        <h2>Board types</h2>
        {boards.length === 0 && (
          <p>None can be read. A board type is a folder of its own under boards in the data folder, with board.json and its picture.</p>
        )}
        <ul className="side-list">
          {boards.map((one) => (
            <li key={one.file}>
              <button
                type="button"
                className="side-item"
                aria-current={one === entry ? 'true' : undefined}
                onClick={() => setChosen(one.file)}
              >
                <b>{one.name}</b> rev {one.revision}
                <span className="aside">{one.builtIn ? 'built in' : 'own'}</span>
              </button>
            </li>
          ))}
        </ul>
        {problems.length > 0 && <Problems problems={problems} />}
      </nav>
      {entry !== undefined && <BoardDetail key={entry.file} entry={entry} />}
    </div>
  )
}

const Problems = ({ problems }: { problems: LibraryView['problems'] }): JSX.Element => (
  <section className="problems" aria-label="Files that could not be read" data-testid="problems">
    <h2>Files that could not be read</h2>
    <ul>
      {problems.map((one) => (
        <li key={`${one.file} ${one.message}`} data-testid="file-problem">
          <p>
            <Sign name="warn" /> <b>{one.file}</b>
          </p>
          <p>{one.message}</p>
        </li>
      ))}
    </ul>
  </section>
)

const BoardDetail = ({ entry: { board, picture, tooCoarse, computed, file } }: { entry: Entry }): JSX.Element => {
  const top = board.pictures[0]
  return (
    <article className="detail" aria-label={`${board.name} revision ${board.revision}`}>
      <h1>
        {board.name} <span className="aside">rev {board.revision}</span>
      </h1>
      <p className="aside">{file}</p>
      <ul className="cautions">
        <li>
          <Sign name="warn" />{' '}
          <span>
            {board.hazard === 'extra-low'
              ? 'Extra-low voltages only, as its author states. Prove it de-energised before every run all the same.'
              : 'Hazardous voltages can be stored or connected here. Qualified people only, by local rules.'}
          </span>
        </li>
        {board.mainsReferenced && (
          <li>
            <Sign name="warn" /> <span>Referenced to mains: only a meter with an isolated link.</span>
          </li>
        )}
        {board.cautions.map((words) => (
          <li key={words}>
            <Sign name="warn" /> <span>{words}</span>
          </li>
        ))}
      </ul>
      {picture !== null && top !== undefined && (
        <div className="detail-picture">
          <BoardPicture
            picture={{ asset: picture, width: top.width, height: top.height }}
            label={`Picture of ${board.name} with its test points`}
            points={board.testPoints.filter((point) => point.picture === top.id)}
          />
        </div>
      )}
      {board.tell !== undefined && (
        <p>
          How to tell revision {board.revision}: <b>{board.tell.words}</b>
        </p>
      )}
      {board.disconnect.length > 0 && (
        <p>
          Unplug before a run: <b>{board.disconnect.join(', ')}</b>
        </p>
      )}
      {tooCoarse.length > 0 && (
        <p className="form-fault">
          <Sign name="warn" /> The meter in use is not good enough for: {tooCoarse.join(', ')}.
        </p>
      )}
      <StepTable steps={board.sequence.steps} computed={computed} />
      <PartTable board={board} />
      <PointTable points={board.testPoints} />
    </article>
  )
}

const Limits = ({ step, computed }: { step: Step; computed: Entry['computed'] }): JSX.Element => {
  if (step.kind !== 'measure' && step.kind !== 'watch') return <>{step.kind === 'walk' ? 'learned on a good board' : ''}</>
  if (step.limits !== undefined) return <>{limitsInWords(step.limits, unitOf[step.function])}</>
  const own = computed[step.id]
  return (
    <>
      {own?.limits ?? ''}
      {own !== undefined && <div className="aside">{own.says}</div>}
    </>
  )
}

const stepWords = (step: Step): string => {
  switch (step.kind) {
    case 'measure': return functionWords[step.function]
    case 'watch': return `watch ${functionWords[step.function]}: ${step.words}`
    case 'walk': return `walk, ${functionWords[step.function]}`
    case 'look':
    case 'do': return `${step.kind}: ${step.words}`
  }
}

const pointsWords = (points: Extract<Step, { kind: 'walk' }>['points']): string =>
  points === undefined ? 'one point after the other' : points.map((point) => (typeof point === 'string' ? point : point.words)).join(', ')

const StepTable = ({ steps, computed }: { steps: Step[]; computed: Entry['computed'] }): JSX.Element => (
  <table>
    <caption>Steps</caption>
    <thead>
      <tr>
        <ColumnTitles titles={['Step', 'What', 'Red', 'Black', 'Limits', 'Parts']} />
      </tr>
    </thead>
    <tbody>
      {steps.map((step) => (
        <tr key={step.id}>
          <th scope="row">{step.title}</th>
          <td>{stepWords(step)}</td>
          <td>{step.kind === 'measure' || step.kind === 'watch' ? step.red : step.kind === 'walk' ? pointsWords(step.points) : ''}</td>
          <td>{'black' in step ? step.black : ''}</td>
          <td>
            <Limits step={step} computed={computed} />
          </td>
          <td>{step.parts.join(', ')}</td>
        </tr>
      ))}
    </tbody>
  </table>
)

const PointTable = ({ points }: { points: Entry['board']['testPoints'] }): JSX.Element => (
  <table>
    <caption>Test points</caption>
    <thead>
      <tr>
        <th scope="col">Point</th>
        <th scope="col">Where the tip goes</th>
        <th scope="col">Net</th>
        <th scope="col">x, y on the picture</th>
      </tr>
    </thead>
    <tbody>
      {points.map((point) => (
        <tr key={point.id}>
          <th scope="row">{point.id}</th>
          <td>{point.words}</td>
          <td>{point.net}</td>
          <td className="figures">
            {point.x}, {point.y}
          </td>
        </tr>
      ))}
    </tbody>
  </table>
)
