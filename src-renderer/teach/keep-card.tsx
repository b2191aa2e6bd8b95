/** Keeps the description in the data folder, exports it, and connects the meter with it. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { saveExport } from '../records/export-line'
import type { TeachingView } from '../../src-core/meter/teach/teaching-view'

export const KeepCard = ({ teaching }: { teaching: TeachingView }): JSX.Element | null => {
  const { call, go, say } = useSession()
  const known = useApp((state) => state.library?.descriptions) ?? []
  const [name, setName] = useState(teaching.setup.name)
  const [fault, setFault] = useState<string | null>(null)
  const { description, proven, ask, saved, path } = teaching
  if (description === null) return null
  const tell = (error: Error): void => setFault(error.message)
  const listed = saved !== null && known.some((one) => one.name === name.trim())
  const connect = (): void => {
    if (path === null) return
    call('connect', { path, description: name.trim(), name: name.trim() }).then(() => go('meters'), tell)
  }
  return (
    <section className="card" aria-labelledby="keep-title">
      <h2 id="keep-title">Keep it</h2>
      <p>{proven && ask === null ? 'The description reads every display that was typed, and the last ones it had not seen before.' : 'The description reads every display typed so far. What was never shown will be rejects, not wrong figures.'}</p>
      <form
        className="teach-keep"
        onSubmit={(event) => {
          event.preventDefault()
          setFault(null)
          call('save-description', { name: name.trim() }).then(() => setFault(null), tell)
        }}
      >
        <label className="field">
          <span>Name</span>
          <input data-testid="keep-name" value={name} maxLength={80} autoComplete="off" onChange={(event) => setName(event.target.value)} />
        </label>
        <button type="submit" className={saved === null ? 'main-act small' : 'main-act small second'} data-testid="keep" disabled={name.trim() === '' || saved !== null}>
          {saved === null ? 'Keep this description' : 'Kept'}
        </button>
        <button
          type="button" className="quiet-act" data-testid="export-description"
          onClick={() => {
            call('export-description', { name: name.trim() }).then((offered) => {
              saveExport(offered.path, offered.name)
              say(`${offered.name} is being saved.`, 'note')
            }, tell)
          }}
        >
          Export the file
        </button>
      </form>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {fault}
        </p>
      )}
      {saved !== null && (
        <p className="teach-saved" role="status" data-testid="kept">
          <Sign name="good" /> Kept in {saved}.
          <button type="button" className="main-act small" data-testid="connect-taught" disabled={!listed} onClick={connect}>
            {listed ? 'Connect with it' : 'Reading the file …'}
          </button>
        </p>
      )}
      <details>
        <summary>The file</summary>
        <pre className="teach-file" tabIndex={0}>{description}</pre>
      </details>
    </section>
  )
}
