/** Every action of a record screen with its key, as a row of buttons; the same list is bound to the keys. */
import type { JSX } from 'react'
import { useKeys, type Heard } from '../keys/use-keys'

export type RecordAction = { key: string; does: string; run: () => void; testId: string; /** Why it does nothing now. */ not?: string | null }

const nothingHeard: Heard = { scanned: () => undefined, ignored: () => undefined }

export const ActionLine = ({ actions, heard = nothingHeard, away, children }: {
  actions: readonly RecordAction[]; heard?: Heard; away: boolean; children?: JSX.Element | null
}): JSX.Element => {
  useKeys(away ? [] : actions.map(({ key, run }) => ({ key, run })), heard)
  return (
    <div className="record-keys" role="toolbar" aria-label="Actions and their keys">
      {actions.map(({ key, does, run, testId, not }) => (
        <button key={key} type="button" className="key boxed" data-testid={testId} disabled={away || (not ?? null) !== null} title={not ?? undefined} onClick={run}>
          <kbd>{key}</kbd>
          {does}
        </button>
      ))}
      {children}
    </div>
  )
}
