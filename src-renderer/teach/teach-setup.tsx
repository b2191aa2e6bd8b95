/** What is asked before teaching: port and its settings, what the meter measures, how far its display counts, a name. */
import { useEffect, useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { functionWords } from '../app/words'
import { PortFields } from '../start/port-fields'
import type { CommandOutput } from '../../src-core/contract'
import { meterFunction } from '../../src-core/meter/reading'
import type { TeachSetup } from '../../src-core/meter/teach/setup'

type Ports = CommandOutput<'list-ports'>

const usual: TeachSetup = {
  name: '', port: { baud: 2400, dataBits: 8, parity: 'none', stopBits: 1, dtr: true, rts: false },
  functions: ['dc-voltage', 'resistance', 'diode', 'continuity'], counts: 6000,
}

export const TeachSetupForm = (): JSX.Element => {
  const { call, order } = useSession()
  const teaching = useApp((state) => state.teaching)
  const link = useApp((state) => state.link)
  const [ports, setPorts] = useState<Ports | null>(null)
  const from = useApp((state) => state.toTeach)
  const [path, setPath] = useState<string | null>(from === null || from.path === '' ? null : from.path)
  const [setup, setSetup] = useState<TeachSetup>(() => {
    const known = teaching?.setup ?? usual
    return from === null || from.port === null ? known : { ...known, port: { ...known.port, ...from.port } }
  })
  const [counts, setCounts] = useState(String(setup.counts))
  const [fault, setFault] = useState<string | null>(null)
  const [busy, setBusy] = useState(false)
  useEffect(() => {
    let over = false
    call('list-ports', {}).then(
      (listed) => { if (!over) setPorts(listed) },
      (error: Error) => { if (!over) setPorts({ ports: [], message: error.message }) },
    )
    return () => { over = true }
  }, [call])
  const typed = path ?? (ports?.ports.length === 1 ? ports.ports[0]?.path : undefined) ?? ''
  const connected = link.status === 'open' || link.status === 'silent' || link.status === 'lost' || link.status === 'opening'

  const submit = (): void => {
    const most = Number(counts.replace(/[\s,]/g, ''))
    const wrong = typed.trim() === '' ? 'Which port? Choose one of the list, or type its path, such as /dev/ttyUSB0.'
      : setup.name.trim() === '' ? 'The meter needs a name, such as “Drawer meter”.'
        : setup.functions.length === 0 ? 'Choose at least one function the meter has.'
          : !Number.isInteger(most) || most < 100 || most > 10_000_000 ? 'How far does the display count? Type the largest figure without its point, such as 6000.' : null
    setFault(wrong)
    if (wrong !== null) return
    setBusy(true)
    call('teach-listen', { path: typed.trim(), setup: { ...setup, name: setup.name.trim(), counts: most } })
      .catch((error: Error) => setFault(error.message))
      .finally(() => setBusy(false))
  }
  return (
    <div className="teach-setup">
      <form
        className="card form"
        onSubmit={(event) => {
          event.preventDefault()
          submit()
        }}
      >
        <h1>Teach a meter</h1>
        <label className="field">
          <span>Port</span>
          <input data-testid="teach-path" value={typed} maxLength={400} placeholder="/dev/ttyUSB0" spellCheck={false} autoComplete="off" onChange={(event) => setPath(event.target.value)} />
        </label>
        <div className="ports">
          {ports === null ? <span className="aside">Looking for ports …</span> : ports.ports.length === 0
            ? <span className="aside">{ports.message ?? 'No serial port was found. Plug the meter in, or type the path.'}</span>
            : ports.ports.map((port) => (
              <button key={port.path} type="button" className="chip" aria-pressed={port.path === typed} onClick={() => setPath(port.path)}>
                {port.path}
              </button>
            ))}
        </div>
        <PortFields port={setup.port} change={(port) => setSetup({ ...setup, port })} />
        <label className="field">
          <span>Name</span>
          <input data-testid="teach-name" value={setup.name} maxLength={80} placeholder="as the list of descriptions will show it" autoComplete="off" onChange={(event) => setSetup({ ...setup, name: event.target.value })} />
        </label>
        <label className="field">
          <span>Display counts to</span>
          <input data-testid="teach-counts" value={counts} inputMode="numeric" maxLength={12} onChange={(event) => setCounts(event.target.value)} />
        </label>
        <fieldset className="choices in-row">
          <legend>It measures</legend>
          {meterFunction.options.map((one) => (
            <label key={one} className="choice">
              <input
                type="checkbox"
                data-testid={`teach-has-${one}`}
                checked={setup.functions.includes(one)}
                onChange={(event) => setSetup({ ...setup, functions: meterFunction.options.filter((each) => (each === one ? event.target.checked : setup.functions.includes(each))) })}
              />
              <span>{functionWords[one]}</span>
            </label>
          ))}
        </fieldset>
        {connected && (
          <p className="form-fault">
            <Sign name="warn" /> A meter is connected. An unknown one can be listened to once it is disconnected.{' '}
            <button type="button" className="quiet-act" onClick={() => order('disconnect', {})}>Disconnect</button>
          </p>
        )}
        {(fault ?? teaching?.message ?? null) !== null && (
          <p className="form-fault" role="alert">
            <Sign name="warn" /> {fault ?? teaching?.message}
          </p>
        )}
        <button type="submit" className="main-act" data-testid="teach-listen" disabled={busy || connected}>
          {busy ? 'Opening the port …' : teaching !== null && teaching.examples.length > 0 ? `Listen again, with ${teaching.examples.length} displays kept` : 'Listen'}
        </button>
      </form>
      <section className="card" aria-labelledby="teach-how">
        <h2 id="teach-how">How it goes</h2>
        <ol className="teach-how">
          <li>Probewright listens. It sends nothing to the meter.</li>
          <li>You set the meter to displays you can read, some ten to thirty of them, and type what it shows. Each time Probewright says which display would tell it most.</li>
          <li>It works out what the bytes mean, and says what it does not know.</li>
          <li>You try the description on further displays, then keep it. It is a file like any other description.</li>
        </ol>
        <p className="aside">A meter that sends only when it is asked cannot be taught here. Use a resistor box, a battery and the leads; no display needs a dangerous voltage.</p>
      </section>
    </div>
  )
}
