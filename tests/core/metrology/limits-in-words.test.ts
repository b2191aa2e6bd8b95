import { describe, expect, it } from 'vitest'
import { limitsInWords } from '../../../src-core/metrology/limits-in-words'

describe('limits in words', () => {
  it('says a tolerance as its two bounds', () => {
    expect(limitsInWords({ nominal: 220, tolerance: 0.05 }, 'Ω')).toBe('209 Ω to 231 Ω')
    expect(limitsInWords({ nominal: 4700, tolerance: 0.05 }, 'Ω')).toBe('4.465 kΩ to 4.935 kΩ')
    expect(limitsInWords({ nominal: 1e-7, tolerance: 0.2 }, 'F')).toBe('80.0 nF to 120 nF')
  })
  it('says two bounds', () => {
    expect(limitsInWords({ between: [0.45, 0.75] }, 'V')).toBe('0.45 V to 0.75 V')
    expect(limitsInWords({ between: [-0.01, 0.01] }, 'V')).toBe('\u221210.0 mV to 10.0 mV')
    expect(limitsInWords({ between: [950, 1050] }, 'Ω')).toBe('950 Ω to 1.05 kΩ')
  })
  it('says one bound', () => {
    expect(limitsInWords({ atMost: 2.6 }, 'Ω')).toBe('at most 2.6 Ω')
    expect(limitsInWords({ atLeast: 1000 }, 'Ω')).toBe('at least 1.00 kΩ')
    expect(limitsInWords({ atLeast: 999.9999 }, 'Ω')).toBe('at least 1.00 kΩ')
    expect(limitsInWords({ atLeast: 1e7 }, 'Ω')).toBe('at least 10.0 MΩ')
    expect(limitsInWords({ atMost: 0 }, 'V')).toBe('at most 0 V')
  })
  it('says open and short', () => {
    expect(limitsInWords('open', 'Ω')).toBe('open')
    expect(limitsInWords('short', 'Ω')).toBe('short')
  })
})
