/** Where the window is put: always where a hand can take hold of it. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { placeWindow, smallest } from '../../src-main/desktop/window-place'

const main = { x: 0, y: 0, width: 1920, height: 1040 }
const left = { x: -1280, y: 100, width: 1280, height: 984 }
const kept = { x: 200, y: 100, width: 1300, height: 850, maximized: false, fullScreen: false }

describe('the window’s place', () => {
  it('is the kept one on the main display or another', () => {
    expect(placeWindow(kept, [main])).toEqual(kept)
    expect(placeWindow({ ...kept, x: -1200, y: 150, width: 1000 }, [main, left])).toMatchObject({ x: -1200, y: 150, width: 1000 })
  })

  it('is the middle of the main display when its own is gone, or its top edge cannot be reached', () => {
    const unplaced = { width: 1300, height: 850, maximized: false, fullScreen: false }
    expect(placeWindow({ ...kept, x: -1200 }, [main])).toEqual(unplaced)
    expect(placeWindow({ ...kept, y: -300 }, [main])).toEqual(unplaced)
    expect(placeWindow({ ...kept, y: 1039 }, [main])).toEqual(unplaced)
    expect(placeWindow({ ...kept, x: 1915 }, [main])).toEqual(unplaced)
  })

  it('is no larger than its display, and stays maximized', () => {
    expect(placeWindow({ ...kept, x: 0, y: 0, width: 3840, height: 2100, maximized: true }, [main]))
      .toMatchObject({ width: 1920, height: 1040, maximized: true })
  })

  it('can be taken hold of wherever the displays are, whatever was kept', () => {
    const whole = (from: number, to: number) => fc.integer({ min: from, max: to })
    const area = fc.record({ x: whole(-6000, 6000), y: whole(-3000, 3000), width: whole(640, 5120), height: whole(480, 2880) })
    const looks = { maximized: fc.boolean(), fullScreen: fc.boolean() }
    const place = fc.record({ x: whole(-9000, 9000), y: whole(-9000, 9000), width: whole(1, 9000), height: whole(1, 9000), ...looks })
    fc.assert(fc.property(fc.option(place), fc.array(area, { minLength: 1, maxLength: 3 }), (was, displays) => {
      const put = placeWindow(was, displays)
      expect(put.width).toBeGreaterThanOrEqual(smallest.width)
      expect(put.height).toBeGreaterThanOrEqual(smallest.height)
      if (put.x === undefined || put.y === undefined) return
      const { x, y, width } = put
      const heldOn = displays.filter((one) =>
        x + width - one.x >= 120 && one.x + one.width - x >= 120 && y >= one.y && y + 40 <= one.y + one.height)
      expect(heldOn).not.toEqual([])
    }))
  })
})
