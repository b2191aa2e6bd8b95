/** Each part on its picture, shaded by its report: what is faulty or masked large and named, the rest small, so that the tips stay first. */
import { useId, type JSX } from 'react'
import type { DiagnosisView, PartReportView } from '../../src-core/run/diagnosis-view'
import { ReportHatches, ReportMark } from '../diagnosis/report-swatch'
import type { Spot } from './picture-view'
import type { Box } from './tag-places'

export type Shade = { ref: string; report: PartReportView['report']; spot: Spot; /** Something else on the picture names it. */ named: boolean }

const large = 15
const small = 9
const stands = (report: Shade['report']): boolean => report === 'faulty' || report === 'masked'

/** Room that a shade takes with its name. Pixels. */
export const shadeBox = ({ report, spot: { x, y } }: Pick<Shade, 'report' | 'spot'>): Box => {
  const radius = stands(report) ? large : small
  return { x: x - radius, y: y - radius, width: 2 * radius, height: 2 * radius + (stands(report) ? 18 : 0) }
}

/** Picture units. */
export const shadesOf = (parts: readonly PartReportView[], named: readonly string[] = []): Shade[] =>
  parts.flatMap(({ ref, report, spot }) => (spot === null ? [] : [{ ref, report, spot, named: named.includes(ref) }]))

/** During a run: nothing is shaded before the first reading. */
export const shadesOnBench = (diagnosis: DiagnosisView | null): Shade[] => (diagnosis === null || diagnosis.readings === 0 ? [] : shadesOf(diagnosis.parts))

/** `shades` in pixels of the panel; the quiet ones are drawn first. */
export const PartShades = ({ shades }: { shades: Shade[] }): JSX.Element => {
  const id = useId()
  return (
    <g data-testid="part-shades">
      <ReportHatches id={id} />
      {[...shades].sort((a, b) => Number(stands(a.report)) - Number(stands(b.report))).map(({ ref, report, spot, named }) => (
        <g key={ref} transform={`translate(${spot.x} ${spot.y})`} data-part={ref}>
          <ReportMark id={id} report={report} radius={stands(report) ? large : small} />
          {stands(report) && !named && <text className="shade-ref" y={large + 15} textAnchor="middle">{ref}</text>}
        </g>
      ))}
    </g>
  )
}
