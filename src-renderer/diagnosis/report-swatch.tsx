/** How each report of a part is drawn: its own hatch, its own sign and outline, then a colour. On pictures and beside words alike. */
import type { JSX } from 'react'
import type { PartReportView } from '../../src-core/run/diagnosis-view'

export type Report = PartReportView['report']

export const reportWords: Record<Report, string> = { faulty: 'faulty', masked: 'masked', unprobed: 'unprobed', good: 'good' }

const signs: Record<Report, JSX.Element | null> = {
  faulty: <path d="M-5 -5L5 5M5 -5L-5 5" />,
  masked: <path d="M-4.5 -1a4.5 4.5 0 1 1 6 4.2M1.2 3.4v1.4M1.2 7.6v.2" transform="translate(-.8 -2)" />,
  unprobed: null,
  good: <path d="M-5 .5L-1.5 4L5.5 -4.5" />,
}

/** Once in each drawing that holds marks; `id` keeps those of two drawings apart. */
export const ReportHatches = ({ id }: { id: string }): JSX.Element => (
  <defs>
    <pattern id={`${id}-faulty`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <path className="hatch hatch-faulty" d="M0 0H7M0 0V7" />
    </pattern>
    <pattern id={`${id}-masked`} width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <path className="hatch hatch-masked" d="M0 0V6" />
    </pattern>
    <pattern id={`${id}-good`} width="6" height="6" patternUnits="userSpaceOnUse">
      <path className="hatch hatch-good" d="M0 3H6" />
    </pattern>
  </defs>
)

/** Around (0, 0). */
export const ReportMark = ({ id, report, radius }: { id: string; report: Report; radius: number }): JSX.Element => (
  <g className={`report-mark report-${report}`} data-report={report}>
    <circle className="report-ground" r={radius} />
    {report !== 'unprobed' && <circle r={radius} fill={`url(#${id}-${report})`} />}
    <circle className="report-outline" r={radius} />
    <g className="report-halo" transform={`scale(${radius / 14})`}>{signs[report]}</g>
    <g className="report-sign" transform={`scale(${radius / 14})`}>{signs[report]}</g>
  </g>
)

export const ReportSwatch = ({ id, report }: { id: string; report: Report }): JSX.Element => (
  <svg className="report-swatch" viewBox="-15 -15 30 30" aria-hidden="true" focusable="false">
    <ReportHatches id={id} />
    <ReportMark id={id} report={report} radius={13} />
  </svg>
)
