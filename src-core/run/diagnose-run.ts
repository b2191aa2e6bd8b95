/** Answers requests for a diagnosis; what was made ready for a board is kept from one to the next. */
import { diagnoserOf, type Diagnoser } from '../circuit/diagnose'
import type { DiagnosisRequest } from './diagnosis-request'
import type { DiagnosisView } from './diagnosis-view'
import { placementOf, viewOfDiagnosis } from './show-diagnosis'

export type RunDiagnoser = (request: DiagnosisRequest) => DiagnosisView

export const createRunDiagnoser = (): RunDiagnoser => {
  let kept: { sha256: string; diagnoser: Diagnoser } | null = null
  return ({ sha256, board, readings, open, run, after }) => {
    const ready = kept?.sha256 === sha256 ? kept : { sha256, diagnoser: diagnoserOf(board) }
    kept = ready
    const only = open === null ? undefined
      : board.sequence.steps.flatMap((step) => (step.kind === 'measure' && step.powered !== true && open.includes(step.id) ? [placementOf(step)] : []))
    return viewOfDiagnosis(board, ready.diagnoser.diagnose(readings, only), { run, after, readings, open: open ?? [] })
  }
}
