/** Starts a run: which board type, and the serial number if there is one; Enter starts. */
import { useEffect, useRef, useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { assetUrl } from '../connection/token'

export const StartBoard = ({ linked }: { linked: boolean }): JSX.Element => {
  const { call } = useSession()
  const boards = useApp((state) => state.library?.boards)
  const [chosen, setChosen] = useState<string | null>(null)
  const [serialNumber, setSerialNumber] = useState('')
  const [busy, setBusy] = useState(false)
  const [fault, setFault] = useState<string | null>(null)
  const serial = useRef<HTMLInputElement>(null)

  // With the meter there, the next thing to come is a serial number: typed, scanned, or just Enter.
  useEffect(() => {
    if (linked) serial.current?.focus()
  }, [linked])

  if (boards === undefined || boards.length === 0) {
    return (
      <p>
        No board type can be read. Board types lie in the data folder, each in a folder of its own under boards, as board.json with its
        picture.
      </p>
    )
  }
  const keyOf = (board: (typeof boards)[number]): string => `${board.id} ${board.revision}`
  const board = boards.find((one) => keyOf(one) === chosen) ?? boards[0]

  const start = (byEye: boolean): void => {
    if (board === undefined) return
    setBusy(true)
    setFault(null)
    call('start-run', { board: board.id, revision: board.revision, serialNumber: serialNumber.trim(), byEye })
      .catch((error: Error) => setFault(error.message))
      .finally(() => setBusy(false))
  }

  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault()
        start(false)
      }}
    >
      <fieldset className="choices board-choices">
        <legend>Board type</legend>
        {boards.map((one) => (
          <label key={keyOf(one)} className="choice">
            <input type="radio" name="board" checked={one === board} onChange={() => setChosen(keyOf(one))} />
            {one.picture !== null && <img className="thumb" src={assetUrl(one.picture)} alt="" />}
            <span>
              <b>{one.name}</b> rev {one.revision}
              <br />
              <span className="aside">
                {one.board.sequence.steps.length} steps{one.board.hazard === 'hazardous' ? ', hazardous voltages' : ''}
              </span>
            </span>
          </label>
        ))}
      </fieldset>
      {board !== undefined && board.tooCoarse.length > 0 && (
        <p className="form-fault" role="status">
          <Sign name="warn" /> This meter is not good enough here: {board.tooCoarse.join(', ')}.
        </p>
      )}
      <label className="field">
        <span>Serial number</span>
        <input
          ref={serial}
          data-testid="serial-number"
          value={serialNumber}
          maxLength={80}
          placeholder="typed or scanned; may stay empty"
          autoComplete="off"
          spellCheck={false}
          onChange={(event) => setSerialNumber(event.target.value)}
        />
      </label>
      {fault !== null && (
        <p className="form-fault" role="alert">
          <Sign name="warn" /> {fault}
        </p>
      )}
      <button type="submit" className={linked ? 'main-act' : 'main-act second'} data-testid="start-board" disabled={busy}>
        {busy ? 'Starting …' : 'Start'} <kbd>Enter</kbd>
      </button>
      {!linked && (
        <p className="aside">
          A meter with no serial output?{' '}
          <button type="button" className="quiet-act" data-testid="start-by-eye" disabled={busy} onClick={() => start(true)}>
            Start and type its values
          </button>
        </p>
      )}
    </form>
  )
}
