/** Draws a chart that core made, shape by shape; its looks are in styles/learnt.css. */
import type { JSX } from 'react'
import type { Chart, Shape } from '../../src-core/shop/chart/chart'

const Drawn = ({ shape }: { shape: Shape }): JSX.Element => {
  switch (shape.kind) {
    case 'line':
      return <path className={`chart-${shape.is}`} d={`M${shape.x} ${shape.y}L${shape.toX} ${shape.toY}`} />
    case 'box':
      return (
        <rect className={`chart-${shape.is}`} x={shape.x} y={shape.y} width={shape.width} height={shape.height}>
          {shape.title !== undefined && <title>{shape.title}</title>}
        </rect>
      )
    case 'dot':
      return (
        <circle className={`chart-${shape.is}`} cx={shape.x} cy={shape.y} r="3">
          {shape.title !== undefined && <title>{shape.title}</title>}
        </circle>
      )
    case 'cross':
      return (
        <path className={`chart-${shape.is}`} d={`M${shape.x - 5} ${shape.y - 5}l10 10M${shape.x + 5} ${shape.y - 5}l-10 10`}>
          {shape.title !== undefined && <title>{shape.title}</title>}
        </path>
      )
    case 'text':
      return (
        <text className={`chart-${shape.is}`} x={shape.x} y={shape.y} textAnchor={shape.anchor}>
          {shape.words}
        </text>
      )
  }
}

/** @param save keeps it as an SVG file. */
export const ChartPicture = ({ chart, testId, away, save }: { chart: Chart; testId: string; away: boolean; save: () => void }): JSX.Element => (
  <figure className="chart" data-testid={testId}>
    <svg viewBox={`0 0 ${chart.width} ${chart.height}`} role="img" aria-label={`${chart.title}. ${chart.says}`}>
      {chart.shapes.map((shape, index) => (
        <Drawn key={index} shape={shape} />
      ))}
    </svg>
    <button type="button" className="quiet-act" data-testid={`save-${testId}`} disabled={away} onClick={save}>
      save as SVG
    </button>
  </figure>
)
