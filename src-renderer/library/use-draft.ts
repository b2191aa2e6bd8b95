/** What is being typed of one part of a meter; taken anew whenever that part changes with the service. */
import { useState } from 'react'

export const useDraft = <V, T>(value: V, typedOf: (value: V) => T): [T, (typed: T) => void] => {
  const key = JSON.stringify(value)
  const [draft, setDraft] = useState(() => ({ key, typed: typedOf(value) }))
  const present = draft.key === key ? draft : { key, typed: typedOf(value) }
  if (present !== draft) setDraft(present)
  return [present.typed, (typed) => setDraft({ key, typed })]
}
