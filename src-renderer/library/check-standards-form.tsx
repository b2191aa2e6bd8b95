/** The check standards of the bench: a resistor and a diode, each as its certificate states it. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import type { BenchKit } from '../../src-core/meter/instrument'
import { checkDiode, checkResistor, type CheckKind, type CheckStandards } from '../../src-core/metrology/check-standards'
import { FigureField } from './figure-field'
import { figureOf } from './figure-of'
import { SaveLine } from './save-line'
import { useSave } from './use-save'

type Typed = { label: string; value: string; U: string; k: string; milliamperes: string; certificateNumber: string; laboratory: string; calibrated: string; due: string }

const names: Record<CheckKind, string> = { resistor: 'Check resistor', diode: 'Check diode' }
const units: Record<CheckKind, string> = { resistor: 'Ω', diode: 'V' }
const empty: Typed = { label: '', value: '', U: '', k: '2', milliamperes: '', certificateNumber: '', laboratory: '', calibrated: '', due: '' }

const typedOf = (standard: CheckStandards[CheckKind]): Typed => {
  if (standard === null) return empty
  const { label, certificateNumber, laboratory, calibrated, due, U, k } = standard
  const milliamperes = 'amperes' in standard && standard.amperes !== null ? String(Number((standard.amperes * 1000).toPrecision(6))) : ''
  return { label, certificateNumber, laboratory, calibrated, due, U: String(U), k: String(k), milliamperes, value: String('ohms' in standard ? standard.ohms : standard.volts) }
}

/** The first thing that is wrong with it, as a sentence; null: nothing. */
const faultIn = (kind: CheckKind, typed: Typed): string | null => {
  const [value, U, k, current] = [typed.value, typed.U, typed.k, typed.milliamperes || '1'].map(figureOf)
  if (value == null || !(value > 0) || (kind === 'diode' && value > 10)) return `${names[kind]}: type its calibrated value, above 0${kind === 'diode' ? ' and at most 10' : ''} ${units[kind]}.`
  if (U == null || !(U > 0)) return `${names[kind]}: type the uncertainty U of its certificate, above 0 ${units[kind]}.`
  if (k == null || !(k >= 1 && k <= 5)) return `${names[kind]}: k must be from 1 to 5; most certificates state 2.`
  if (current == null || !(current > 0)) return `${names[kind]}: the current must be above 0 mA, or left empty.`
  if (typed.certificateNumber.trim() === '' || typed.laboratory.trim() === '') return `${names[kind]}: type the certificate’s number and the laboratory.`
  if (typed.calibrated === '' || typed.due === '') return `${names[kind]}: type the days it was calibrated and is due.`
  return typed.calibrated < typed.due ? null : `${names[kind]}: the day it is due must come after the day it was calibrated.`
}

const standardFrom = (kind: CheckKind, typed: Typed): unknown => {
  const { certificateNumber, laboratory, calibrated, due } = typed
  const common = { label: typed.label.trim(), certificateNumber: certificateNumber.trim(), laboratory: laboratory.trim(), calibrated, due, U: figureOf(typed.U), k: figureOf(typed.k) }
  if (kind === 'resistor') return { ...common, ohms: figureOf(typed.value) }
  const current = figureOf(typed.milliamperes)
  return { ...common, volts: figureOf(typed.value), amperes: current === null ? null : current / 1000 }
}

const standardsOf = (typed: Record<CheckKind, Typed>): CheckStandards | string => {
  for (const kind of ['resistor', 'diode'] as const) {
    const fault = typed[kind].label.trim() === '' ? null : faultIn(kind, typed[kind])
    if (fault !== null) return fault
  }
  const { resistor, diode } = typed
  return {
    resistor: resistor.label.trim() === '' ? null : checkResistor.parse(standardFrom('resistor', resistor)),
    diode: diode.label.trim() === '' ? null : checkDiode.parse(standardFrom('diode', diode)),
  }
}

type Field = { words: string; value: string; change: (value: string) => void; type?: 'date' }
const Labelled = ({ words, value, change, type }: Field): JSX.Element => (
  <label className="field small">
    <span>{words}</span>
    <input type={type} value={value} maxLength={80} onChange={(event) => change(event.target.value)} />
  </label>
)

const StandardFields = ({ kind, typed, take }: { kind: CheckKind; typed: Typed; take: (part: Partial<Typed>) => void }): JSX.Element => (
  <fieldset className="standard" data-testid={`standard-${kind}`}>
    <legend>{names[kind]}</legend>
    <div className="row">
      <Labelled words="Label" value={typed.label} change={(label) => take({ label })} />
      <FigureField words="Value" unit={units[kind]} value={typed.value} change={(value) => take({ value })} />
      <FigureField words="U" unit={units[kind]} value={typed.U} change={(U) => take({ U })} />
      <FigureField words="k" unit="" value={typed.k} change={(k) => take({ k })} />
      {kind === 'diode' && <FigureField words="Calibrated at, if stated" unit="mA" value={typed.milliamperes} change={(milliamperes) => take({ milliamperes })} />}
    </div>
    <div className="row">
      <Labelled words="Certificate" value={typed.certificateNumber} change={(certificateNumber) => take({ certificateNumber })} />
      <Labelled words="Laboratory" value={typed.laboratory} change={(laboratory) => take({ laboratory })} />
      <Labelled words="Calibrated" type="date" value={typed.calibrated} change={(calibrated) => take({ calibrated })} />
      <Labelled words="Due" type="date" value={typed.due} change={(due) => take({ due })} />
    </div>
  </fieldset>
)

export const CheckStandardsForm = ({ kit }: { kit: BenchKit }): JSX.Element => {
  const { call } = useSession()
  const [typed, setTyped] = useState({ resistor: typedOf(kit.checkStandards.resistor), diode: typedOf(kit.checkStandards.diode) })
  const save = useSave()
  const take = (kind: CheckKind) => (part: Partial<Typed>): void => {
    save.touched()
    setTyped((before) => ({ ...before, [kind]: { ...before[kind], ...part } }))
  }
  const submit = (): void => {
    const read = standardsOf(typed)
    if (typeof read === 'string') save.refuse(read)
    else save.run(() => call('save-kit', { ...kit, checkStandards: read }))
  }
  return (
    <section className="card" aria-labelledby="standards-title" data-testid="check-standards">
      <h2 id="standards-title">Check standards</h2>
      <p className="aside">Measured before a batch. Value, expanded uncertainty U and its factor k stand on the certificate. Leave the label empty where you have none. Checks made before stay as they were.</p>
      <form
        className="form wide"
        onSubmit={(event) => {
          event.preventDefault()
          submit()
        }}
      >
        <StandardFields kind="resistor" typed={typed.resistor} take={take('resistor')} />
        <StandardFields kind="diode" typed={typed.diode} take={take('diode')} />
        <SaveLine save={save} words="Keep the standards" />
      </form>
    </section>
  )
}
