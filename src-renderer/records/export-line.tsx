/** Asks as what runs are to be exported, in one line, and hands the file to the browser's own saving. */
import { useEffect, useRef, type JSX } from 'react'
import { assetUrl } from '../connection/token'
import { useSession, type Session } from '../app/session'
import type { ExportKind } from '../../src-core/run/export-name'
import { ActionLine } from './action-line'

/** The file is fetched by a link that is followed once; the page itself stays. */
export const saveExport = (path: string, name: string): void => {
  const link = document.createElement('a')
  link.href = assetUrl(path)
  link.download = name
  document.body.append(link)
  link.click()
  link.remove()
}

export const exportRuns = ({ call, say }: Pick<Session, 'call' | 'say'>, runs: readonly string[], as: ExportKind): void => {
  call('export-run', { runs: [...runs], as }).then(
    ({ path, name }) => {
      saveExport(path, name)
      // Whether and where it is saved, the browser shows, or the desktop says.
      say(`${name} is being saved.`, 'note')
    },
    (error: Error) => say(error.message, 'problem'),
  )
}

export const ExportLine = ({ count, away, choose, close }: { count: number; away: boolean; choose: (as: ExportKind) => void; close: () => void }): JSX.Element => {
  const line = useRef<HTMLDivElement>(null)
  useEffect(() => line.current?.querySelector('button')?.focus(), [])
  const take = (as: ExportKind) => (): void => {
    close()
    choose(as)
  }
  return (
    <div ref={line} className="export-line" role="group" aria-label="Export as">
      <p>
        Export {count === 1 ? 'one run' : `${count} runs`} as:
      </p>
      <ActionLine
        away={away}
        actions={[
          { key: 'T', does: 'table (CSV)', testId: 'export-csv', run: take('csv') },
          { key: 'J', does: 'events (JSON)', testId: 'export-json', run: take('json') },
          ...(count === 1 ? [{ key: 'R', does: 'readings file', testId: 'export-readings', run: take('readings') }] : []),
          { key: 'Esc', does: 'do not', testId: 'export-close', run: close },
        ]}
      />
    </div>
  )
}

/** Instead of the actions while an export takes longer than a second. */
export const ExportProgress = ({ done, of, away }: { done: number; of: number; away: boolean }): JSX.Element => {
  const { order } = useSession()
  return (
    <div className="export-line" role="group" aria-label="Export">
      <p role="status" data-testid="export-progress">
        Exporting: {done} of {of} {of === 1 ? 'run' : 'runs'} read.
      </p>
      <ActionLine away={away} actions={[{ key: 'Esc', does: 'stop the export', testId: 'export-stop', run: () => order('stop-export', {}) }]} />
    </div>
  )
}
