/** Answers requests for a diagnosis; what was made ready for a board is kept from one to the next. */
import type { BoardType } from '../board/board-type'
import { diagnoserOf, type Diagnoser } from '../circuit/diagnose'
import { type FaultHistory, historyInWords, weightFactors } from '../shop/fault-history'
import type { DiagnosisRequest } from './diagnosis-request'
import type { DiagnosisView } from './diagnosis-view'
import { placementOf, viewOfDiagnosis } from './show-diagnosis'

export type RunDiagnoser = (request: DiagnosisRequest) => DiagnosisView

const weightOf = (board: BoardType, history: FaultHistory): ((ref: string) => number) => {
  const factors = weightFactors(board, history)
  return (ref) => factors.get(ref) ?? 1
}

export const createRunDiagnoser = (): RunDiagnoser => {
  let kept: { of: string; diagnoser: Diagnoser } | null = null
  return ({ sha256, board, readings, open, run, after, history }) => {
    const of = JSON.stringify([sha256, history])
    const ready = kept?.of === of ? kept : { of, diagnoser: diagnoserOf(board, history === null ? {} : { weightOf: weightOf(board, history) }) }
    kept = ready
    const only = open === null ? undefined
      : board.sequence.steps.flatMap((step) => (step.kind === 'measure' && step.powered !== true && open.includes(step.id) ? [placementOf(step)] : []))
    const view = viewOfDiagnosis(board, ready.diagnoser.diagnose(readings, only), { run, after, readings, open: open ?? [] })
    const words = history === null ? '' : historyInWords(history)
    return words === '' ? view : { ...view, notes: [...view.notes, words] }
  }
}
