/** How a meter was connected last, and the button that forgets it where that was a mistake. */
import type { JSX } from 'react'
import { useApp, useSession } from '../app/session'
import type { Meter } from '../../src-core/meter/instrument'
import { Fact } from './taught-facts'
import { useSave } from './use-save'

export const ConnectionCard = ({ meter }: { meter: Meter }): JSX.Element => {
  const { call } = useSession()
  const link = useApp((state) => state.link)
  const save = useSave()
  const { port, settings, register: { cable, identification } } = meter
  const connected = link.meter === meter.id && link.status !== 'closed'
  const known = port !== null || settings !== null || cable !== null || identification !== null
  return (
    <section className="card" aria-labelledby="connection-part">
      <h2 id="connection-part">Its connection</h2>
      <dl className="facts">
        <Fact name="Last port" words={port ?? 'none yet'} />
        <Fact name="Port settings" words={settings === null ? 'as its description says' : `${settings.baud} baud, ${settings.dataBits} data bits, parity ${settings.parity}, ${settings.stopBits} stop`} />
        <Fact name="Last cable" words={cable ?? 'not known'} />
        <Fact name="Own reply" words={identification ?? 'none'} />
      </dl>
      <p className="aside">
        {connected ? 'It is connected. Disconnect it to forget this.' : 'Was it connected or confirmed by mistake? Forget this, and nothing of it speaks for this meter any more. Runs keep what they were made with.'}
      </p>
      <p className="save-line">
        <button type="button" className="main-act second" data-testid="forget-connection" disabled={connected || !known || save.busy}
          onClick={() => { save.run(() => call('forget-connection', { meter: meter.id })) }}>
          Forget this connection
        </button>
        <span role={save.failed ? 'alert' : 'status'} className={save.failed ? 'form-fault' : 'aside'}>{save.failed ? save.words : ''}</span>
      </p>
    </section>
  )
}
