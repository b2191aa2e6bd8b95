/** Where each part is shaded on the picture. Places of the sample board's parts are read off its picture by eye. */
import { describe, expect, it } from 'vitest'
import { partSpots } from '../../../src-core/board/part-spots'
import { mistValve } from '../../bench-tools/small-board'
import { lampDimmer } from '../../bench-tools/walked-board'
import { sampleBoard } from '../circuit/sample'
import { smallBoard } from '../run/a-run'

describe('the places of parts on a picture', () => {
  const board = sampleBoard()
  const spots = new Map(partSpots(board).map((spot) => [spot.ref, spot]))

  it('are between the test points of their nets, and on the points named after them', () => {
    const from = (ref: string, x: number, y: number): number => { const spot = spots.get(ref); return spot === undefined ? Infinity : Math.hypot(spot.x - x, spot.y - y) }
    const seen = { R4: [206, 88], T1: [384, 166], C8: [430, 398], D4: [295, 50], D5: [295, 275], U2: [566, 160] }
    for (const [ref, [x = 0, y = 0]] of Object.entries(seen)) expect(from(ref, x, y), ref).toBeLessThan(75)
  })

  it('lie by the point named after the part where its other net has only a point far off', () => {
    const lamp = new Map(partSpots(lampDimmer()).map((spot) => [spot.ref, spot]))
    // Read off that picture by eye: each of these resistors hangs below its test point, and ground is at the left edge.
    const below = { R1: [340, 240], R2: [440, 170] }
    // Nothing but R1 lies between these two points, however far apart they are.
    expect(partSpots(mistValve).find(({ ref }) => ref === 'R1')?.x).toBeLessThan(220)
    for (const [ref, [x = 0, y = 0]] of Object.entries(below)) expect(Math.hypot((lamp.get(ref)?.x ?? 0) - x, (lamp.get(ref)?.y ?? 0) - y), ref).toBeLessThan(60)
  })

  it('never cover one another and lie on the picture', () => {
    const all = [...spots.values()]
    for (const [at, one] of all.entries()) for (const other of all.slice(at + 1)) expect(Math.hypot(one.x - other.x, one.y - other.y), `${one.ref} ${other.ref}`).toBeGreaterThan(30)
    expect(all.every(({ x, y }) => x > 0 && y > 0 && x < 720 && y < 520)).toBe(true)
  })

  it('are not made up: a connector, and a board without a picture, have none', () => {
    expect(spots.has('J1')).toBe(false)
    expect(partSpots(smallBoard())).toEqual([])
  })
})
