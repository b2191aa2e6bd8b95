/** Reads a run from the data file once the app is closed, past everything the app shows. */
import { join } from 'node:path'
import { DatabaseSync } from '@photostructure/sqlite'
import { parseRunEvent, type RunEvent } from '../../src-core/run/event'

/** Every event of the run, in order. @throws Error while the app still has the folder. */
export const storedEvents = (dataFolder: string, run: string): RunEvent[] => {
  const database = new DatabaseSync(join(dataFolder, 'probewright.sqlite'), { readOnly: true })
  try {
    return database.prepare('SELECT body FROM event WHERE run = ? ORDER BY seq').all(run).map((row) => parseRunEvent(JSON.parse(String(row.body))))
  } finally {
    database.close()
  }
}

export type CapturedEvent = Extract<RunEvent, { kind: 'captured' }>

export const capturedIn = (events: readonly RunEvent[]): CapturedEvent[] => events.flatMap((event) => (event.kind === 'captured' ? [event] : []))
