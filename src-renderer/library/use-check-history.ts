/** The checks of one meter as the service keeps them; asked for anew when a run came or went, or a meter, the kit or the register changed. */
import { useEffect, useState } from 'react'
import { useApp, useSession } from '../app/session'
import type { CommandOutput } from '../../src-core/contract'

export type CheckHistory = CommandOutput<'check-history'>

/** Null until it is here; a sentence where it could not be had. */
export const useCheckHistory = (meter: string): CheckHistory | string | null => {
  const { call } = useSession()
  const runs = useApp((state) => state.runs)
  const library = useApp((state) => state.library)
  const [history, setHistory] = useState<{ of: string; is: CheckHistory | string } | null>(null)
  useEffect(() => {
    let gone = false
    const take = (is: CheckHistory | string): void => {
      if (!gone) setHistory({ of: meter, is })
    }
    call('check-history', { meter }).then(take, (error: Error) => take(error.message))
    return () => {
      gone = true
    }
  }, [call, meter, runs, library])
  return history?.of === meter ? history.is : null
}
