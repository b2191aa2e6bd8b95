/** Figures as a file gives them. */
import { describe, expect, it } from 'vitest'
import { toMilliseconds, withoutDust } from '../../../src-core/quantity/plain-figures'

describe('figures in a file', () => {
  it('carry no dust of binary fractions, and every digit a meter shows', () => {
    expect(withoutDust(0.1 + 0.2)).toBe(0.3)
    expect(withoutDust(0.21000000000000002)).toBe(0.21)
    expect(withoutDust(-4.700123e-9)).toBe(-4.700123e-9)
    expect(withoutDust(221.4)).toBe(221.4)
    expect(withoutDust(0)).toBe(0)
  })
  it('are seconds to the millisecond', () => {
    expect(toMilliseconds(2.674523906999866)).toBe(2.675)
    expect(toMilliseconds(0)).toBe(0)
  })
})
