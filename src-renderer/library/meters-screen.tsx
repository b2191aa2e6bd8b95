/** Meters: the link as it is now, the register of the shop's meters, the bench kit and the decision rule. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { ConnectForm } from '../start/connect-form'
import { LinkPanel } from '../start/link-panel'
import { CheckStandardsForm } from './check-standards-form'
import { KitForm } from './kit-form'
import { MeterDetail } from './meter-detail'
import { RuleForm } from './rule-form'
import { UnreadFiles } from './unread-files'

export const MetersScreen = (): JSX.Element => {
  const { call } = useSession()
  const link = useApp((state) => state.link)
  const library = useApp((state) => state.library)
  const [chosen, setChosen] = useState<string | null>(null)
  const [fault, setFault] = useState<string | null>(null)
  const meters = library?.meters ?? []
  const meter = meters.find((one) => one.id === chosen) ?? meters[0]
  const linked = link.status === 'open' || link.status === 'silent'
  return (
    <div className="two-parts meters">
      <div className="side">
        <section className="card" aria-labelledby="link-title">
          <h2 id="link-title">Link</h2>
          {linked ? <><LinkPanel scans /><UnreadFiles /></> : <ConnectForm />}
        </section>
        <section className="card" aria-labelledby="closing-title">
          <h2 id="closing-title">End of the session</h2>
          <p>Leads and known source are measured once more; a miss marks every run since the last good check.</p>
          {fault !== null && (
            <p className="form-fault" role="alert">
              {fault}
            </p>
          )}
          <button
            type="button"
            className="main-act second"
            data-testid="closing-check"
            onClick={() => {
              setFault(null)
              call('closing-check', {}).catch((error: Error) => setFault(error.message))
            }}
          >
            Closing check
          </button>
        </section>
      </div>
      <div className="detail">
        <section aria-labelledby="meters-title">
          <h1 id="meters-title">Meters of this bench</h1>
          {meters.length === 0 && <p>None yet. Connect one, and it is kept here with what it read with its leads apart and joined.</p>}
          <div className="ports" role="group" aria-label="Meters">
            {meters.map((one) => (
              <button key={one.id} type="button" className="chip" aria-pressed={one === meter} onClick={() => setChosen(one.id)}>
                {one.name}
              </button>
            ))}
          </div>
        </section>
        {meter !== undefined && <MeterDetail key={meter.id} meter={meter} />}
        {library !== null && <KitForm key={JSON.stringify(library.kit)} kit={library.kit} />}
        {library !== null && <CheckStandardsForm key={`standards ${JSON.stringify(library.kit)}`} kit={library.kit} />}
        {library !== null && <RuleForm key={JSON.stringify(library.rule)} rule={library.rule} />}
      </div>
    </div>
  )
}
