/** The accuracy table of a data sheet: one line for each range of each function. */
import type { JSX } from 'react'
import { functionWords } from '../app/words'
import { meterFunction, unitOf, type MeterFunction } from '../../src-core/meter/reading'
import type { RangeAccuracy } from '../../src-core/meter/register'
import { inFullWords } from '../../src-core/quantity/engineering'
import type { TypedReader } from '../../src-core/quantity/typed-figure'
import { RowTable } from './row-table'
import { ChoiceCell, FigureCell } from './table-cells'

export type RangeTyped = { function: MeterFunction; range: string; percent: string; counts: string }

export const rangesTyped = (ranges: readonly RangeAccuracy[]): RangeTyped[] => ranges.map((each) =>
  ({ function: each.function, range: inFullWords(each.range, unitOf[each.function]), percent: String(each.percent), counts: String(each.counts) }))

export const rangesOf = (rows: readonly RangeTyped[], reader: TypedReader): RangeAccuracy[] => rows.map((row, at) => {
  const name = `Range ${at + 1}`
  return {
    function: row.function, range: reader.si(row.range, unitOf[row.function], `${name}, full scale`, 'above 0'),
    percent: reader.plain(row.percent, `${name}, % of reading`, 0, 100), counts: reader.plain(row.counts, `${name}, counts`, 0, 1000),
  }
})

type Props = { rows: readonly RangeTyped[]; change: (rows: RangeTyped[]) => void }

export const RangeAccuracyTable = ({ rows, change }: Props): JSX.Element => (
  <RowTable
    caption="By range, where its data sheet states it so; a range that is not listed takes the line of its function."
    columns={['Function', 'Full scale', '% of reading', 'Counts']} rows={rows} change={change} most={200}
    blank={{ function: 'resistance', range: '', percent: '', counts: '' }} addWords="Add a range" lineName="range"
    cells={(row, set, line) => [
      <ChoiceCell key="f" label={`${line}, function`} value={row.function} of={meterFunction.options} words={functionWords} change={(fn) => set({ function: fn })} />,
      <FigureCell key="r" label={`${line}, full scale`} value={row.range} placeholder={`6 k${unitOf[row.function]}`} change={(range) => set({ range })} />,
      <FigureCell key="p" label={`${line}, percent of reading`} unit="%" value={row.percent} change={(percent) => set({ percent })} />,
      <FigureCell key="c" label={`${line}, counts`} unit="counts" value={row.counts} change={(counts) => set({ counts })} />,
    ]}
  />
)
