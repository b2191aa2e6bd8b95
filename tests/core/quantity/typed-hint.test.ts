/** What stands below a value while it is typed. */
import { describe, expect, it } from 'vitest'
import { typedHint } from '../../../src-core/quantity/typed-hint'

describe('the hint below a typed value', () => {
  it('says how the figure is read', () => {
    expect(typedHint('0.581', 'V', false)).toEqual({ kind: 'reads', words: '= 0.581 V' })
    expect(typedHint('4.70 k', 'Ω', false)).toEqual({ kind: 'reads', words: '= 4.70 kΩ' })
  })

  it('warns before Enter of what cannot be read', () => {
    for (const text of ['0,58', '12x', '1.2.3', '5 V']) expect(typedHint(text, 'Ω', false).kind, text).toBe('problem')
    expect(typedHint('0,58', 'V', false).words).toContain('write the decimal with a point')
    expect(typedHint('23.5', 'K', false).words).toContain('write °C or K behind the figure')
  })

  it('finds no fault with what has just begun', () => {
    for (const text of ['', ' ', '-', '−', '+', '.', '0.', '-0.', 'o', 'ov', 'op', '4.7 ko', '4.7 koh']) {
      expect(typedHint(text, 'Ω', false).kind, text).not.toBe('problem')
    }
    expect(typedHint('50 h', 'Hz', false).kind).toBe('example')
  })

  it('says that an Enter came too fast, and what another would keep', () => {
    expect(typedHint('0.5', 'V', true)).toEqual({ kind: 'problem', words: 'That came too fast for a hand: press Enter to keep 0.5 V, or clear it.' })
    expect(typedHint('4711-A', 'V', true).words).toMatch(/^That came too fast for a hand, so nothing was kept\. “4711-A” is no figure in V/)
  })
})
