/** What the shop has learnt: of one board type what passes, what fails, what fails together, and how its values lie. */
import { useEffect, useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { CommandInput, CommandOutput } from '../../src-core/contract'
import { ActionLine, type RecordAction } from '../records/action-line'
import { saveExport } from '../records/export-line'
import { ScreenTitle } from '../records/screen-title'
import { LearntFacts } from './learnt-facts'
import { LearntPairs } from './learnt-pairs'
import { LearntSteps } from './learnt-steps'
import { ChartPicture } from './chart-picture'
import { StepValuesView } from './step-values-view'
import { useLearnt } from './use-learnt'

type Known = CommandOutput<'boards-with-runs'>['boards']
type Of = { board: string; revision: string }

const useBoards = (): Known | null => {
  const { call, say } = useSession()
  const runs = useApp((state) => state.runs)
  const [boards, setBoards] = useState<Known | null>(null)
  useEffect(() => {
    let gone = false
    call('boards-with-runs', {}).then(
      (answer) => {
        if (!gone) setBoards(answer.boards)
      },
      (error: Error) => say(error.message, 'problem'),
    )
    return () => {
      gone = true
    }
  }, [call, say, runs])
  return boards
}

export const LearntScreen = (): JSX.Element => {
  const { call, go, order, say } = useSession()
  const lost = useLost()
  const boards = useBoards()
  const [chosen, setChosen] = useState<Of | null>(null)
  const [step, setStep] = useState<string | null>(null)
  const [cursor, setCursor] = useState(0)
  const first = boards?.[0]
  const of: Of | null = chosen ?? (first === undefined ? null : { board: first.board, revision: first.revision })
  const answer = useLearnt('what-was-learnt', of)
  const known = answer === null || typeof answer === 'string' ? null : answer
  const rows = known?.learnt.steps ?? []

  const save = (asked: CommandInput<'export-learnt'>): void => {
    call('export-learnt', asked).then(
      ({ path, name }) => {
        saveExport(path, name)
        say(`${name} is being saved.`, 'note')
      },
      (error: Error) => say(error.message, 'problem'),
    )
  }
  const saveChart = (what: 'passed' | 'parts' | 'values' | 'distribution') => (): void => {
    if (of !== null) save({ ...of, as: 'svg', what, ...(step === null ? {} : { step }) })
  }
  const saveTable = (what: 'steps' | 'parts' | 'values') => (): void => {
    if (of !== null) save({ ...of, as: 'csv', what, ...(step === null ? {} : { step }) })
  }
  const moveTo = (index: number): void => setCursor(Math.max(0, Math.min(rows.length - 1, index)))
  const none = rows.length === 0 ? 'There is no step here.' : null
  const actions: RecordAction[] =
    step === null
      ? [
          { key: 'Esc', does: 'back to the records', testId: 'back-to-records', run: () => go('records') },
          { key: '↓', does: 'down', testId: 'row-down', run: () => moveTo(cursor + 1), not: none },
          { key: '↑', does: 'up', testId: 'row-up', run: () => moveTo(cursor - 1), not: none },
          { key: 'Enter', does: 'open the step', testId: 'open-step', run: () => setStep(rows[cursor]?.step ?? null), not: none },
          { key: 'T', does: 'steps as table (CSV)', testId: 'save-steps', run: saveTable('steps'), not: none },
          { key: 'P', does: 'parts as table (CSV)', testId: 'save-parts', run: saveTable('parts'), not: none },
          { key: 'A', does: 'read every run anew', testId: 'learn-anew', run: () => order('learn-anew', {}) },
        ]
      : [
          { key: 'Esc', does: 'back to the steps', testId: 'back-to-steps', run: () => setStep(null) },
          { key: 'T', does: 'values as table (CSV)', testId: 'save-values', run: saveTable('values') },
        ]

  return (
    <div className="records learnt">
      <ScreenTitle>What the shop has learnt</ScreenTitle>
      {boards !== null && boards.length === 0 && (
        <p>
          Every run that ends teaches something: what passes, which parts fail, how values lie. There is none yet:{' '}
          <button type="button" className="quiet-act" onClick={() => go('start')}>
            start a board
          </button>
        </p>
      )}
      {of !== null && boards !== null && (
        <label className="learnt-of">
          <span>Board type</span>
          <select
            data-testid="learnt-board"
            value={`${of.board} ${of.revision}`}
            onChange={(event) => {
              const found = boards.find((each) => `${each.board} ${each.revision}` === event.target.value)
              if (found !== undefined) setChosen({ board: found.board, revision: found.revision })
              setStep(null)
              setCursor(0)
            }}
          >
            {boards.map((each) => (
              <option key={`${each.board} ${each.revision}`} value={`${each.board} ${each.revision}`}>
                {each.name} rev {each.revision}
              </option>
            ))}
          </select>
        </label>
      )}
      {typeof answer === 'string' && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> What was learnt could not be read: {answer}
        </p>
      )}
      {answer === null && of !== null && <p role="status">Reading what was learnt …</p>}
      {known !== null && step === null && (
        <>
          <LearntFacts learnt={known.learnt} />
          {known.learnt.runs > 0 && (
            <>
              <div className="charts">
                <ChartPicture chart={known.passed} testId="chart-passed" away={lost} save={saveChart('passed')} />
                <ChartPicture chart={known.parts} testId="chart-parts" away={lost} save={saveChart('parts')} />
              </div>
              <LearntPairs learnt={known.learnt} />
              <LearntSteps steps={rows} cursor={cursor} come={setCursor} open={setStep} />
            </>
          )}
        </>
      )}
      {of !== null && step !== null && <StepValuesView of={of} step={step} away={lost} save={saveChart} />}
      <ActionLine actions={actions} away={lost} />
    </div>
  )
}
