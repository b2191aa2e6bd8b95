/** Every test point on its picture, a small ring with its id, so that its place can be checked against the board. */
import type { JSX } from 'react'
import { labelPlaces } from './label-places'
import type { Size, Spot } from './picture-view'

export type Point = Spot & { id: string }

const ring = 6
/** Widest usual character of the id's type, pixels. */
const character = 8.5
const lineHeight = 16

/** `points` in pixels of the panel. */
export const PointMarks = ({ points, panel }: { points: Point[]; panel: Size }): JSX.Element => {
  const boxes = labelPlaces(
    points.map(({ x, y, id }) => ({ at: [{ x, y }], away: ring + 3, size: { width: id.length * character, height: lineHeight } })),
    points.map(({ x, y }) => ({ x: x - ring - 2, y: y - ring - 2, width: 2 * ring + 4, height: 2 * ring + 4 })),
    panel,
  )
  return (
    <g data-testid="test-points">
      {points.map(({ x, y, id }, at) => {
        const box = boxes[at]
        return (
          <g key={id} data-point={id}>
            <circle className="point-halo" cx={x} cy={y} r={ring} />
            <circle className="point-ring" cx={x} cy={y} r={ring} />
            <circle className="point-dot" cx={x} cy={y} r="1.5" />
            {box !== undefined && (
              <text className="point-id" x={box.x + box.width / 2} y={box.y + 12} textAnchor="middle">
                {id}
              </text>
            )}
          </g>
        )
      })}
    </g>
  )
}
