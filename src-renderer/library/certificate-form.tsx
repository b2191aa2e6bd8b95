/** Edits the calibration certificate of a meter: laboratory, dates, as found and as left, and the points it covers. */
import type { JSX } from 'react'
import { useSession } from '../app/session'
import type { Meter } from '../../src-core/meter/instrument'
import type { Certificate } from '../../src-core/meter/register'
import { typedReader } from '../../src-core/quantity/typed-figure'
import { CalibrationLine } from './calibration-line'
import { PartForm } from './part-form'
import { PointsTable, pointsOf, pointsTyped, type PointTyped } from './points-table'
import { ChoiceCell } from './table-cells'
import { useDraft } from './use-draft'
import { useSave } from './use-save'

type Condition = Certificate['asFound']
type Typed = {
  number: string; laboratory: string; accreditation: string; calibrated: string; due: string; asFound: Condition; asLeft: Condition; points: PointTyped[]
}

const conditions: readonly Condition[] = ['within specification', 'outside specification', 'not stated']
const conditionWords: Record<Condition, string> = {
  'within specification': 'within specification', 'outside specification': 'outside specification', 'not stated': 'not stated',
}

const typedOf = (certificate: Certificate | null): Typed => (certificate === null
  ? { number: '', laboratory: '', accreditation: '', calibrated: '', due: '', asFound: 'not stated', asLeft: 'not stated', points: [] }
  : { ...certificate, points: pointsTyped(certificate.points) })

/** The certificate typed in, null where every field is empty, or the sentence that says what is wrong. */
const certificateOf = (typed: Typed): Certificate | null | string => {
  const [number, laboratory, accreditation] = [typed.number, typed.laboratory, typed.accreditation].map((each) => each.trim())
  if (number === '' && laboratory === '' && accreditation === '' && typed.calibrated === '' && typed.due === '' && typed.points.length === 0) return null
  if (number === undefined || number === '') return 'Certificate: its number is missing.'
  if (laboratory === undefined || laboratory === '') return 'Certificate: the laboratory is missing.'
  if (typed.calibrated === '') return 'Certificate: the day of calibration is missing.'
  if (typed.due === '') return 'Certificate: the day it is due is missing. Take the one your shop has laid down for this meter.'
  const reader = typedReader()
  const points = pointsOf(typed.points, reader)
  return reader.problem() ?? { ...typed, number, laboratory, accreditation: accreditation ?? '', points }
}

export const CertificateForm = ({ meter }: { meter: Meter }): JSX.Element => {
  const { call } = useSession()
  const [typed, setTyped] = useDraft(meter.register.certificate, typedOf)
  const save = useSave()
  const submit = (): void => {
    const certificate = certificateOf(typed)
    if (typeof certificate === 'string') save.refuse(certificate)
    else save.run(() => call('save-meter', { ...meter, register: { ...meter.register, certificate } }))
  }
  const field = (words: string, name: 'number' | 'laboratory' | 'accreditation' | 'calibrated' | 'due', day: boolean, placeholder?: string): JSX.Element => (
    <label className="field">
      <span>{words}</span>
      <input
        type={day ? 'date' : 'text'} value={typed[name]} maxLength={day ? undefined : 120} placeholder={placeholder} autoComplete="off"
        onChange={(event) => setTyped({ ...typed, [name]: event.target.value })}
      />
    </label>
  )
  return (
    <PartForm id="certificate-part" title="Calibration" save={save} words="Keep the certificate" submit={submit}>
      <CalibrationLine register={meter.register} />
      <div className="field-pairs">
        {field('Certificate', 'number', false)}
        {field('Laboratory', 'laboratory', false)}
        {field('Accreditation', 'accreditation', false, 'empty: none stated')}
        {field('Calibrated on', 'calibrated', true)}
        {field('Due on', 'due', true)}
        <label className="field">
          <span>As found</span>
          <ChoiceCell label="As found" value={typed.asFound} of={conditions} words={conditionWords} change={(asFound) => setTyped({ ...typed, asFound })} />
        </label>
        <label className="field">
          <span>As left</span>
          <ChoiceCell label="As left" value={typed.asLeft} of={conditions} words={conditionWords} change={(asLeft) => setTyped({ ...typed, asLeft })} />
        </label>
      </div>
      <details open={typed.points.length > 0 && typed.points.length <= 12}>
        <summary>{typed.points.length === 0 ? 'Points it covers' : `Points it covers: ${typed.points.length}`}</summary>
        <PointsTable rows={typed.points} change={(points) => { save.touched(); setTyped({ ...typed, points }) }} />
      </details>
    </PartForm>
  )
}
