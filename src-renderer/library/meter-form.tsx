/** Edits one meter: name, isolation of its link, and its accuracy for each function. */
import { useState, type JSX } from 'react'
import { useApp, useSession } from '../app/session'
import { functionWords } from '../app/words'
import type { Meter } from '../../src-core/meter/instrument'
import { meterFunction, type MeterFunction } from '../../src-core/meter/reading'
import { FigureField } from './figure-field'
import { figureOf } from './figure-of'
import { SaveLine } from './save-line'
import { useSave } from './use-save'

const functions: readonly MeterFunction[] = ['dc-voltage', 'ac-voltage', 'resistance', 'continuity', 'diode', 'capacitance']
const isolation: Record<Meter['isolated'], string> = { yes: 'yes', no: 'no', unknown: 'unknown (treated as no)' }

type Typed = Partial<Record<MeterFunction, { percent: string; counts: string }>>

const typedOf = (accuracy: Meter['accuracy']): Typed =>
  Object.fromEntries(
    meterFunction.options.flatMap((one) => {
      const own = accuracy[one]
      return own === undefined ? [] : [[one, { percent: String(own.percent), counts: String(own.counts) }]]
    }),
  )

/** The accuracy typed in, or the sentence that says what is wrong with it. A line with both fields empty is left out. */
const accuracyOf = (typed: Typed): Meter['accuracy'] | string => {
  const accuracy: Meter['accuracy'] = {}
  for (const one of meterFunction.options) {
    const { percent = '', counts = '' } = typed[one] ?? {}
    if (percent.trim() === '' && counts.trim() === '') continue
    const [a, n] = [figureOf(percent || '0'), figureOf(counts || '0')]
    if (a === null || n === null || a < 0 || n < 0)
      return `Accuracy of ${functionWords[one]}: type a figure of at least 0 in both fields, or leave both empty.`
    accuracy[one] = { percent: a, counts: n }
  }
  return accuracy
}

export const MeterForm = ({ meter }: { meter: Meter }): JSX.Element => {
  const { call } = useSession()
  const descriptions = useApp((state) => state.library?.descriptions) ?? []
  const [name, setName] = useState(meter.name)
  const [description, setDescription] = useState(meter.description)
  const [isolated, setIsolated] = useState(meter.isolated)
  const [typed, setTyped] = useState(typedOf(meter.accuracy))
  const save = useSave()
  const shown = [...functions, ...meterFunction.options.filter((one) => !functions.includes(one) && typed[one] !== undefined)]

  const submit = (): void => {
    const accuracy = accuracyOf(typed)
    if (typeof accuracy === 'string') save.refuse(accuracy)
    else if (name.trim() === '') save.refuse('The meter needs a name.')
    else save.run(() => call('save-meter', { ...meter, name: name.trim(), description, isolated, accuracy }))
  }
  return (
    <form
      className="form wide"
      onSubmit={(event) => {
        event.preventDefault()
        submit()
      }}
      onChange={save.touched}
    >
      <div className="row">
        <label className="field small">
          <span>Name</span>
          <input value={name} maxLength={80} onChange={(event) => setName(event.target.value)} />
        </label>
        <label className="field small">
          <span>Description</span>
          <select value={description} onChange={(event) => setDescription(event.target.value)}>
            {[...new Set([description, ...descriptions.map((one) => one.name)])].map((one) => (
              <option key={one}>{one}</option>
            ))}
          </select>
        </label>
        <label className="field small">
          <span>Serial link isolated</span>
          <select
            value={isolated}
            onChange={(event) => setIsolated(event.target.value === 'yes' ? 'yes' : event.target.value === 'no' ? 'no' : 'unknown')}
          >
            {Object.entries(isolation).map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </select>
        </label>
      </div>
      <table className="figures">
        <caption>Accuracy, as its maker states it: ± (% of reading + counts). Left empty, 1.5 % and 5 counts are taken.</caption>
        <thead>
          <tr>
            <th scope="col">Function</th>
            <th scope="col">% of reading</th>
            <th scope="col">Counts</th>
          </tr>
        </thead>
        <tbody>
          {shown.map((one) => {
            const own = typed[one] ?? { percent: '', counts: '' }
            return (
              <tr key={one}>
                <th scope="row">{functionWords[one]}</th>
                <td>
                  <FigureField
                    words=""
                    unit="%"
                    label={`${functionWords[one]}, percent of reading`}
                    value={own.percent}
                    change={(percent) => setTyped({ ...typed, [one]: { ...own, percent } })}
                  />
                </td>
                <td>
                  <FigureField
                    words=""
                    unit="counts"
                    label={`${functionWords[one]}, counts`}
                    value={own.counts}
                    change={(counts) => setTyped({ ...typed, [one]: { ...own, counts } })}
                  />
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
      <SaveLine save={save} words="Keep this meter" />
    </form>
  )
}
