/** The points of a calibration certificate: what was applied, what the meter showed, and the laboratory's uncertainty. */
import type { JSX } from 'react'
import { functionWords } from '../app/words'
import { meterFunction, unitOf, type MeterFunction } from '../../src-core/meter/reading'
import type { CalibratedPoint } from '../../src-core/meter/register'
import { inFullWords } from '../../src-core/quantity/engineering'
import type { TypedReader } from '../../src-core/quantity/typed-figure'
import { RowTable } from './row-table'
import { ChoiceCell, FigureCell } from './table-cells'

export type PointTyped = { function: MeterFunction; range: string; applied: string; shown: string; U: string; k: string }

export const pointsTyped = (points: readonly CalibratedPoint[]): PointTyped[] => points.map((each) => {
  const figure = (value: number): string => inFullWords(value, unitOf[each.function])
  return {
    function: each.function, range: each.range === null ? '' : figure(each.range), applied: figure(each.applied), shown: figure(each.shown),
    U: figure(each.U), k: String(each.k),
  }
})

export const pointsOf = (rows: readonly PointTyped[], reader: TypedReader): CalibratedPoint[] => rows.map((row, at) => {
  const unit = unitOf[row.function]
  const name = `Point ${at + 1}`
  return {
    function: row.function, range: reader.siOrNull(row.range, unit, `${name}, full scale`, 'above 0'),
    applied: reader.si(row.applied, unit, `${name}, applied`, 'any'), shown: reader.si(row.shown, unit, `${name}, shown`, 'any'),
    U: reader.si(row.U, unit, `${name}, U`, 'above 0'), k: reader.plain(row.k, `${name}, k`, 1, 5),
  }
})

type Props = { rows: readonly PointTyped[]; change: (rows: PointTyped[]) => void }

export const PointsTable = ({ rows, change }: Props): JSX.Element => (
  <RowTable
    caption="As the certificate lists them: the value applied, what the meter showed, and the laboratory’s U with its k."
    columns={['Function', 'Full scale', 'Applied', 'Shown', 'U', 'k']} rows={rows} change={change} most={500}
    blank={{ function: 'resistance', range: '', applied: '', shown: '', U: '', k: '2' }} addWords="Add a point" lineName="point"
    cells={(row, set, line) => [
      <ChoiceCell key="f" label={`${line}, function`} value={row.function} of={meterFunction.options} words={functionWords} change={(fn) => set({ function: fn })} />,
      <FigureCell key="r" label={`${line}, full scale`} value={row.range} placeholder="any" change={(range) => set({ range })} />,
      <FigureCell key="a" label={`${line}, applied`} value={row.applied} size={10} change={(applied) => set({ applied })} />,
      <FigureCell key="s" label={`${line}, shown`} value={row.shown} size={10} change={(shown) => set({ shown })} />,
      <FigureCell key="u" label={`${line}, U`} value={row.U} change={(U) => set({ U })} />,
      <FigureCell key="k" label={`${line}, k`} value={row.k} size={3} change={(k) => set({ k })} />,
    ]}
  />
)
