/** The diagnosis of the app, as the scorer asks it. */
import { diagnoserOf, type DiagnosisOptions } from '../../../../src-core/circuit/diagnose'
import type { Diagnoser } from './adaptive'

export const freshDiagnoser = (options: Partial<DiagnosisOptions> = {}): Diagnoser => {
  let own: ReturnType<typeof diagnoserOf> | null = null
  return (board, file) => (own ??= diagnoserOf(board, options)).diagnose(file)
}
