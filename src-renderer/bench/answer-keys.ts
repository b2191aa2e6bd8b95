/** The keys while a reason or a note is asked for, so that a pedal alone can answer: skip goes on to the next reason, confirm takes it. */
import { endReasons, skipAskSpoken, skipReasonsWith } from '../../src-core/run/reasons'
import { pressGuardSeconds } from '../../src-core/run/conduct'
import { keyFor, type BoundAction, type KeyBinding } from '../../src-core/settings/key-bindings'
import type { Binding } from '../keys/use-keys'

export type Asking = {
  what: 'skip' | 'note' | 'end'
  /** The step on screen when it was asked: the answer is for that one. */
  step: string | null
  /** The reasons to choose from, as they were when it was asked; none for a note. */
  reasons: readonly string[]
  /** The free text is open. */
  writing: boolean
  /** Which reason a pedal would take; only for skip. One beyond the last is “other”. */
  offered: number
  /** When it was asked, ms of the page: the second of two quick presses was not meant as an answer. */
  since: number
}

/** Asks; to skip, the reason that fits what the bench just said is the first one a pedal would take. */
export const askingFor = (what: Asking['what'], step: string | null, skipBecause: string | undefined, since: number): Asking => {
  const reasons = what === 'skip' ? skipReasonsWith(skipBecause) : what === 'end' ? endReasons : []
  const offered = what === 'skip' && skipBecause !== undefined ? reasons.indexOf(skipBecause) : 0
  return { what, step, reasons, writing: what === 'note', offered, since }
}

type Answering = {
  asking: Asking
  bound: readonly KeyBinding[]
  answer: (text: string) => void
  change: (asking: Asking) => void
  close: () => void
  /** Keeps what was written. */
  keep: () => void
  tell: (sentence: string) => void
}

export const answerKeys = ({ asking, bound, answer, change, close, keep, tell }: Answering): Binding[] => {
  const { reasons } = asking
  const write = (): void => change({ ...asking, writing: true })
  const both = (action: BoundAction, run: Binding['run']): Binding => {
    const { usual: key, presses } = keyFor(action, bound)
    return { key, presses, run }
  }
  /** While text is written the usual keys type; a pedal does not. */
  const pedal = (action: BoundAction, run: Binding['run']): Binding => ({ key: '', presses: keyFor(action, bound).presses, run })
  const escape: Binding = { key: 'Esc', run: close }

  if (asking.writing) return [pedal('confirm', keep), pedal('note', keep), pedal('back', close), escape]
  const byNumber: Binding[] = [
    ...reasons.map((reason, index) => ({ key: String(index + 1), run: () => answer(reason) })),
    { key: String(reasons.length + 1), run: write },
  ]
  if (asking.what !== 'skip') return [...byNumber, both('back', close), escape]
  const next = (asking.offered + 1) % (reasons.length + 1)
  return [
    ...byNumber,
    both('skip', () => {
      change({ ...asking, offered: next })
      tell(skipAskSpoken(reasons[next] ?? null))
    }),
    both('confirm', (at) => {
      if (at - asking.since < pressGuardSeconds * 1000) return
      const reason = reasons[asking.offered]
      if (reason === undefined) write()
      else answer(reason)
    }),
    both('back', close),
    escape,
  ]
}
