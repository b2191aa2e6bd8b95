/** Connects a meter: one that is known in one press, or any other by port and description. */
import { useEffect, useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import type { CommandOutput } from '../../src-core/contract'
import { UnreadFiles } from '../library/unread-files'
import { cableHint } from '../../src-core/meter/identity'
import type { PortSettings } from '../../src-core/meter/description'
import { PortFields } from './port-fields'
import { RecognisePort } from './recognise-port'

type Ports = CommandOutput<'list-ports'>
/** What the person has set; null where the proposal still stands. */
type Draft = { meter: string | null; path: string | null; description: string | null; name: string; port: PortSettings | null }

const otherMeter = ''

export const ConnectForm = (): JSX.Element => {
  const { call, teach } = useSession()
  const library = useApp((state) => state.library)
  const link = useApp((state) => state.link)
  const [ports, setPorts] = useState<Ports | null>(null)
  const [draft, setDraft] = useState<Draft>({ meter: null, path: null, description: null, name: '', port: null })
  const [heard, setHeard] = useState<{ path: string; at: PortSettings | null } | null>(null)
  const [busy, setBusy] = useState(false)
  const [fault, setFault] = useState<string | null>(null)

  const listPorts = (): void => {
    call('list-ports', {}).then(setPorts, (error: Error) => setPorts({ ports: [], message: error.message }))
  }
  useEffect(() => {
    let over = false
    call('list-ports', {}).then(
      (listed) => {
        if (!over) setPorts(listed)
      },
      (error: Error) => {
        if (!over) setPorts({ ports: [], message: error.message })
      },
    )
    return () => {
      over = true
    }
  }, [call])

  const meters = library?.meters ?? []
  const descriptions = library?.descriptions ?? []
  const chosen =
    draft.meter === null ? (meters.find((meter) => meter.port !== null) ?? meters[0]) : meters.find((meter) => meter.id === draft.meter)
  const path = draft.path ?? chosen?.port ?? (ports?.ports.length === 1 ? ports.ports[0]?.path : undefined) ?? ''
  const description = draft.description ?? chosen?.description ?? descriptions[0]?.name ?? ''
  const hint = cableHint(meters, ports?.ports.find((port) => port.path === path)?.cable ?? null)
  const described = descriptions.find((one) => one.name === description)

  const submit = (as: { description: string; port: PortSettings | null } = { description, port: draft.port }): void => {
    if (path.trim() === '') {
      setFault('Which port? Choose one of the list, or type its path, such as /dev/ttyUSB0.')
      return
    }
    setBusy(true)
    setFault(null)
    const name = draft.name.trim()
    // What speaks otherwise than the chosen meter is another meter.
    const known = chosen !== undefined && (as.description === description || as.description === chosen.description) ? chosen : undefined
    call('connect', {
      path: path.trim(),
      description: as.description,
      ...(known === undefined ? {} : { meter: known.id }),
      ...(known === undefined && name !== '' ? { name } : {}),
      ...(as.port === null ? {} : { port: as.port }),
    })
      .catch((error: Error) => setFault(error.message))
      .finally(() => setBusy(false))
  }

  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault()
        submit()
      }}
    >
      {meters.length > 0 && (
        <fieldset className="choices">
          <legend>Which meter</legend>
          {meters.map((meter) => (
            <label key={meter.id} className="choice">
              <input
                type="radio"
                name="meter"
                checked={chosen?.id === meter.id}
                onChange={() => setDraft({ ...draft, meter: meter.id, path: null, description: null })}
              />
              <span>
                <b>{meter.name}</b>{' '}
                <span className="aside">
                  {meter.port === null ? 'no port yet' : meter.name.includes(meter.port) ? '' : `last at ${meter.port}`}
                </span>
              </span>
            </label>
          ))}
          <label className="choice">
            <input
              type="radio"
              name="meter"
              checked={chosen === undefined}
              onChange={() => setDraft({ ...draft, meter: otherMeter, path: null, description: null })}
            />
            <span>another meter</span>
          </label>
        </fieldset>
      )}
      <label className="field">
        <span>Port</span>
        <input
          data-testid="port-path"
          value={path}
          maxLength={400}
          placeholder="/dev/ttyUSB0"
          spellCheck={false}
          autoComplete="off"
          onChange={(event) => setDraft({ ...draft, path: event.target.value })}
        />
      </label>
      <div className="ports">
        {ports === null ? (
          <span className="aside">Looking for ports …</span>
        ) : ports.ports.length === 0 ? (
          <span className="aside">{ports.message ?? 'No serial port was found. Plug the meter in, or type the path.'}</span>
        ) : (
          ports.ports.map((port) => (
            <button
              key={port.path}
              type="button"
              className="chip"
              aria-pressed={port.path === path}
              title={port.about}
              onClick={() => setDraft({ ...draft, path: port.path })}
            >
              {port.path}
              {port.about !== '' && <span className="aside"> {port.about}</span>}
            </button>
          ))
        )}
        <button type="button" className="quiet-act" onClick={listPorts}>
          Look again
        </button>
      </div>
      {hint !== null && (
        <p className="aside" data-testid="cable-hint">
          {hint}
        </p>
      )}
      <label className="field">
        <span>Description</span>
        <select
          data-testid="description"
          value={description}
          onChange={(event) => setDraft({ ...draft, description: event.target.value, port: null })}
        >
          {descriptions.length === 0 && <option value="">no description can be read</option>}
          {descriptions.map((one) => (
            <option key={one.file} value={one.name}>
              {one.name}
              {one.builtIn ? '' : ' (own)'}
            </option>
          ))}
        </select>
      </label>
      <RecognisePort path={path.trim()} disabled={busy} choose={(found) => submit({ description: found.description, port: found.settings })} hear={(on, at) => setHeard({ path: on, at })} />
      {chosen === undefined && (
        <label className="field">
          <span>Name</span>
          <input
            data-testid="meter-name"
            value={draft.name}
            maxLength={80}
            placeholder="may stay empty"
            autoComplete="off"
            onChange={(event) => setDraft({ ...draft, name: event.target.value })}
          />
        </label>
      )}
      {described !== undefined && (
        <details>
          <summary>Port settings</summary>
          <PortFields port={draft.port ?? described.port} change={(port) => setDraft({ ...draft, port })} />
        </details>
      )}
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {fault}
        </p>
      )}
      {fault === null && link.message !== null && link.status !== 'practice' && (
        <p className="form-fault" role="status">
          <Sign name="warn" /> {link.message}
        </p>
      )}
      <UnreadFiles />
      <button type="submit" className="main-act" data-testid="connect" disabled={busy || description === ''}>
        {busy ? 'Opening the port …' : 'Connect'}
      </button>
      <p className="aside">
        None fits?{' '}
        <button type="button" className="quiet-act" data-testid="teach" onClick={() => teach({ path: path.trim(), port: draft.port ?? (heard?.path === path.trim() ? heard.at : null) })}>
          Teach this meter
        </button>
      </p>
    </form>
  )
}
