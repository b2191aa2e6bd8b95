/** Has the worker diagnose the run on the bench after each recorded value; the newest request wins, and an answer that no longer holds is dropped. */
import { Worker } from 'node:worker_threads'
import type { Bench } from '../../src-core/run/bench'
import { diagnosisRequestOf, type DiagnosisRequest, stillHolds } from '../../src-core/run/diagnosis-request'
import type { DiagnosisView } from '../../src-core/run/diagnosis-view'
import { noDiagnosis } from '../../src-core/run/show-diagnosis'

export type Diagnosing = {
  /** The run on the bench as it is now; null for none. */
  look: (bench: Bench | null) => void
  view: () => DiagnosisView | null
  close: () => void
}

type Answer = { key: string; view: DiagnosisView }

const failedWords = 'What is broken could not be worked out from these readings. The run goes on without it.'

/** @param changed called with what is known now, and whether it knows all that was recorded. */
export const createDiagnosing = (workerFile: string, changed: (view: DiagnosisView | null, latest: boolean) => void, report: (error: unknown) => void): Diagnosing => {
  let worker: Worker | null = null
  let view: DiagnosisView | null = null
  /** What the bench asks for now, and what the worker is at. */
  let wanted: DiagnosisRequest | null = null
  let underWay: DiagnosisRequest | null = null
  let closed = false

  const become = (made: DiagnosisView | null, latest: boolean): void => {
    if (made === null && view === null) return
    view = made
    changed(made, latest)
  }

  const ended = (own: Worker): void => {
    if (worker !== own || closed) return
    worker = null
    const asked = underWay
    underWay = null
    if (asked !== null && asked.key === wanted?.key) become(noDiagnosis(asked.run, asked.after, failedWords), true)
    else next()
  }

  const open = (): Worker => {
    const own = new Worker(workerFile)
    own.on('message', ({ key, view: made }: Answer) => {
      if (worker !== own || closed) return
      const answered = underWay
      underWay = null
      if (answered !== null && answered.key === key && stillHolds(answered, wanted)) become(made, key === wanted?.key)
      if (key !== wanted?.key) next()
    })
    own.on('error', (error) => {
      report(error)
      ended(own)
    })
    own.on('exit', () => { ended(own) })
    own.unref()
    return own
  }

  const next = (): void => {
    if (wanted === null || underWay !== null) return
    worker ??= open()
    underWay = wanted
    worker.postMessage(wanted)
  }

  return {
    look: (bench) => {
      const asked = bench === null ? null : diagnosisRequestOf(bench)
      if (asked?.key === wanted?.key) return
      wanted = asked
      if (asked === null || asked.run !== view?.run) become(null, true)
      next()
    },
    view: () => view,
    close: () => {
      closed = true
      void worker?.terminate()
    },
  }
}
