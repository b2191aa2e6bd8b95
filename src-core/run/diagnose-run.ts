/** Answers requests for a diagnosis; what was made ready for a board is kept from one to the next. */
import { diagnoserOf, type Diagnoser } from '../circuit/diagnose'
import type { Placement } from '../circuit/diagnosis'
import { historyInWords, learntPriors } from '../shop/fault-history'
import type { DiagnosisRequest } from './diagnosis-request'
import type { DiagnosisView } from './diagnosis-view'
import type { Proposed } from './propose'
import { placementOf, stepOf, viewOfDiagnosis } from './show-diagnosis'

export type RunDiagnoser = {
  diagnose: (request: DiagnosisRequest) => DiagnosisView
  /** The step to take next, before all is worked out; null where none is known. */
  nextAtOnce: (request: DiagnosisRequest) => Proposed | null
}

export const createRunDiagnoser = (): RunDiagnoser => {
  let kept: { of: string; diagnoser: Diagnoser } | null = null
  const diagnoserFor = ({ sha256, board, history }: DiagnosisRequest): Diagnoser => {
    // Whatever the sequence is: a diagnosis knows nothing of it.
    const { sequence: _asked, ...itself } = board
    const of = JSON.stringify([sha256, history, itself])
    kept = kept?.of === of ? kept : { of, diagnoser: diagnoserOf(board, history === null ? {} : learntPriors(board, history)) }
    return kept.diagnoser
  }
  const placementsOf = ({ board, open, alone = [] }: DiagnosisRequest): Placement[] | undefined => (open === null ? undefined
    : [...board.sequence.steps.flatMap((step) => (step.kind === 'measure' && step.powered !== true && open.includes(step.id) ? [placementOf(step)] : [])), ...alone])
  return {
    diagnose: (request) => {
      const { board, readings, open, run, after, history } = request
      const view = viewOfDiagnosis(board, diagnoserFor(request).diagnose(readings, placementsOf(request)), { run, after, readings, open: open ?? [] })
      const words = history === null ? '' : historyInWords(history)
      return words === '' ? view : { ...view, notes: [...view.notes, words] }
    },
    nextAtOnce: (request) => {
      const { board, readings, open } = request
      // What is measured alone is no step of the sequence, and keeps none of them back.
      const next = diagnoserFor(request).nextAtOnce(readings, placementsOf({ ...request, alone: [] }))
      const step = next === null ? null : stepOf(board, next.action, { readings, open: open ?? [] })
      return next === null || step === null ? null : { step: step.id, because: next.why }
    },
  }
}
