/** The bench kit: the known diode, source and resistor that meter and leads are checked with. */
import { useState, type JSX } from 'react'
import { useSession } from '../app/session'
import type { BenchKit } from '../../src-core/meter/instrument'
import { FigureField } from './figure-field'
import { figureOf } from './figure-of'
import { SaveLine } from './save-line'
import { useSave } from './use-save'

type Typed = {
  diode: string
  least: string
  most: string
  source: string
  volts: string
  plusMinus: string
  resistor: string
  ohms: string
  first: string
  firstOhms: string
  second: string
  secondOhms: string
}

const typedOf = ({ knownDiode, knownSource, knownResistor, sourceResistors: { first, second } }: BenchKit): Typed => ({
  diode: knownDiode.label,
  least: String(knownDiode.leastVolts),
  most: String(knownDiode.mostVolts),
  source: knownSource.label,
  volts: String(knownSource.volts),
  plusMinus: String(knownSource.plusMinusVolts),
  resistor: knownResistor?.label ?? '',
  ohms: knownResistor === null ? '' : String(knownResistor.ohms),
  first: first.label,
  firstOhms: String(first.ohms),
  second: second.label,
  secondOhms: String(second.ohms),
})

/** The kit typed in, or the sentence that says what is wrong with it. */
const kitOf = (before: BenchKit, typed: Typed): BenchKit | string => {
  const [least, most, volts, plusMinus, ohms] = [typed.least, typed.most, typed.volts, typed.plusMinus, typed.ohms].map(figureOf)
  if (least == null || most == null || !(least > 0 && least < most))
    return 'Known diode: the least volts must be above 0 and below the most.'
  if (volts == null || plusMinus == null || !(volts > 0 && volts <= 60 && plusMinus > 0))
    return 'Known source: its volts must be above 0 and at most 60, and ± above 0.'
  const [firstOhms, secondOhms] = [typed.firstOhms, typed.secondOhms].map(figureOf)
  if (firstOhms == null || secondOhms == null || !(firstOhms > 0 && secondOhms >= 2 * firstOhms))
    return 'Resistors for the source: both need ohms above 0, the second at least twice the first.'
  const resistor = typed.resistor.trim()
  if (resistor !== '' && (ohms == null || !(ohms > 0))) return 'Known resistor: its ohms must be above 0, or leave its label empty.'
  return {
    ...before,
    sourceResistors: {
      first: { label: typed.first.trim() || 'first resistor', ohms: firstOhms },
      second: { label: typed.second.trim() || 'second resistor', ohms: secondOhms },
    },
    knownDiode: { label: typed.diode.trim() || 'known diode', leastVolts: least, mostVolts: most },
    knownSource: { label: typed.source.trim() || 'known source', volts, plusMinusVolts: plusMinus },
    knownResistor: resistor === '' || ohms == null ? null : { label: resistor, ohms },
  }
}

export const KitForm = ({ kit }: { kit: BenchKit }): JSX.Element => {
  const { call } = useSession()
  const [typed, setTyped] = useState(typedOf(kit))
  const save = useSave()
  const take = (part: Partial<Typed>): void => {
    save.touched()
    setTyped({ ...typed, ...part })
  }
  const label = (words: string, value: string, change: (value: string) => void): JSX.Element => (
    <label className="field small">
      <span>{words}</span>
      <input value={value} maxLength={80} onChange={(event) => change(event.target.value)} />
    </label>
  )
  const submit = (): void => {
    const read = kitOf(kit, typed)
    if (typeof read === 'string') save.refuse(read)
    else save.run(() => call('save-kit', read))
  }
  return (
    <section className="card" aria-labelledby="kit-title">
      <h2 id="kit-title">Bench kit</h2>
      <form
        className="form wide"
        onSubmit={(event) => {
          event.preventDefault()
          submit()
        }}
      >
        <div className="row">
          {label('Known diode', typed.diode, (diode) => take({ diode }))}
          <FigureField words="reads at least" unit="V" value={typed.least} change={(least) => take({ least })} />
          <FigureField words="at most" unit="V" value={typed.most} change={(most) => take({ most })} />
        </div>
        <div className="row">
          {label('Known source', typed.source, (source) => take({ source }))}
          <FigureField words="reads" unit="V" value={typed.volts} change={(volts) => take({ volts })} />
          <FigureField words="plus or minus" unit="V" value={typed.plusMinus} change={(plusMinus) => take({ plusMinus })} />
        </div>
        <div className="row">
          {label('Known resistor, if any', typed.resistor, (resistor) => take({ resistor }))}
          <FigureField words="reads" unit="Ω" value={typed.ohms} change={(ohms) => take({ ohms })} />
        </div>
        <div className="row">
          {label('To fit a source: first resistor', typed.first, (first) => take({ first }))}
          <FigureField words="of" unit="Ω" value={typed.firstOhms} change={(firstOhms) => take({ firstOhms })} />
        </div>
        <div className="row">
          {label('To fit a source: second resistor', typed.second, (second) => take({ second }))}
          <FigureField words="of" unit="Ω" value={typed.secondOhms} change={(secondOhms) => take({ secondOhms })} />
        </div>
        <SaveLine save={save} words="Keep the kit" />
      </form>
    </section>
  )
}
