import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readFigure, powerOfTen, scaled } from '../../../src-core/meter/figure'
import { namedGroups, patternShape, type Shape } from '../../../src-core/meter/pattern-shape'
import { walkerOf } from '../../../src-core/meter/pattern-steps'

const shapeOf = (pattern: string): Shape => {
  const found = patternShape(pattern)
  if ('refused' in found) throw new Error(found.refused)
  return found.shape
}

describe('the shape of a pattern', () => {
  it('knows what stands in each named group', () => {
    expect([...namedGroups(shapeOf('^(?<function>[A-Z)]+|(?:x)) (?<value>-?\\d+(?:\\.\\d*)?\\)) (a)$'))]).toEqual([
      ['function', '[A-Z)]+|(?:x)'], ['value', '-?\\d+(?:\\.\\d*)?\\)'],
    ])
  })
  it('refuses what looks ahead or behind or refers back', () => {
    for (const pattern of ['(?=a)', '(?!a)', '(?<=a)', '(?<!a)', '(a)\\1', '(?<x>a)\\k<x>']) {
      expect(patternShape(pattern)).toHaveProperty('refused')
    }
  })

  const atoms = fc.constantFrom('a', 'b', '.', '\\d', '\\w', '\\s', '[ab]', '[^a]', '[0-9.]', '\\.',
    '\\x41', '\\-', '{', ']', '[\\]a]', '^', '$', '\\b', ' ')
  const marks = fc.constantFrom('', '', '?', '*', '+', '{2}', '{1,3}', '{2,}', '*?', '|')
  const { pattern } = fc.letrec<{ pattern: string; item: string }>((tie) => ({
    item: fc.oneof({ maxDepth: 3 }, atoms, fc.tuple(tie('pattern'), fc.constantFrom('(', '(?:')).map(([body, open]) => `${open}${body})`)),
    pattern: fc.array(fc.tuple(tie('item'), marks).map(([item, mark]) => (/^[\^$]$|^\\b$/.test(item) ? item : item + mark)),
      { minLength: 1, maxLength: 4 }).map((parts) => parts.join('')),
  }))
  const lines = fc.string({ maxLength: 8, unit: fc.constantFrom('a', 'b', 'A', '1', '.', ' ', '-', '{', ']') })

  it('matches what the engine matches, for any pattern within these means', () => {
    fc.assert(fc.property(pattern, fc.array(lines, { minLength: 1, maxLength: 5 }), (text, tried) => {
      const engine = new RegExp(`^(?:${text})$`)
      const walk = walkerOf(shapeOf(text))
      for (const line of tried) {
        const { steps, matches } = walk(line, 20000)
        if (steps <= 20000) expect(matches).toBe(engine.test(line))
      }
    }), { numRuns: 2000 })
  })

  it('gives up a walk at its limit, where the engine would go on for hours', () => {
    const { steps } = walkerOf(shapeOf('(a*)*b'))('a'.repeat(100), 1000)
    expect(steps).toBe(1001)
  })
})

describe('a figure', () => {
  const figures: [string, number, number][] = [
    ['220.4', 2204, -1], ['-0.612', -612, -3], ['+ 0.5', 5, -1], ['.47', 47, -2], ['12345.', 12345, 0],
    ['-1.2E-03', -12, -4], ['0000', 0, 0],
  ]
  it.each(figures)('%s', (text, count, power) => {
    expect(readFigure(text)).toEqual({ count, power })
  })
  const none = ['', '-', '.', '1.2.3', '1,2', '1e', '1e999', 'OL', '0x10', '1 2', '12345678901234567', 'NaN', 'Infinity', '--1']
  it.each(none)('is none: %j', (text) => {
    expect(readFigure(text)).toBeNull()
  })
  it('comes out as the number its digits spell, to the last bit', () => {
    fc.assert(fc.property(fc.integer({ min: -999999, max: 999999 }), fc.integer({ min: -20, max: 20 }), (count, power) => {
      expect(scaled(count, power)).toBe(count === 0 ? count : Number(`${count}e${power}`))
    }))
  })
  it('knows powers of ten from other factors', () => {
    expect([1e3, 1e-12, 1, 0.1, 1e9].map(powerOfTen)).toEqual([3, -12, 0, -1, 9])
    expect([1024, 2, 0.3].map(powerOfTen)).toEqual([null, null, null])
  })
})
