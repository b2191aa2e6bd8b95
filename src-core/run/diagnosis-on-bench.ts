/** What the bench says of the diagnosis while a run goes on. */
import type { DiagnosisView } from './diagnosis-view'
import type { BenchView } from './view'

/** Whether a step of the run failed so far. */
export const hasFailed = (steps: readonly Pick<BenchView['steps'][number], 'verdict'>[]): boolean => steps.some(({ verdict }) => verdict === 'fail' || verdict === 'conditional-fail')

/** Whether the bench asks just now for what would tell most: as a step of the sequence, or at the tips of a part that is measured alone. */
export const isNextAsked = (next: DiagnosisView['next'][number] | undefined, step: BenchView['step']): boolean => {
  if (next === undefined || step === null) return false
  const { alone } = next
  return alone === undefined ? next.step === step.id : alone.red === step.red?.testPoint && alone.black === step.black?.testPoint && alone.function === step.function
}
