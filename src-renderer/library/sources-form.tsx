/** Edits what a meter puts on its leads, by function and range: its source. */
import type { JSX } from 'react'
import { useSession } from '../app/session'
import { functionWords } from '../app/words'
import type { Meter } from '../../src-core/meter/instrument'
import { unitOf } from '../../src-core/meter/reading'
import type { MeterSource } from '../../src-core/meter/register'
import { inFullWords } from '../../src-core/quantity/engineering'
import { typedReader, type TypedReader } from '../../src-core/quantity/typed-figure'
import { PartForm } from './part-form'
import { RowTable } from './row-table'
import { ChoiceCell, FigureCell } from './table-cells'
import { useDraft } from './use-draft'
import { useSave } from './use-save'

type Lead = MeterSource['plus']
type SourceTyped = { function: MeterSource['function']; range: string; volts: string; ohms: string; amperes: string; plus: Lead; basis: MeterSource['basis'] }

const functions: readonly MeterSource['function'][] = ['resistance', 'continuity', 'diode', 'capacitance', 'dc-voltage']
const leads: readonly Lead[] = ['red', 'black']
const leadWords: Record<Lead, string> = { red: 'red', black: 'black' }
const basisWords: Record<MeterSource['basis'], string> = { entered: 'entered', fitted: 'measured' }

const typedOf = (sources: readonly MeterSource[]): SourceTyped[] => sources.map((each) => ({
  ...each, range: each.range === null ? '' : inFullWords(each.range, unitOf[each.function]), volts: inFullWords(each.volts, 'V'),
  ohms: inFullWords(each.ohms, 'Ω'), amperes: each.amperes === null ? '' : inFullWords(each.amperes, 'A'),
}))

const sourcesOf = (rows: readonly SourceTyped[], reader: TypedReader): MeterSource[] => rows.map((row, at) => {
  const name = `Source ${at + 1}`
  const volts = reader.si(row.volts, 'V', `${name}, open-circuit voltage`, 'at least 0')
  return {
    function: row.function, range: reader.siOrNull(row.range, unitOf[row.function], `${name}, full scale`, 'above 0'),
    volts: volts > 60 ? reader.plain(String(volts), `${name}, open-circuit voltage`, 0, 60) : volts,
    ohms: reader.si(row.ohms, 'Ω', `${name}, source resistance`, 'above 0'),
    amperes: reader.siOrNull(row.amperes, 'A', `${name}, current limit`, 'above 0'), plus: row.plus, basis: row.basis,
  }
})

export const SourcesForm = ({ meter }: { meter: Meter }): JSX.Element => {
  const { call } = useSession()
  const [typed, setTyped] = useDraft(meter.register.sources, typedOf)
  const save = useSave()
  const submit = (): void => {
    const reader = typedReader()
    const sources = sourcesOf(typed, reader)
    const problem = reader.problem()
    if (problem !== null) save.refuse(problem)
    else save.run(() => call('save-meter', { ...meter, register: { ...meter.register, sources } }))
  }
  return (
    <PartForm id="sources-part" title="Source at the leads" save={save} words="Keep its sources" submit={submit}>
      <RowTable
        caption="What it puts on its leads while it measures. A function or a range that is not listed is not known."
        columns={['Function', 'Full scale', 'Open circuit', 'Source resistance', 'Current limit', 'Plus at', 'Basis']} rows={typed} most={60}
        change={(rows) => { save.touched(); setTyped(rows) }}
        blank={{ function: 'resistance', range: '', volts: '', ohms: '', amperes: '', plus: 'red', basis: 'entered' } satisfies SourceTyped}
        addWords="Add a source" lineName="source"
        cells={(row, change, line) => {
          // What is typed over is no longer what was measured.
          const set = (part: Partial<SourceTyped>): void => change({ ...part, basis: 'entered' })
          return [
            <ChoiceCell key="f" label={`${line}, function`} value={row.function} of={functions} words={functionWords} change={(fn) => set({ function: fn })} />,
            <FigureCell key="r" size={6} label={`${line}, full scale`} value={row.range} placeholder="any" change={(range) => set({ range })} />,
            <FigureCell key="v" size={6} label={`${line}, open-circuit voltage`} value={row.volts} placeholder="3.2 V" change={(volts) => set({ volts })} />,
            <FigureCell key="o" size={6} label={`${line}, source resistance`} value={row.ohms} placeholder="1.5 kΩ" change={(ohms) => set({ ohms })} />,
            <FigureCell key="a" size={6} label={`${line}, current limit`} value={row.amperes} placeholder="none" change={(amperes) => set({ amperes })} />,
            <ChoiceCell key="p" label={`${line}, plus at the lead`} value={row.plus} of={leads} words={leadWords} change={(plus) => set({ plus })} />,
            <span key="b" className="aside">{basisWords[row.basis]}</span>,
          ]
        }}
      />
    </PartForm>
  )
}
