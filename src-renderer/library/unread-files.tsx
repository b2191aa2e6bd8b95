/** Where meter descriptions are looked for: says that files of the library could not be read, and goes to where they are listed. */
import type { JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'

/** A file with several faults is one file. */
export const useUnreadFiles = (): number => useApp((state) => new Set(state.library?.problems.map(({ file }) => file)).size)

export const UnreadFiles = (): JSX.Element | null => {
  const { go } = useSession()
  const problems = useUnreadFiles()
  if (problems === 0) return null
  return (
    <p className="form-fault" role="status" data-testid="unread-files">
      <Sign name="warn" /> {problems === 1 ? '1 file' : `${problems} files`} could not be read:{' '}
      <button type="button" className="quiet-act" onClick={() => go('boards')}>
        see which
      </button>
    </p>
  )
}
