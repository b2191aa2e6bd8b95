/** Edits how good a meter is: accuracy by function, by range, and the conditions it is stated for. */
import type { JSX } from 'react'
import { useSession } from '../app/session'
import { functionWords } from '../app/words'
import type { Meter } from '../../src-core/meter/instrument'
import { meterFunction, type MeterFunction } from '../../src-core/meter/reading'
import { typedReader, type TypedReader } from '../../src-core/quantity/typed-figure'
import { FigureField } from './figure-field'
import { PartForm } from './part-form'
import { RangeAccuracyTable, rangesOf, rangesTyped } from './range-accuracy'
import { useDraft } from './use-draft'
import { useSave } from './use-save'

const functions: readonly MeterFunction[] = ['dc-voltage', 'ac-voltage', 'resistance', 'continuity', 'diode', 'capacitance']

type Stated = Partial<Record<MeterFunction, { percent: string; counts: string }>>
type Conditions = { from: string; to: string; months: string }

const statedOf = (accuracy: Meter['accuracy']): Stated =>
  Object.fromEntries(
    meterFunction.options.flatMap((one) => {
      const own = accuracy[one]
      return own === undefined ? [] : [[one, { percent: String(own.percent), counts: String(own.counts) }]]
    }),
  )

/** A line with both fields empty is left out. */
const accuracyTyped = (stated: Stated, reader: TypedReader): Meter['accuracy'] => {
  const accuracy: Meter['accuracy'] = {}
  for (const one of meterFunction.options) {
    const { percent = '', counts = '' } = stated[one] ?? {}
    if (percent.trim() === '' && counts.trim() === '') continue
    const name = `Accuracy of ${functionWords[one]}`
    accuracy[one] = { percent: reader.plain(percent.trim() === '' ? '0' : percent, `${name}, % of reading`, 0, 100), counts: reader.plain(counts.trim() === '' ? '0' : counts, `${name}, counts`, 0, 1000) }
  }
  return accuracy
}

const conditionsTyped = ({ from, to, months }: Conditions, reader: TypedReader): Meter['register']['conditions'] | string => {
  if ([from, to, months].every((each) => each.trim() === '')) return null
  const read = { celsiusFrom: reader.plain(from, 'Temperature from', -50, 100), celsiusTo: reader.plain(to, 'Temperature to', -50, 100), months: reader.plain(months, 'Months after calibration', 1, 120) }
  if (reader.problem() !== null) return read
  if (read.celsiusFrom >= read.celsiusTo) return `Conditions: from ${from} °C must be below to ${to} °C.`
  return Number.isInteger(read.months) ? read : `Conditions: write whole months; it is “${months}”.`
}

export const AccuracyForm = ({ meter }: { meter: Meter }): JSX.Element => {
  const { call } = useSession()
  const { accuracy, register } = meter
  const [typed, setTyped] = useDraft({ accuracy, ranges: register.ranges, conditions: register.conditions }, (value) => ({
    stated: statedOf(value.accuracy), ranges: rangesTyped(value.ranges),
    conditions: value.conditions === null ? { from: '', to: '', months: '' }
      : { from: String(value.conditions.celsiusFrom), to: String(value.conditions.celsiusTo), months: String(value.conditions.months) },
  }))
  const save = useSave()
  const { stated, conditions } = typed
  const shown = [...functions, ...meterFunction.options.filter((one) => !functions.includes(one) && stated[one] !== undefined)]
  const setConditions = (part: Partial<Conditions>): void => setTyped({ ...typed, conditions: { ...conditions, ...part } })

  const submit = (): void => {
    const reader = typedReader()
    const next = { accuracy: accuracyTyped(stated, reader), ranges: rangesOf(typed.ranges, reader), conditions: conditionsTyped(conditions, reader) }
    const problem = reader.problem() ?? (typeof next.conditions === 'string' ? next.conditions : null)
    if (problem !== null || typeof next.conditions === 'string') return save.refuse(problem ?? '')
    const kept = { ...register, ranges: next.ranges, conditions: next.conditions }
    save.run(() => call('save-meter', { ...meter, accuracy: next.accuracy, register: kept }))
  }
  return (
    <PartForm id="accuracy-part" title="Accuracy" save={save} words="Keep its accuracy" submit={submit}>
      <table className="figures">
        <caption>As its maker states it: ± (% of reading + counts). Left empty, 1.5{'\u00a0'}% and 5{'\u00a0'}counts are taken.</caption>
        <thead>
          <tr>
            <th scope="col">Function</th>
            <th scope="col">% of reading</th>
            <th scope="col">Counts</th>
          </tr>
        </thead>
        <tbody>
          {shown.map((one) => {
            const own = stated[one] ?? { percent: '', counts: '' }
            const set = (part: Partial<typeof own>): void => setTyped({ ...typed, stated: { ...stated, [one]: { ...own, ...part } } })
            return (
              <tr key={one}>
                <th scope="row">{functionWords[one]}</th>
                <td>
                  <FigureField words="" unit="%" label={`${functionWords[one]}, percent of reading`} value={own.percent} change={(percent) => set({ percent })} />
                </td>
                <td>
                  <FigureField words="" unit="counts" label={`${functionWords[one]}, counts`} value={own.counts} change={(counts) => set({ counts })} />
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
      <RangeAccuracyTable rows={typed.ranges} change={(ranges) => { save.touched(); setTyped({ ...typed, ranges }) }} />
      <div className="row">
        <FigureField words="Stated from" unit="°C" value={conditions.from} change={(from) => setConditions({ from })} />
        <FigureField words="to" unit="°C" value={conditions.to} change={(to) => setConditions({ to })} />
        <FigureField words="for" unit="months after calibration" value={conditions.months} change={(months) => setConditions({ months })} />
      </div>
    </PartForm>
  )
}
