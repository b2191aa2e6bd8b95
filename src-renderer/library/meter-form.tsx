/** Edits what a meter is: its name and kind, its labels, its description, and the isolation of its link. */
import type { JSX } from 'react'
import { useApp, useSession } from '../app/session'
import type { Meter } from '../../src-core/meter/instrument'
import { PartForm } from './part-form'
import { useDraft } from './use-draft'
import { useSave } from './use-save'

const isolation: Record<Meter['isolated'], string> = { yes: 'yes', no: 'no', unknown: 'unknown (treated as no)' }

const typedOf = ({ name, description, isolated, register: { kind, serialNumber, assetNumber } }: Meter) =>
  ({ name, description, isolated, kind, serialNumber, assetNumber })

export const MeterForm = ({ meter }: { meter: Meter }): JSX.Element => {
  const { call } = useSession()
  const descriptions = useApp((state) => state.library?.descriptions) ?? []
  const [typed, setTyped] = useDraft(typedOf(meter), (value) => value)
  const save = useSave()
  const { name, description, isolated } = typed

  const submit = (): void => {
    if (name.trim() === '') return save.refuse('The meter needs a name.')
    const register = { ...meter.register, kind: typed.kind.trim(), serialNumber: typed.serialNumber.trim(), assetNumber: typed.assetNumber.trim() }
    save.run(() => call('save-meter', { ...meter, name: name.trim(), description, isolated, register }))
  }
  const label = (words: string, field: 'name' | 'kind' | 'serialNumber' | 'assetNumber', most: number, placeholder?: string): JSX.Element => (
    <label className="field">
      <span>{words}</span>
      <input
        value={typed[field]} maxLength={most} placeholder={placeholder} autoComplete="off" spellCheck={false}
        onChange={(event) => setTyped({ ...typed, [field]: event.target.value })}
      />
    </label>
  )
  return (
    <PartForm id="meter-part" title="The meter" save={save} words="Keep this meter" submit={submit}>
      <div className="field-pairs">
        {label('Name', 'name', 80)}
        {label('Kind', 'kind', 120, 'hand-held, 6000 counts')}
        {label('Serial number', 'serialNumber', 120)}
        {label('Asset number', 'assetNumber', 120, 'as on the shop’s label')}
        <label className="field">
          <span>Description</span>
          <select value={description} onChange={(event) => setTyped({ ...typed, description: event.target.value })}>
            {[...new Set([description, ...descriptions.map((one) => one.name)])].map((one) => (
              <option key={one}>{one}</option>
            ))}
          </select>
        </label>
        <label className="field">
          <span>Link isolated</span>
          <select
            value={isolated}
            onChange={(event) => setTyped({ ...typed, isolated: event.target.value === 'yes' ? 'yes' : event.target.value === 'no' ? 'no' : 'unknown' })}
          >
            {Object.entries(isolation).map(([value, words]) => (
              <option key={value} value={value}>
                {words}
              </option>
            ))}
          </select>
        </label>
      </div>
    </PartForm>
  )
}
