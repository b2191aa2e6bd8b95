/** What a form says about being kept: nothing, busy, kept, or why not. */
import { useState } from 'react'

export type Save = {
  words: string
  failed: boolean
  busy: boolean
  run: (keep: () => Promise<unknown>) => void
  refuse: (why: string) => void
  touched: () => void
}

export const useSave = (): Save => {
  const [state, setState] = useState({ words: '', failed: false, busy: false })
  return {
    ...state,
    run: (keep) => {
      setState({ words: 'Keeping …', failed: false, busy: true })
      keep().then(
        () => setState({ words: 'Kept.', failed: false, busy: false }),
        (error: Error) => setState({ words: error.message, failed: true, busy: false }),
      )
    },
    refuse: (words) => setState({ words, failed: true, busy: false }),
    touched: () => setState({ words: '', failed: false, busy: false }),
  }
}
