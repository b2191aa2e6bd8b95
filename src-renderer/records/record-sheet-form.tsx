/** The small sheet before a record is issued; what was answered last time stands in it already. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import { FigureField } from '../library/figure-field'
import { figureOf } from '../library/figure-of'
import { useSave } from '../library/use-save'
import type { CommandOutput } from '../../src-core/contract'
import { sheetWords, type RecordSheet } from '../../src-core/record/sheet'

type Typed = Omit<RecordSheet, 'received' | 'celsius' | 'relativeHumidityPercent'> & { received: string; celsius: string; humidity: string }

const typedOf = ({ received, celsius, relativeHumidityPercent, ...rest }: RecordSheet): Typed =>
  ({ ...rest, received: received ?? '', celsius: celsius === null ? '' : String(celsius), humidity: relativeHumidityPercent === null ? '' : String(relativeHumidityPercent) })

/** The sheet typed in, or the sentence that says which figure is none. */
const sheetOf = ({ received, celsius, humidity, ...rest }: Typed): RecordSheet | string => {
  const figure = (text: string): number | null | undefined => (text.trim() === '' ? null : figureOf(text) ?? undefined)
  const [degrees, percent] = [figure(celsius), figure(humidity)]
  if (degrees === undefined || (degrees !== null && (degrees < -50 || degrees > 80))) return 'The temperature must be a figure from −50 to 80 °C, or empty.'
  if (percent === undefined || (percent !== null && (percent < 0 || percent > 100))) return 'The humidity must be a figure from 0 to 100 %, or empty.'
  return { ...rest, received: received === '' ? null : received, celsius: degrees, relativeHumidityPercent: percent }
}

type Props = {
  run: string; offered: CommandOutput<'record-sheet'>
  /** The record that the new one stands in for; null: the first of its run. */
  corrects: { number: string; callOff: () => void } | null
  away: boolean; issued: () => void
}

export const RecordSheetForm = ({ run, offered, corrects, away, issued }: Props): JSX.Element => {
  const { call } = useSession()
  const [typed, setTyped] = useState(() => typedOf(offered.sheet))
  const [because, setBecause] = useState('')
  const saving = useSave()
  const take = (part: Partial<Typed>): void => {
    saving.touched()
    setTyped({ ...typed, ...part })
  }
  const submit = (): void => {
    const sheet = sheetOf(typed)
    if (typeof sheet === 'string') return saving.refuse(sheet)
    saving.run(async () => {
      await (corrects === null ? call('issue-record', { run, sheet }) : call('correct-record', { number: corrects.number, because, sheet }))
      issued()
    })
  }
  const line = (name: 'issuer' | 'place' | 'technician' | 'authorisedBy' | 'customer' | 'job', most: number, hint = '', wide = false): JSX.Element => (
    <label className={`field${wide ? ' whole' : ''}`}>
      <span>{sheetWords[name]}</span>
      <input name={name} data-testid={`sheet-${name}`} value={typed[name]} maxLength={most} placeholder={hint} autoComplete="off" onChange={(event) => take({ [name]: event.target.value })} />
    </label>
  )
  return (
    <form
      className="form wide record-sheet"
      aria-label="Sheet of the record"
      onSubmit={(event) => {
        event.preventDefault()
        submit()
      }}
      onKeyDown={(event) => {
        // The page's own keys stand back while text is typed.
        if (event.key !== 'Escape' || corrects === null || event.nativeEvent.isComposing) return
        event.stopPropagation()
        corrects.callOff()
      }}
    >
      {corrects !== null && (
        <label className="field">
          <span>What was wrong</span>
          <input data-testid="correct-because" value={because} maxLength={500} autoComplete="off" onChange={(event) => { saving.touched(); setBecause(event.target.value) }} />
        </label>
      )}
      <label className="field">
        <span>{sheetWords.conditionAsReceived}</span>
        <textarea data-testid="sheet-condition" rows={3} value={typed.conditionAsReceived} maxLength={1000} placeholder={offered.lastCondition === '' ? 'what could be seen' : `last time: ${offered.lastCondition}`} onChange={(event) => take({ conditionAsReceived: event.target.value })} />
      </label>
      {offered.lastCondition !== '' && typed.conditionAsReceived === '' && (
        <p className="as-last-time">
          <button type="button" className="quiet-act" data-testid="same-condition" onClick={() => take({ conditionAsReceived: offered.lastCondition })}>
            as last time
          </button>
        </p>
      )}
      <div className="field-pairs">
        {line('customer', 200, 'may stay empty', true)}
        {line('issuer', 300, 'shop, and its address', true)}
        {line('place', 200)}
        {line('job', 80, 'may stay empty')}
        {line('technician', 120)}
        {line('authorisedBy', 120)}
        <label className="field">
          <span>{sheetWords.received}</span>
          <input type="date" data-testid="sheet-received" value={typed.received} onChange={(event) => take({ received: event.target.value })} />
        </label>
        <div className="row air-figures">
          <FigureField words={sheetWords.celsius} unit="°C" value={typed.celsius} change={(celsius) => take({ celsius })} />
          <FigureField words={sheetWords.relativeHumidityPercent} unit="%" value={typed.humidity} change={(humidity) => take({ humidity })} />
        </div>
      </div>
      <p className="aside">
        What is issued cannot be changed; a correction is a new record that names this one.
        {offered.makesKey && ' This is the first record of this shop: its signing key is made with it. Back it up soon, on “Sound and keys”.'}
      </p>
      <p className="save-line">
        <button type="submit" className="main-act" data-testid="issue-record" disabled={saving.busy || away}>{corrects === null ? 'Issue record' : 'Issue the correction'}</button>
        <span role={saving.failed ? 'alert' : 'status'} className={saving.failed ? 'form-fault' : 'aside'}>{saving.failed ? saving.words : saving.busy ? 'Issuing …' : ''}</span>
      </p>
    </form>
  )
}
