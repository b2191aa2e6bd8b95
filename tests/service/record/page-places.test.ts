/** Lines and labels find their places on a page: nothing too wide, nothing lost, nothing over another. */
import fc from 'fast-check'
import { expect, it } from 'vitest'
import { placeLabels } from '../../../src-main/service/record/pdf/place-labels'
import { wrapped } from '../../../src-main/service/record/pdf/wrap'

/** Every letter as wide as the next. */
const width = (text: string): number => [...text].length

it('no line is wider than its column, and no letter is lost', () => {
  fc.assert(fc.property(fc.string({ unit: fc.constantFrom('a', 'b', 'Ω', ' ', '\n', '-', '5', 'V', '±', 'ü'), maxLength: 200 }), fc.integer({ min: 1, max: 40 }), (text, most) => {
    const lines = wrapped(text, most, width)
    for (const line of lines) expect(width(line)).toBeLessThanOrEqual(most)
    expect(lines.join('').replace(/\s/g, '')).toBe(text.replace(/\s/g, ''))
  }))
})

it('a figure is never parted from its unit, nor ± from what follows, where the column has room', () => {
  expect(wrapped('between 209 Ω and 231 kΩ', 12, width)).toEqual(['between', '209 Ω and', '231 kΩ'])
  expect(wrapped('is (221.4 ± 1.3) Ω', 10, width)).toEqual(['is (221.4', '± 1.3) Ω'])
  expect(wrapped('22.5 °C, 41 % here', 8, width)).toEqual(['22.5 °C,', '41 %', 'here'])
})

it('a line break that was typed stays one', () => { expect(wrapped('one\r\ntwo\n\nthree', 20, width)).toEqual(['one', 'two', '', 'three']) })

it('no label lies over another, over a mark, or beyond the picture', () => {
  const around = { x: 0, y: 0, width: 500, height: 330 }
  const spot = fc.record({ x: fc.integer({ min: 5, max: 495 }), y: fc.integer({ min: 5, max: 325 }) })
  fc.assert(fc.property(fc.array(spot, { minLength: 1, maxLength: 80 }), (spots) => {
    const labels = placeLabels(spots, spots.map(() => ({ width: 20, height: 9 })), 4, around).filter((each) => each !== null)
    for (const [index, one] of labels.entries()) {
      expect(one.x >= 0 && one.y >= 0 && one.x + one.width <= 500 && one.y + one.height <= 330).toBe(true)
      for (const other of labels.slice(index + 1)) expect(one.x + one.width <= other.x || other.x + other.width <= one.x || one.y + one.height <= other.y || other.y + other.height <= one.y).toBe(true)
      for (const { x, y } of spots) expect(one.x + one.width <= x - 4 || x + 4 <= one.x || one.y + one.height <= y - 4 || y + 4 <= one.y).toBe(true)
    }
    // A picture with few points names all of them.
    if (spots.length <= 10) expect(labels.length).toBe(spots.length)
  }), { numRuns: 60 })
})
