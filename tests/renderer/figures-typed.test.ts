/** Figures typed into the forms: a point or a comma, and nothing that is no figure. */
import { describe, expect, it } from 'vitest'
import { figureOf } from '../../src-renderer/library/figure-of'

describe('a typed figure', () => {
  it.each([['0.5', 0.5], ['0,5', 0.5], [' 12 ', 12], ['.5', 0.5], ['5.', 5], ['1e3', 1000], ['-2', -2]])('%j is %d', (text, value) => {
    expect(figureOf(text)).toBe(value)
  })

  it.each(['', ' ', '4k7', '1.2.3', '0x10', 'Infinity', 'NaN', '1 000'])('%j is none', (text) => {
    expect(figureOf(text)).toBeNull()
  })
})
