/** Where the leads were placed in the sequence: each test point once, with the leads that came to it. */
import type { RecordStep } from './step-schema'

export type PointUsed = { point: string; words: string; picture: string; x: number; y: number; red: boolean; black: boolean }

/** In the order the leads first came to them. */
export const pointsUsed = (steps: readonly RecordStep[]): PointUsed[] => {
  const used = new Map<string, PointUsed>()
  for (const { placement, part } of steps) {
    if (part !== 'sequence' || placement === null || 'fixture' in placement) continue
    for (const lead of ['red', 'black'] as const) {
      const at = placement[lead]
      const before = used.get(at.point) ?? { ...at, red: false, black: false }
      used.set(at.point, { ...before, [lead]: true })
    }
  }
  return [...used.values()]
}
