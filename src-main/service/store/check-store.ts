/** Checks of the meters against the check standards: only ever added to. The database itself refuses to change or delete one. */
import { checkResult, type CheckResult } from '../../../src-core/metrology/check-standards'
import type { Database } from './open-store'

export type CheckStore = {
  /** To be called within the transaction of the events that decided it. */
  add: (check: CheckResult) => void
  has: (id: string) => boolean
  /** Every check of a meter, in the order it was made. */
  of: (meter: string) => CheckResult[]
  /** The same as they lie in the file, JSON texts. */
  bodies: (meter: string) => string[]
}

export const openCheckStore = (database: Database): CheckStore => {
  const write = database.prepare('INSERT INTO check_result (id, meter, utc, body) VALUES (?, ?, ?, ?)')
  const read = database.prepare('SELECT body FROM check_result WHERE meter = ? ORDER BY utc, id')
  const find = database.prepare('SELECT 1 FROM check_result WHERE id = ?')
  const bodies: CheckStore['bodies'] = (meter) => read.all(meter).map((row) => String(row.body))
  return {
    bodies,
    has: (id) => find.get(id) !== undefined,
    add: (check) => { write.run(check.id, check.meter, check.utc, JSON.stringify(checkResult.parse(check))) },
    of: (meter) => bodies(meter).map((body) => checkResult.parse(JSON.parse(body))),
  }
}
