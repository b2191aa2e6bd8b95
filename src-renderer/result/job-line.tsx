/** Which board of the job follows on this one, under the result. */
import { useEffect, useState, type JSX } from 'react'
import { useSession } from '../app/session'
import type { NextOfJob } from '../../src-core/shop/job'

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

/** What Enter starts now. @param serialNumber as it is typed so far. */
export const isOfJob = (next: NextOfJob | null, serialNumber: string): boolean => next !== null && (serialNumber.trim() === '' || next.waiting.includes(serialNumber.trim()))

export const JobLine = ({ next, serialNumber }: { next: NextOfJob; serialNumber: string }): JSX.Element => {
  const typed = serialNumber.trim()
  return (
    <p className="line line-note" role="status" data-testid="job-line">
      <span className="line-words">
        {typed === '' ? <>Next in {next.job}: <b>{next.unit.serialNumber}</b>, {next.name}, board {next.at} of {next.of}.</>
          : next.waiting.includes(typed) ? <>{typed} waits in {next.job}, and is started as its board.</> : <>{typed} does not wait in {next.job}: it would be started outside it.</>}
      </span>
    </p>
  )
}
