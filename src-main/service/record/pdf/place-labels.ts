/** Finds a place for the label of each mark so that no two overlap and none hides a mark; pure geometry. */

export type Spot = { x: number; y: number }
export type Label = { x: number; y: number; width: number; height: number; /** Where a line from the mark ends; null where it stands beside it. */ line: Spot | null }

export type Rect = { x: number; y: number; width: number; height: number }

const overlaps = (a: Rect, b: Rect): boolean => a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height
const inside = (a: Rect, around: Rect): boolean => a.x >= around.x && a.y >= around.y && a.x + a.width <= around.x + around.width && a.y + a.height <= around.y + around.height

/** Right, left, above, below first; then between. */
const directions = [[1, 0], [-1, 0], [0, -1], [0, 1], [0.75, -0.75], [-0.75, -0.75], [0.75, 0.75], [-0.75, 0.75], [0.45, -0.9], [-0.45, -0.9], [0.45, 0.9], [-0.45, 0.9]] as const
const distances = [0, 9, 18, 30, 44, 60, 80, 105, 135]
/** Nearer than this no line is needed. */
const beside = 4

/** @param sizes of the labels, one a mark. @param radius of a mark. @param words of the picture, which are covered only where there is no other way. Null where there is no room left. */
export const placeLabels = (marks: readonly Spot[], sizes: readonly { width: number; height: number }[], radius: number, around: Rect, words: readonly Rect[] = []): (Label | null)[] => {
  const taken: Rect[] = marks.map(({ x, y }) => ({ x: x - radius, y: y - radius, width: 2 * radius, height: 2 * radius }))
  return marks.map(({ x, y }, index) => {
    const { width, height } = sizes[index] ?? { width: 0, height: 0 }
    const free = (far: number, also: readonly Rect[]): Label | null => {
      for (const [right, down] of directions) {
        const [cx, cy] = [x + right * (radius + 1.5 + far) + (right * width) / 2, y + down * (radius + 1.5 + far) + (down * height) / 2]
        const rect: Rect = { x: cx - width / 2, y: cy - height / 2, width, height }
        if (inside(rect, around) && ![...taken, ...also].some((other) => overlaps(rect, other))) return { ...rect, line: far < beside ? null : { x: cx, y: cy } }
      }
      return null
    }
    const near = distances.slice(0, 4).reduce<Label | null>((found, far) => found ?? free(far, words), null)
    const place = near ?? distances.reduce<Label | null>((found, far) => found ?? free(far, []), null)
    if (place !== null) taken.push(place)
    return place
  })
}
