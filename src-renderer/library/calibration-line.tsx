/** Whether the calibration of a meter holds today, and what else its certificate gives reason to say. */
import { useState, type JSX } from 'react'
import { Sign } from '../app/sign'
import { calibrationAt, calibrationWarning } from '../../src-core/meter/calibration'
import type { Meter } from '../../src-core/meter/instrument'
import type { RegisterEntry } from '../../src-core/meter/register'
import { useCheckHistory } from './use-check-history'

const Warning = ({ words }: { words: string }): JSX.Element => (
  <p className="form-fault">
    <Sign name="warn" /> {words}
  </p>
)

export const CalibrationLine = ({ register }: { register: RegisterEntry }): JSX.Element => {
  const [now] = useState(() => new Date().toISOString())
  const { state, words, remarks } = calibrationAt(register, now)
  return (
    <div data-testid="calibration" data-state={state}>
      {state === 'overdue' ? <Warning words={words} /> : <p className="aside">{words}</p>}
      {remarks.map((remark) => <Warning key={remark} words={remark} />)}
    </div>
  )
}

/** Beside the link, before a run starts: only what speaks against the values to come. */
export const CalibrationNotice = ({ meter: { id, register } }: { meter: Pick<Meter, 'id' | 'register'> }): JSX.Element => {
  const [now] = useState(() => new Date().toISOString())
  const history = useCheckHistory(id)
  const warning = calibrationWarning(register, now)
  const failed = history === null ? null : typeof history === 'string' ? `Whether a check of this meter failed is not known: ${history}` : history.failed
  return (
    <>
      {warning !== null && (
        <div data-testid="calibration-notice">
          <Warning words={warning} />
        </div>
      )}
      {failed !== null && (
        <div data-testid="check-notice">
          <Warning words={failed} />
        </div>
      )}
    </>
  )
}
