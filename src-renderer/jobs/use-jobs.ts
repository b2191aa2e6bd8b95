/** The jobs, and the one that is looked at: asked for anew when a run came, went or was learnt from, and after every change. */
import { useEffect, useState } from 'react'
import { useApp, useSession } from '../app/session'
import type { CommandOutput } from '../../src-core/contract'
import type { JobView } from '../../src-core/shop/job'

export type JobEntries = CommandOutput<'list-jobs'>['jobs']
type Known = { jobs: JobEntries | null; view: JobView | null; fault: string | null }

export const useJobs = (wanted: string | null): Known & { again: () => void } => {
  const { call } = useSession()
  const runs = useApp((state) => state.runs)
  const learnt = useApp((state) => state.learnt)
  const [tries, setTries] = useState(0)
  const [known, setKnown] = useState<Known>({ jobs: null, view: null, fault: null })
  useEffect(() => {
    let gone = false
    const ask = async (): Promise<void> => {
      const { jobs } = await call('list-jobs', {})
      const chosen = wanted ?? jobs[0]?.id ?? null
      const view = chosen === null ? null : await call('read-job', { job: chosen })
      if (!gone) setKnown({ jobs, view, fault: null })
    }
    ask().catch((error: Error) => {
      if (!gone) setKnown((before) => ({ ...before, fault: error.message }))
    })
    return () => {
      gone = true
    }
  }, [call, wanted, runs, learnt, tries])
  return { ...known, again: () => setTries((n) => n + 1) }
}
