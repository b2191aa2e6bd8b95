/** Photographs before and after, from a file or a camera: made small, kept, and shown. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { assetUrl } from '../connection/token'
import { mostPhotographs, type Photograph } from '../../src-core/repair/entry'
import { Camera } from './camera'
import { shrunkPhotograph } from './photograph'

type Props = { taken: readonly Photograph[]; change: (next: Photograph[]) => void; fault: (words: string | null) => void; away: boolean }

export const PhotographField = ({ taken, change, fault, away }: Props): JSX.Element => {
  const { call } = useSession()
  const [busy, setBusy] = useState(false)
  const [looking, setLooking] = useState(false)
  const keep = (when: Photograph['when'], file: Blob | undefined): void => {
    if (file === undefined) return
    setBusy(true)
    shrunkPhotograph(file).then((base64) => call('keep-photograph', { base64 })).then(
      (kept) => {
        change([...taken, { when, ...kept }])
        fault(null)
      },
      (error: Error) => fault(error.message),
    ).finally(() => setBusy(false))
  }
  const full = taken.length >= mostPhotographs
  return (
    <div className="photograph-field" role="group" aria-label="Photographs">
      {(['before', 'after'] as const).map((when) => (
        <label key={when} className="field small">
          <span>Photograph {when}</span>
          <input type="file" accept="image/*" data-testid={`photograph-${when}`} disabled={away || busy || full}
            onChange={(event) => {
              keep(when, event.target.files?.[0])
              event.target.value = ''
            }} />
        </label>
      ))}
      {looking ? <Camera take={keep} close={() => setLooking(false)} fault={fault} busy={away || busy || full} /> : (
        <button type="button" className="key boxed" data-testid="camera-on" disabled={away || full} onClick={() => setLooking(true)}>
          camera
        </button>
      )}
      {busy && <span role="status">Keeping the photograph …</span>}
      <span className="repair-photographs">
        {taken.map(({ sha256, type, when }) => (
          <img key={sha256} src={assetUrl(`/pictures/${sha256}.${type}`)} alt={`${when} the repair`} />
        ))}
      </span>
    </div>
  )
}
