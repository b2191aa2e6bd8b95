/** Words beside places stay inside the panel and off each other. */
import { describe, expect, it } from 'vitest'
import { labelPlaces } from '../../src-renderer/picture/label-places'
import { overlap } from '../../src-renderer/picture/tag-places'

const panel = { width: 640, height: 460 }
const word = (x: number, y: number) => ({ at: [{ x, y }], away: 8, size: { width: 80, height: 24 } })

describe('words beside places', () => {
  it('stay inside the panel at each corner', () => {
    for (const box of labelPlaces([word(0, 0), word(640, 0), word(0, 460), word(640, 460)], [], panel)) {
      expect(box.x).toBeGreaterThanOrEqual(0)
      expect(box.y).toBeGreaterThanOrEqual(0)
      expect(box.x + box.width).toBeLessThanOrEqual(panel.width)
      expect(box.y + box.height).toBeLessThanOrEqual(panel.height)
    }
  })

  it('of close places do not cover each other, nor a mark that has room beside it', () => {
    const mark = { x: 280, y: 160, width: 40, height: 40 }
    const [first, second] = labelPlaces([word(300, 200), word(310, 204)], [mark], panel)
    if (first === undefined || second === undefined) throw new Error('a label was left out')
    expect(overlap(first, second)).toBe(0)
    expect(overlap(first, mark)).toBe(0)
    expect(overlap(second, mark)).toBe(0)
  })
})
