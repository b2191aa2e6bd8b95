/** Fault sets as one says them, and several that read the same as one sentence. */
import { type Fault, faultInWords, type FaultKind } from '../faults'

export const noPartWords = 'no part is at fault'
/** Ends what is said of several that read the same; kept conclusions are known by it. */
export const cannotSayWhich = 'in-circuit readings cannot say which'

/** "a, b and c", "a, b or c". */
export const joined = (words: readonly string[], last: 'and' | 'or' = 'and'): string =>
  (words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} ${last} ${words.at(-1) ?? ''}`)

export const setInWords = (set: readonly Fault[]): string => (set.length === 0 ? noPartWords : joined(set.map(faultInWords)))

const ofOneIs: Record<FaultKind, string> = { open: 'is open', short: 'is shorted', leaky: 'leaks', drifted: 'has drifted', reversed: 'is fitted the wrong way round' }

const mostNamed = 3
/** The first three in full and the number of the rest. */
const shortened = (all: readonly string[]): string[] => (all.length <= mostNamed + 1 ? [...all] : [...all.slice(0, mostNamed), `${all.length - mostNamed} more`])

/** Of sets with one and the same kind of fault, each on another part: those parts and the kind; null: they are not such. */
const sameOnOthers = (sets: readonly (readonly Fault[])[]): { refs: string[]; kind: FaultKind } | null => {
  const faults = sets.map(([only, ...more]) => (only === undefined || more.length > 0 || only.kind === 'bridge' ? null : only))
  const refs = [...new Set(faults.flatMap((fault) => fault?.ref ?? []))]
  const [first] = faults
  return first != null && refs.length > 1 && faults.every((fault) => fault?.kind === first.kind) ? { refs, kind: first.kind } : null
}

/** Sets that read the same, in the order given: "C9, U1 or U2: one of them is shorted; in-circuit readings cannot say which", else "A; or B: in-circuit …". One set: as it is. */
export const groupInWords = (sets: readonly (readonly Fault[])[]): string => {
  const same = sameOnOthers(sets)
  if (same !== null) return `${joined(shortened(same.refs), 'or')}: one of them ${ofOneIs[same.kind]}; ${cannotSayWhich}`
  const all = [...new Set(sets.map(setInWords))]
  return `${shortened(all).join('; or ')}${all.length > 1 ? `: ${cannotSayWhich}` : ''}`
}

/** The same where the first is by far the likeliest: "D5 leaks; less likely U2, at pin B, leaks, which reads the same". */
export const likelierInWords = ([first = [], ...others]: readonly (readonly Fault[])[]): string =>
  `${setInWords(first)}; less likely ${shortened(others.map(setInWords)).join(', or ')}, which reads the same`
