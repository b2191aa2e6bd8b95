/** The picture: whole while it is readable, closer in where it is large, and its marks stay in sight. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { inPanel, pictureView } from '../../src-renderer/picture/picture-view'
import { tagPlaces } from '../../src-renderer/picture/tag-places'

const panel = { width: 660, height: 510 }

describe('the view of a board picture', () => {
  it('shows a small board whole and still, wherever the tips go', () => {
    const small = { width: 720, height: 520 }
    const still = pictureView(small, panel, [])
    expect(
      pictureView(small, panel, [
        { x: 10, y: 10 },
        { x: 700, y: 500 },
      ]),
    ).toEqual(still)
    expect(still.zoomed).toBe(false)
  })

  it('moves in on the placement when the board is large', () => {
    const large = { width: 4000, height: 3000 }
    const view = pictureView(large, panel, [
      { x: 3000, y: 2000 },
      { x: 3200, y: 2100 },
    ])
    expect(view.zoomed).toBe(true)
    expect(view.scale).toBeGreaterThan(2 * pictureView(large, panel, []).scale)
  })

  it('keeps both tips inside the panel, and no empty ground beside a picture larger than it', () => {
    fc.assert(
      fc.property(
        fc.record({ width: fc.integer({ min: 200, max: 6000 }), height: fc.integer({ min: 200, max: 6000 }) }),
        fc.tuple(
          fc.float({ min: 0, max: 1, noNaN: true }),
          fc.float({ min: 0, max: 1, noNaN: true }),
          fc.float({ min: 0, max: 1, noNaN: true }),
          fc.float({ min: 0, max: 1, noNaN: true }),
        ),
        (picture, [a, b, c, d]) => {
          const spots = [
            { x: a * picture.width, y: b * picture.height },
            { x: c * picture.width, y: d * picture.height },
          ]
          const view = pictureView(picture, panel, spots)
          for (const spot of spots) {
            const at = inPanel(view, spot)
            expect(at.x).toBeGreaterThanOrEqual(-1e-6)
            expect(at.x).toBeLessThanOrEqual(panel.width + 1e-6)
            expect(at.y).toBeGreaterThanOrEqual(-1e-6)
            expect(at.y).toBeLessThanOrEqual(panel.height + 1e-6)
          }
          if (picture.width * view.scale > panel.width + 1e-6) expect(view.left).toBeLessThanOrEqual(1e-9)
        },
      ),
    )
  })
})

describe('the words beside the marks', () => {
  const tag = { width: 100, height: 34 }
  const apart = (a: { x: number; y: number; width: number; height: number }, b: typeof a): boolean =>
    a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y

  it('never lie on each other, and stay in the panel', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 40, max: 620 }),
        fc.integer({ min: 40, max: 470 }),
        fc.integer({ min: 40, max: 620 }),
        fc.integer({ min: 40, max: 470 }),
        (x1, y1, x2, y2) => {
          const [red, black] = tagPlaces(
            [
              { x: x1, y: y1 },
              { x: x2, y: y2 },
            ],
            [{ width: 78, height: 34 }, tag],
            panel,
          )
          if (red === null || black === null) throw new Error('both leads have a spot, so both have a word')
          expect(apart(red, black)).toBe(true)
          for (const box of [red, black]) {
            expect(box.x).toBeGreaterThanOrEqual(0)
            expect(box.x + box.width).toBeLessThanOrEqual(panel.width)
            expect(box.y).toBeGreaterThanOrEqual(0)
            expect(box.y + box.height).toBeLessThanOrEqual(panel.height)
          }
        },
      ),
    )
  })
})
