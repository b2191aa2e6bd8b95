/** Has the worker diagnose the run on the bench after each recorded value; the newest request wins, and an answer that no longer holds is dropped. */
import type { Bench } from '../../src-core/run/bench'
import { diagnosisRequestOf, type DiagnosisRequest, type HistoryOf, stillHolds } from '../../src-core/run/diagnosis-request'
import type { DiagnosisView } from '../../src-core/run/diagnosis-view'
import type { Proposed } from '../../src-core/run/propose'
import { noDiagnosis } from '../../src-core/run/show-diagnosis'
import type { Thread } from './threads'

export type Diagnosing = {
  /** The run on the bench as it is now; null for none. */
  look: (bench: Bench | null) => void
  view: () => DiagnosisView | null
  close: () => void
}

const failedWords = 'What is broken could not be worked out from these readings. The run goes on without it.'

export type Told = {
  /** What is known now, and whether it knows all that was recorded. */
  changed: (view: DiagnosisView | null, latest: boolean) => void
  /** In free order, before all is worked out: what to take next. */
  proposed: (next: Proposed) => void
}

export const createDiagnosing = (thread: Thread, { changed, proposed }: Told, report: (error: unknown) => void, historyOf: HistoryOf = () => null): Diagnosing => {
  let view: DiagnosisView | null = null
  /** What the bench asks for now. */
  let wanted: DiagnosisRequest | null = null
  let isFree = false
  let asking = false
  let closed = false

  const become = (made: DiagnosisView | null, latest: boolean): void => {
    if (made === null && view === null) return
    view = made
    changed(made, latest)
  }

  const take = (answered: DiagnosisRequest | null, made: DiagnosisView | null): void => {
    asking = false
    if (closed) return
    if (answered !== null && made !== null && stillHolds(answered, wanted)) become(made, answered.key === wanted?.key)
    if (answered?.key !== wanted?.key) next()
  }

  const fail = (asked: DiagnosisRequest | null, error: unknown): void => {
    asking = false
    if (closed) return
    report(error)
    if (asked !== null && asked.key === wanted?.key) become(noDiagnosis(asked.run, asked.after, failedWords), true)
    else next()
  }

  const next = (): void => {
    if (wanted === null || asking) return
    asking = true
    void (isFree ? askAtOnce() : Promise.resolve()).then(askForAll)
  }

  const askAtOnce = async (): Promise<void> => {
    let asked: DiagnosisRequest | null = null
    try {
      const next = await thread.ask<Proposed>({ work: 'next-at-once', urgency: 'now', of: () => (asked = wanted) })
      if (!closed && next !== null && asked === wanted) proposed(next)
    } catch (error) {
      if (!closed) report(error)
    }
  }

  const askForAll = (): void => {
    let asked: DiagnosisRequest | null = null
    thread.ask<DiagnosisView>({ work: 'diagnose', urgency: 'now', of: () => (asked = wanted) })
      .then((made) => { take(asked, made) }, (error: unknown) => { fail(asked, error) })
  }

  return {
    look: (bench) => {
      const request = bench === null ? null : diagnosisRequestOf(bench, historyOf)
      if (request?.key === wanted?.key) return
      wanted = request
      isFree = bench !== null && bench.run.started.order === 'tells-most' && bench.run.ended === null
      if (request === null || request.run !== view?.run) become(null, true)
      next()
    },
    view: () => view,
    close: () => { closed = true },
  }
}
