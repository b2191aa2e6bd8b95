/** Meters: the link as it is now, the meters of the shop, the bench kit and the decision rule. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { timeWords } from '../app/words'
import { ConnectForm } from '../start/connect-form'
import { LinkPanel } from '../start/link-panel'
import { KitForm } from './kit-form'
import { MeterForm } from './meter-form'
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
    <div className="two-parts">
      <div className="side">
        <section className="card" aria-labelledby="link-title">
          <h2 id="link-title">Link</h2>
          {linked ? <><LinkPanel /><UnreadFiles /></> : <ConnectForm />}
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
          {meter !== undefined && (
            <>
              <dl className="facts">
                <div>
                  <dt>Description</dt>
                  <dd>{meter.description}</dd>
                </div>
                <div>
                  <dt>Last port</dt>
                  <dd>{meter.port ?? 'none yet'}</dd>
                </div>
                <div>
                  <dt>Leads joined</dt>
                  <dd>
                    {meter.leadCheck === null
                      ? 'not checked yet'
                      : `${meter.leadCheck.ohms.toFixed(2)} Ω, ${timeWords(meter.leadCheck.utc)}`}
                  </dd>
                </div>
                <div>
                  <dt>Known diode</dt>
                  <dd>
                    {meter.diodeCheck === null
                      ? 'not checked yet'
                      : `${meter.diodeCheck.forwardVolts.toFixed(3)} V, ${timeWords(meter.diodeCheck.utc)}`}
                  </dd>
                </div>
                <div>
                  <dt>Known source</dt>
                  <dd>
                    {meter.sourceCheck === null
                      ? 'not checked yet'
                      : `${meter.sourceCheck.volts.toFixed(3)} V, ${timeWords(meter.sourceCheck.utc)}`}
                  </dd>
                </div>
                <div>
                  <dt>Air learned in</dt>
                  <dd>{meter.air.length === 0 ? 'nothing yet' : [...new Set(meter.air.map((one) => one.function))].join(', ')}</dd>
                </div>
              </dl>
              <MeterForm key={meter.id} meter={meter} />
            </>
          )}
        </section>
        {library !== null && <KitForm key={JSON.stringify(library.kit)} kit={library.kit} />}
        {library !== null && <RuleForm key={JSON.stringify(library.rule)} rule={library.rule} />}
      </div>
    </div>
  )
}
