/** The one line where messages go, under the steps and never over the prompt. The most urgent is shown. */
import type { JSX } from 'react'
import { useApp, useLost, useSession } from '../app/session'
import { lostWords } from '../app/words'
import { Sign } from '../app/sign'
import type { BenchView } from '../../src-core/run/view'
import { useWindowFocus } from './use-window-focus'

export const MessageLine = ({ bench }: { bench: BenchView }): JSX.Element | null => {
  const { hush } = useSession()
  const focused = useWindowFocus()
  const lost = useLost()
  const message = useApp((state) => state.message)

  if (lost)
    return (
      <p className="line line-problem line-lost" role="alert" data-testid="app-lost">
        <Sign name="warn" /> <span>{lostWords}</span>
      </p>
    )
  if (!focused)
    return (
      <p className="line line-focus large" role="alert" data-testid="focus-lost">
        <Sign name="warn" /> Window lost focus: keys do nothing. Click here.
      </p>
    )
  if (message !== null) {
    return (
      <p className={`line line-${message.kind}`} role={message.kind === 'problem' ? 'alert' : 'status'} data-testid="message">
        {message.kind === 'problem' && <Sign name="warn" />}{' '}
        <span className="line-words" title={message.text}>
          {message.text}
        </span>
        <button type="button" className="quiet-act" onClick={hush}>
          seen
        </button>
      </p>
    )
  }
  if (bench.record || bench.status === 'ended') return null
  return bench.byEye ? <ReadByEye /> : <MeterMissing />
}

const ReadByEye = (): JSX.Element => {
  const { go } = useSession()
  return (
    <p className="line line-note">
      <span className="line-words">No meter is connected: what is typed is kept as typed.</span>
      <button type="button" className="quiet-act" onClick={() => go('start')}>
        connect a meter
      </button>
    </p>
  )
}

const MeterMissing = (): JSX.Element | null => {
  const { order, go } = useSession()
  const link = useApp((state) => state.link)
  const meters = useApp((state) => state.library?.meters)
  if (link.status === 'open' || link.status === 'practice' || link.status === 'opening') {
    return link.message === null ? null : (
      <p className="line line-note">
        <span className="line-words">{link.message}</span>
      </p>
    )
  }
  const known = meters?.find((meter) => meter.port !== null)
  const port = known?.port ?? null
  return (
    <p className="line line-problem" role="status">
      <Sign name="warn" />
      <span className="line-words">
        {link.message ?? (link.status === 'closed' ? 'No meter is connected.' : 'The meter sends nothing.')}
      </span>
      {link.status === 'closed' && known !== undefined && port !== null && (
        <button
          type="button"
          className="main-act small"
          onClick={() => order('connect', { path: port, description: known.description, meter: known.id })}
        >
          Connect {known.name}
        </button>
      )}
      <button type="button" className="quiet-act" onClick={() => go('start')}>
        choose a meter
      </button>
    </p>
  )
}
