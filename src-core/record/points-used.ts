/** Where the leads were placed in the sequence: each test point once, with the leads that came to it. */
import type { RecordStep } from './step-schema'
import type { RecordPoint } from './walk-schema'

export type PointUsed = { point: string; words: string; picture: string; x: number; y: number; red: boolean; black: boolean }

type OnBoard = Exclude<NonNullable<RecordStep['placement']>, { fixture: unknown }>
type Point = Extract<OnBoard, { red: unknown }>['red']

/** A point of a walk has a mark where the board file tells its place. */
const leadsOf = (placement: OnBoard): ['red' | 'black', Point][] => {
  if ('clipped' in placement) return [['black', placement.clipped]]
  if ('red' in placement) return [['red', placement.red], ['black', placement.black]]
  const { walked, words, spot, black } = placement
  return [...(spot === null ? [] : [['red', { point: `${walked}`, words: words ?? '', ...spot }] satisfies ['red', Point]]), ['black', black]]
}

/** Where red was at the points of a walk that was learned. */
const learnedAt = (points: readonly RecordPoint[]): ['red', Point][] =>
  points.flatMap(({ red, point, place }) => (place === null ? [] : [['red', { point: red ?? `${point}`, words: red ?? '', ...place }] satisfies ['red', Point]]))

/** In the order the leads first came to them. */
export const pointsUsed = (steps: readonly RecordStep[]): PointUsed[] => {
  const used = new Map<string, PointUsed>()
  for (const { placement, part, points = [], earlierPoints = [] } of steps) {
    if (part !== 'sequence' || placement === null || 'fixture' in placement) continue
    for (const [lead, at] of [...leadsOf(placement), ...learnedAt([...points, ...earlierPoints])]) {
      const before = used.get(at.point) ?? { ...at, red: false, black: false }
      used.set(at.point, { ...before, [lead]: true })
    }
  }
  return [...used.values()]
}
