/** The question that is open on the bench; one about skipping closes by itself when its step gives way to another. */
import { useEffect, useState } from 'react'
import { useSession } from '../app/session'
import { skipOvertaken } from '../../src-core/run/reasons'
import type { BenchView } from '../../src-core/run/view'
import type { Asking } from './answer-keys'

export type Question = { asked: Asking | null; setAsking: (asking: Asking | null) => void }
type Shown = Pick<BenchView, 'run' | 'step' | 'steps'>
type State = { kind: 'none' } | { kind: 'open'; asking: Asking; run: string } | { kind: 'overtaken'; words: string }

/** The question as this bench leaves it; the same object where it stands. */
const onBench = (state: State, { run, step, steps }: Shown): State => {
  if (state.kind !== 'open') return state
  if (state.run !== run) return { kind: 'none' }
  if (state.asking.what !== 'skip' || state.asking.step === (step?.id ?? null)) return state
  const row = steps.find(({ id }) => id === state.asking.step)
  return row === undefined ? { kind: 'none' }
    : { kind: 'overtaken', words: skipOvertaken(row.title, row.state === 'decided' && row.kind === 'measure') }
}

export const useAsking = (bench: Shown): Question => {
  const { say } = useSession()
  const [before, setState] = useState<State>({ kind: 'none' })
  const state = onBench(before, bench)
  if (state !== before) setState(state)
  useEffect(() => { if (state.kind === 'overtaken') say(state.words, 'note') }, [state, say])
  return {
    asked: state.kind === 'open' ? state.asking : null,
    setAsking: (asking) => setState(asking === null ? { kind: 'none' } : { kind: 'open', asking, run: bench.run }),
  }
}
