/** The diagnosis of the app, as the scorer asks it: as on the bench, what is asked for at once stays asked for while it is still worth measuring. */
import { diagnoserOf, type DiagnosisOptions } from '../../../../src-core/circuit/diagnose'
import type { Next } from '../../../../src-core/circuit/diagnosis'
import type { Diagnoser } from './adaptive'

const sameAction = (one: Next, other: Next): boolean => JSON.stringify(one.action) === JSON.stringify(other.action)

/** @param waited told how long after each reading it took until something was asked for; ms of the clock. */
export const freshDiagnoser = (options: Partial<DiagnosisOptions> = {}, clock: () => number = () => 0, waited: (ms: number) => void = () => undefined): Diagnoser => {
  let own: ReturnType<typeof diagnoserOf> | null = null
  return (board, file) => {
    const diagnoser = own ??= diagnoserOf(board, options)
    const from = clock()
    const first = file.readings.length === 0 ? null : diagnoser.nextAtOnce(file)
    const asked = clock() - from
    const diagnosis = diagnoser.diagnose(file)
    if (file.readings.length > 0) waited(first === null ? clock() - from : asked)
    return first !== null && diagnosis.next.some((one) => sameAction(one, first)) ? { ...diagnosis, next: [first, ...diagnosis.next] } : diagnosis
  }
}
