/** What is said when several things are to be said: a warning is never cut short, and a newer prompt takes the place of an older one. */
import type { Utterance } from './view'

type Kind = Utterance['kind']
/** One is being said; of each kind at most one waits. */
export type Speech = { saying: Utterance | null; waiting: readonly Utterance[] }
/** `say` is to be begun now, in place of what is being said. */
export type Spoken = { speech: Speech; say: Utterance | null }

export const noSpeech: Speech = { saying: null, waiting: [] }

const order: readonly Kind[] = ['warning', 'result', 'prompt', 'hint']

/** What was being said, or waits, is out of date once this kind comes. */
const outdates: Record<Kind, readonly Kind[]> = {
  warning: ['result', 'hint'], result: ['result', 'prompt', 'hint'], prompt: ['prompt', 'hint'], hint: ['hint'],
}
/** Cut short by this kind. A warning cuts all but a warning, and nothing cuts a warning. */
const cuts: Record<Kind, readonly Kind[]> = { warning: ['result', 'prompt', 'hint'], result: ['result', 'prompt', 'hint'],
  prompt: ['prompt', 'hint'], hint: ['hint'] }

const inOrder = (waiting: readonly Utterance[]): Utterance[] => [...waiting].sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind))

export const offer = ({ saying, waiting }: Speech, next: Utterance): Spoken => {
  const left = waiting.filter(({ kind }) => kind !== next.kind && !outdates[next.kind].includes(kind))
  if (saying === null || cuts[next.kind].includes(saying.kind)) {
    // A prompt cut short by a warning is still the one to follow: it is said again behind it.
    const kept = saying?.kind === 'prompt' && next.kind === 'warning' && !left.some(({ kind }) => kind === 'prompt') ? [saying] : []
    return { speech: { saying: next, waiting: inOrder([...left, ...kept]) }, say: next }
  }
  return { speech: { saying, waiting: inOrder([...left, next]) }, say: null }
}

/** What was being said has been said to its end. */
export const ended = ({ waiting }: Speech): Spoken => {
  const [next = null, ...rest] = waiting
  return { speech: { saying: next, waiting: rest }, say: next }
}

/** A hint that holds no longer is not said any more. */
export const withdrawHint = (speech: Speech): Speech => ({ ...speech, waiting: speech.waiting.filter(({ kind }) => kind !== 'hint') })
