/** The numbers of IEEE 488.2 and what SCPI-1999 lets them stand for. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readNumber, readScpiValue } from '../../../../src-core/meter/scpi/numbers'

describe('a number of IEEE 488.2', () => {
  // IEEE 488.2-1992, 8.7.2 (NR1), 8.7.3 (NR2), 8.7.4 (NR3), and 7.7.2 for what a listener takes beside; from memory.
  it.each([
    ['0', 'NR1', 0], ['-12', 'NR1', -12], ['+007', 'NR1', 7],
    ['0.5', 'NR2', 0.5], ['-12.34', 'NR2', -12.34], ['+.5', 'NR2', 0.5], ['5.', 'NR2', 5],
    ['1.0E+3', 'NR3', 1000], ['-1.23456789E-03', 'NR3', -0.00123456789], ['1e3', 'NR3', 1000], ['2E0', 'NR3', 2], ['-0.0E+00', 'NR3', 0],
  ])('%s is %s', (text, form, value) => {
    expect(readNumber(text)).toEqual({ form, value })
  })

  it.each(['', '+', '.', '-.', 'E3', '1E', '1E+', '1.2.3', '1,5', ' 1', '1 ', '1 E3', '--1', '0x10', '#H10', 'NAN', 'INF', 'Infinity', '1_000', '1E400', '1'.repeat(41), '1\u0000'])(
    '%j is none', (text) => { expect(readNumber(text)).toBeNull() })

  it('is read as it was written, in each of its forms', () => {
    fc.assert(fc.property(fc.integer({ min: -1_000_000_000, max: 1_000_000_000 }), fc.integer({ min: 0, max: 8 }), fc.integer({ min: -30, max: 28 }), (count, decimals, exponent) => {
      const digits = String(Math.abs(count)).padStart(decimals + 1, '0')
      const sign = count < 0 ? '-' : '+'
      const mantissa = decimals === 0 ? digits : `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`
      const text = `${sign}${mantissa}E${exponent < 0 ? '-' : '+'}${String(Math.abs(exponent)).padStart(2, '0')}`
      const read = readNumber(text)
      expect(read?.form).toBe('NR3')
      const truth = count * 10 ** (exponent - decimals)
      expect(Math.abs((read?.value ?? Number.NaN) - truth)).toBeLessThanOrEqual(Math.abs(truth) * 1e-12)
    }))
  })
})

describe('a measured value over SCPI', () => {
  // SCPI-1999, volume 1, 7.2.1.4: infinity is 9.9E37, negative infinity −9.9E37; 7.2.1.5: not a number is 9.91E37. From memory.
  it.each([['9.9E37', 'overload'], ['+9.90000000E+37', 'overload'], ['-9.9E37', 'negative-overload'], ['-9.90000000E+37', 'negative-overload']])('%s is %s', (text, value) => {
    expect(readScpiValue(text)).toBe(value)
  })

  it('is rejected where the meter has no number, and where the number is damaged', () => {
    expect(readScpiValue('9.91E37')).toEqual({ reject: 'the meter says that it has no number (9.91E37)' })
    expect(readScpiValue('+9.91000000E+37')).toEqual({ reject: 'the meter says that it has no number (9.91E37)' })
    for (const text of ['9.8E37', '-9.91E37', '1E31', '9.9E+38', '1.2.3', '']) expect(readScpiValue(text)).toHaveProperty('reject')
  })

  it('is the number itself otherwise', () => {
    expect(readScpiValue('+2.20134500E+02')).toBe(220.1345)
    expect(readScpiValue('-3')).toBe(-3)
  })
})
