/** Starts a run: which board type, which of its revisions, and the serial number if there is one; Enter starts. */
import { useEffect, useRef, useState, type JSX } from 'react'
import type { LibraryView } from '../../src-core/contract'
import { boardTypes, onlyRevision, typeOffered } from '../../src-core/board/revisions'
import { answersWhichMeter } from '../../src-core/meter/identity'
import { useApp, useSession } from '../app/session'
import { Sign } from '../app/sign'
import { assetUrl } from '../connection/token'
import { useKeys } from '../keys/use-keys'
import { BesideChoice } from './beside-choice'
import { OrderChoice } from './order-choice'
import { WhichRevision } from './which-revision'

type Props = { linked: boolean; /** The type that is chosen, and its revision where one is. */ onChoose: (chosen: { type: string; revision: string | null }) => void }

export const StartBoard = ({ linked, onChoose }: Props): JSX.Element => {
  const { call } = useSession()
  const boards = useApp((state) => state.library?.boards)
  const runs = useApp((state) => state.runs.latest)
  const identity = useApp((state) => state.identity)
  const meters = useApp((state) => state.library?.meters)
  const [chosen, setChosen] = useState<string | null>(null)
  const [revision, setRevision] = useState<string | null>(null)
  /** Start was pressed before the revision was known. */
  const [waiting, setWaiting] = useState<{ byEye: boolean } | null>(null)
  const [serialNumber, setSerialNumber] = useState('')
  const [beside, setBeside] = useState(false)
  const [busy, setBusy] = useState(false)
  const [fault, setFault] = useState<string | null>(null)
  const serial = useRef<HTMLInputElement>(null)

  // With the meter there, the next thing to come is a serial number: typed, scanned, or just Enter.
  useEffect(() => {
    if (linked) serial.current?.focus()
  }, [linked])

  const types = boardTypes(boards ?? [])
  const type = types.find(({ id }) => id === chosen) ?? typeOffered(types, runs)
  const board = type === null ? null : onlyRevision(type) ?? type.revisions.find((one) => one.revision === revision)?.entry ?? null

  const startOn = (on: NonNullable<typeof board>, byEye: boolean): void => {
    setBusy(true)
    setFault(null)
    call('start-run', { board: on.id, revision: on.revision, serialNumber: serialNumber.trim(), byEye, ...(beside ? { beside } : {}) })
      .catch((error: Error) => setFault(error.message))
      .finally(() => {
        setBusy(false)
        setWaiting(null)
      })
  }
  /** The label of a meter, scanned while it is asked which one is connected, is no serial number of a board. */
  const tookAsset = (text: string): boolean => {
    if (identity === null || !answersWhichMeter(identity, meters ?? [], text)) return false
    setSerialNumber('')
    setFault(null)
    call('confirm-meter', { meter: identity.meter, asset: text.trim() }).catch((error: Error) => setFault(error.message))
    return true
  }
  const start = (byEye: boolean): void => {
    if (tookAsset(serialNumber)) return
    if (board === null) setWaiting({ byEye })
    else startOn(board, byEye)
  }
  const choose = (one: string): void => {
    setRevision(one)
    if (type !== null) onChoose({ type: type.id, revision: one })
    const entry = type?.revisions.find((each) => each.revision === one)?.entry
    if (waiting !== null && entry !== undefined) startOn(entry, waiting.byEye)
  }
  const asked = type !== null && onlyRevision(type) === null ? type : null
  const connected = useApp((state) => state.library?.meters.find(({ id }) => id === state.link.meter))
  const accuracyStated = (entry: LibraryView['boards'][number]): boolean => entry.tooCoarse.every((id) => {
    const step = entry.board.sequence.steps.find((each) => each.id === id)
    return step?.kind === 'measure' && connected?.accuracy[step.function] !== undefined
  })
  useKeys(
    busy ? [] : [
      ...(asked?.revisions ?? []).flatMap((one) => (one.key === null ? [] : [{ key: one.key, run: () => choose(one.revision) }])),
      ...(waiting === null ? [] : [{ key: 'Esc', run: () => setWaiting(null) }]),
    ],
    { scanned: (text) => { if (!tookAsset(text)) setSerialNumber(text) }, ignored: () => undefined },
  )

  if (type === null) {
    return (
      <p>
        No board type can be read. Board types lie in the data folder, each in a folder of its own under boards, as board.json with its
        picture.
      </p>
    )
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
        {types.map((one) => {
          const newest = one.revisions.at(-1)?.entry
          return newest === undefined ? null : (
            <label key={one.id} className="choice">
              <input
                type="radio"
                name="board"
                value={one.id}
                checked={one === type}
                onChange={() => {
                  setChosen(one.id)
                  onChoose({ type: one.id, revision: null })
                  setRevision(null)
                  setWaiting(null)
                }}
              />
              {newest.picture !== null && <img className="thumb" src={assetUrl(newest.picture)} alt="" />}
              <span>
                <b>{one.name}</b> rev {one.revisions.map((each) => each.revision).join(', ')}
                <br />
                <span className="aside">
                  {newest.board.sequence.steps.length} steps{newest.board.hazard === 'hazardous' ? ', hazardous voltages' : ''}
                </span>
              </span>
            </label>
          )
        })}
      </fieldset>
      {asked !== null && <WhichRevision type={asked} chosen={revision} waiting={waiting !== null} choose={choose} />}
      {board !== null && board.tooCoarse.length > 0 && (
        <p className="form-fault" role="status">
          <Sign name="warn" />{' '}
          <span>
            This meter is not good enough for {board.tooCoarse.map((id) => board.board.sequence.steps.find((step) => step.id === id)?.title ?? id).join('; ')}: the limits
            are too narrow for its uncertainty. {accuracyStated(board) ? 'Use a better one.' : 'Enter its accuracy on Meters, or use a better one.'}
          </span>
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
      <OrderChoice />
      <BesideChoice name="beside" beside={beside} choose={setBeside} />
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
