/** Which meter hangs on the link: asked until it is confirmed by a press or by its asset number, and never in the way of measuring. */
import { useState, type JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { useKeys } from '../keys/use-keys'

/** @param scans codes scanned anywhere on this screen are asset numbers. */
export const WhichMeter = ({ scans }: { scans: boolean }): JSX.Element | null => {
  const { call } = useSession()
  const lost = useLost()
  const open = useApp((state) => state.identity)
  const [asset, setAsset] = useState('')
  const [fault, setFault] = useState<string | null>(null)

  const confirm = (meter: string, number?: string): void => {
    setFault(null)
    call('confirm-meter', { meter, ...(number === undefined ? {} : { asset: number }) })
      .then(() => setAsset(''))
      .catch((error: Error) => setFault(error.message))
  }
  useKeys([], { scanned: (text) => { if (scans && open !== null) confirm(open.meter, text) }, ignored: () => undefined })

  if (open === null) return null
  if (open.identity !== 'assumed') {
    return (
      <p className="aside" role="status" data-testid="meter-known">
        <Sign name="good" /> {open.words}
      </p>
    )
  }
  return (
    <div className="which-meter" role="group" aria-labelledby="which-meter" data-testid="which-meter">
      <p id="which-meter" className={open.contradicted ? 'form-fault' : undefined}>
        <Sign name={open.contradicted ? 'warn' : 'doubtful'} /> {open.words}
      </p>
      <div className="row">
        {!open.contradicted && (
          <button type="button" className="main-act second small" data-testid="confirm-meter" disabled={lost} onClick={() => confirm(open.meter)}>
            It is this meter
          </button>
        )}
        {open.offer !== null && (
          <OfferButton name={open.offer.name} disabled={lost} take={() => { if (open.offer !== null) confirm(open.offer.meter) }} />
        )}
        <form
          className="asset-form"
          onSubmit={(event) => {
            event.preventDefault()
            if (asset.trim() !== '') confirm(open.meter, asset.trim())
          }}
        >
          <input
            value={asset} maxLength={120} size={14} aria-label="Asset number of the meter" placeholder="asset number" data-testid="asset-number"
            autoComplete="off" spellCheck={false}
            onChange={(event) => setAsset(event.target.value)}
          />
        </form>
      </div>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {fault}
        </p>
      )}
    </div>
  )
}

const OfferButton = ({ name, disabled, take }: { name: string; disabled: boolean; take: () => void }): JSX.Element => (
  <button type="button" className="main-act second small" data-testid="confirm-offer" disabled={disabled} onClick={take}>
    It is {name}
  </button>
)
