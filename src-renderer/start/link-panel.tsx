/** The open link: what the meter shows now in large figures, and what came of its frames. */
import { useState, type JSX } from 'react'
import { LiveFigure } from '../app/live-figure'
import { useApp, useLost, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { flagWords, functionWords } from '../app/words'
import { CalibrationNotice } from '../library/calibration-line'
import { saidOnce } from './said-once'
import { WhichMeter } from './which-meter'

/** @param scans codes scanned on this screen are asset numbers. */
export const LinkPanel = ({ scans = false }: { scans?: boolean }): JSX.Element => {
  const { call } = useSession()
  const link = useApp((state) => state.link)
  const live = useApp((state) => state.live)
  const meters = useApp((state) => state.library?.meters)
  const [fault, setFault] = useState<string | null>(null)
  const lost = useLost()
  const identity = useApp((state) => state.identity)
  const meter = meters?.find((each) => each.id === link.meter)
  const { name, about } = saidOnce(identity?.name ?? meter?.name ?? null, link.description, link.path)
  return (
    <div className="link-panel">
      <LiveFigure reading={live.reading} />
      <p className="reading-about">
        {live.reading === null
          ? lost
            ? 'Not live any more'
            : 'Waiting for the meter to send'
          : [functionWords[live.reading.function], ...live.reading.flags.map(flagWords)].join(', ')}
      </p>
      <p className="aside">
        {name !== null && <b>{name}</b>}
        {name !== null && about !== '' && (about.startsWith('at ') ? ' ' : ', ')}
        {about}. {link.readings} readings{live.perSecond !== null && `, ${live.perSecond.toFixed(1)} per second`}; {link.rejects} {link.rejects === 1 ? 'reject' : 'rejects'}.
      </p>
      {link.identification !== null && <p className="aside">It says it is “{link.identification}”.</p>}
      <WhichMeter scans={scans} />
      {meter !== undefined && <CalibrationNotice key={meter.id} meter={meter} />}
      {link.status === 'silent' && (
        <p className="form-fault" role="status">
          <Sign name="warn" /> {link.message ?? 'The meter sends nothing. Is it on, and its output turned on?'}
        </p>
      )}
      {link.status !== 'silent' && link.message !== null && <p className="aside">{link.message}</p>}
      {fault !== null && (
        <p className="form-fault" role="alert">
          {fault}
        </p>
      )}
      <button
        type="button"
        className="quiet-act"
        data-testid="disconnect"
        onClick={() => {
          call('disconnect', {}).catch((error: Error) => setFault(error.message))
        }}
      >
        Disconnect
      </button>
    </div>
  )
}
