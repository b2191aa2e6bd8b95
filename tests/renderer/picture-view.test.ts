/** The picture: whole while it is readable, closer in where it is large, and its marks stay in sight. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { insetPlace } from '../../src-renderer/picture/inset-place'
import { inPanel, pictureView, shownPart } from '../../src-renderer/picture/picture-view'
import { overlap, tagPlaces } from '../../src-renderer/picture/tag-places'

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

describe('the whole board in small', () => {
  const board = { width: 720, height: 520 }
  const side = fc.integer({ min: 80, max: 1400 })
  const spotIn = ({ width, height }: { width: number; height: number }) => fc.record({ x: fc.integer({ min: 0, max: width }), y: fc.integer({ min: 0, max: height }) })
  const cornersOf = ({ width, height }: { width: number; height: number }) => [[0, 0], [width, 0], [0, height], [width, height]].map(([x = 0, y = 0]) => ({ x, y }))

  it('lies in the corner across from leads at the lower right, and takes another where something is marked there', () => {
    const leads = [{ x: 560, y: 420 }, { x: 600, y: 450 }]
    const first = insetPlace(board, panel, leads, [])
    expect([first?.x, first?.y]).toEqual([12, 12])
    const second = insetPlace(board, panel, leads, [{ x: 60, y: 60, width: 20, height: 20 }])
    expect(second === null || (second.x === 12 && second.y === 12)).toBe(false)
  })

  it('is left out of a small picture, and where every corner is taken', () => {
    expect(insetPlace(board, { width: 300, height: 240 }, [{ x: 10, y: 10 }], [])).toBe(null)
    expect(insetPlace(board, panel, [{ x: 330, y: 255 }], cornersOf(panel).map(({ x, y }) => ({ x: x - 60, y: y - 60, width: 120, height: 120 })))).toBe(null)
  })

  it('covers nothing that is kept, stays in the panel, and takes no more than a quarter of it each way', () => {
    fc.assert(fc.property(fc.record({ width: side, height: side }), fc.array(spotIn(panel), { minLength: 1, maxLength: 2 }), fc.array(spotIn(panel), { maxLength: 20 }), (picture, leads, marked) => {
      const kept = [...leads, ...marked].map(({ x, y }) => ({ x: x - 14, y: y - 14, width: 28, height: 28 }))
      const box = insetPlace(picture, panel, leads, kept)
      if (box === null) return
      expect(kept.filter((one) => overlap(one, box) > 0)).toEqual([])
      expect(Math.min(box.x, box.y, panel.width - box.x - box.width, panel.height - box.y - box.height)).toBeGreaterThanOrEqual(0)
      expect(box.width <= panel.width / 4 + 1e-9 && box.height <= panel.height / 4 + 1e-9).toBe(true)
    }))
  })

  it('frames no more than there is of the board, also where it does not fill the panel', () => {
    fc.assert(fc.property(fc.record({ width: fc.integer({ min: 200, max: 6000 }), height: fc.integer({ min: 200, max: 6000 }) }), fc.double({ min: 0, max: 1, noNaN: true }), fc.double({ min: 0, max: 1, noNaN: true }), (picture, across, down) => {
      const spot = { x: across * picture.width, y: down * picture.height }
      const part = shownPart(picture, panel, pictureView(picture, panel, [spot]))
      expect(Math.min(part.x, part.y)).toBeGreaterThanOrEqual(0)
      expect(part.x + part.width).toBeLessThanOrEqual(picture.width + 1e-6)
      expect(part.y + part.height).toBeLessThanOrEqual(picture.height + 1e-6)
      expect(spot.x >= part.x - 1e-6 && spot.x <= part.x + part.width + 1e-6 && spot.y >= part.y - 1e-6 && spot.y <= part.y + part.height + 1e-6).toBe(true)
    }))
  })
})
