/** Which board of the job follows on this one, under the result. */
import { useEffect, useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { nextOfJobInWords, type NextOfJob } from '../../src-core/shop/job'

/** Null: this run is of no job, or no board of it waits, or that is not known yet. @param asked whether a board follows at all. */
export const useNextOfJob = (run: string, asked: boolean): NextOfJob | null => {
  const { call, say } = useSession()
  const [known, setKnown] = useState<{ run: string; next: NextOfJob | null }>({ run: '', next: null })
  useEffect(() => {
    if (!asked) return
    let over = false
    call('next-of-job', {}).then(({ next }) => { if (!over) setKnown({ run, next }) }, (error: Error) => { if (!over) say(error.message, 'problem') })
    return () => { over = true }
  }, [call, say, run, asked])
  return asked && known.run === run ? known.next : null
}

export const JobLine = ({ next, serialNumber }: { next: NextOfJob; serialNumber: string }): JSX.Element => (
  <p className="line line-note" role="status" data-testid="job-line">
    <span className="line-words">{nextOfJobInWords(next, serialNumber)}</span>
  </p>
)
