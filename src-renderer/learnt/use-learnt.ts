/** What the service answers about what was learnt: asked for anew when something was, and when another is asked for. */
import { useEffect, useState } from 'react'
import { useApp, useSession } from '../app/session'
import type { CommandInput, CommandOutput } from '../../src-core/contract'

type Asked = 'what-was-learnt' | 'learnt-values'

/** Null until it is here; a sentence where it could not be had. The last answer to the same question stands until the next is here. */
export const useLearnt = <N extends Asked>(command: N, input: CommandInput<N> | null): CommandOutput<N> | string | null => {
  const { call } = useSession()
  const learnt = useApp((state) => state.learnt)
  const key = JSON.stringify(input)
  const [answer, setAnswer] = useState<{ key: string; is: CommandOutput<N> | string } | null>(null)
  useEffect(() => {
    const asked = JSON.parse(key) as CommandInput<N> | null
    if (asked === null) return
    let gone = false
    const take = (is: CommandOutput<N> | string): void => {
      if (!gone) setAnswer({ key, is })
    }
    call(command, asked).then(take, (error: Error) => take(error.message))
    return () => {
      gone = true
    }
  }, [call, command, key, learnt])
  return answer?.key === key ? answer.is : null
}
