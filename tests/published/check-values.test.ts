/** Check values against the CRC catalogue's own figures for the nine bytes "123456789". */
import { describe, expect, it } from 'vitest'
import { checkOver, checkTester, type CheckValue } from '../../src-core/meter/check-value'

const nine = new TextEncoder().encode('123456789')
const place = { from: 0, to: 8, at: 9 } as const

type Crc = [bits: 8 | 16, polynomial: string, initial: string, reflectIn: boolean, reflectOut: boolean, finalXor: string, check: number]

/** Parameters and check values: Greg Cook, “Catalogue of parametrised CRC algorithms”, from memory. */
const catalogue: Crc[] = [
  [8, '07', '00', false, false, '00', 0xf4],
  [8, '31', '00', true, true, '00', 0xa1],
  [8, '07', 'ff', true, true, '00', 0xd0],
  [8, '1d', 'ff', false, false, 'ff', 0x4b],
  [8, '07', '00', false, false, '55', 0xa1],
  [16, '8005', '0000', true, true, '0000', 0xbb3d],
  [16, '8005', 'ffff', true, true, '0000', 0x4b37],
  [16, '1021', 'ffff', false, false, '0000', 0x29b1],
  [16, '1021', '0000', false, false, '0000', 0x31c3],
  [16, '1021', '0000', true, true, '0000', 0x2189],
  [16, '1021', 'ffff', true, true, 'ffff', 0x906e],
  [16, '1021', 'ffff', false, false, 'ffff', 0xd64e],
  [16, '3d65', '0000', true, true, 'ffff', 0xea82],
]

const crc = ([bits, polynomial, initial, reflectIn, reflectOut, finalXor]: Crc): CheckValue =>
  ({ kind: 'crc', bits, polynomial, initial, reflectIn, reflectOut, finalXor, ...place })

describe('a CRC by its parameters', () => {
  it.each(catalogue)('%i bits, polynomial %s, initial %s, reflected in %s and out %s, final xor %s: gives the catalogue’s value for "123456789"', (...each) => {
    expect(checkOver(crc(each))(nine, 0, 8)).toBe(each[6])
  })

  it.each(catalogue)('%i bits, polynomial %s, initial %s, reflected in %s and out %s, final xor %s: a frame with it is right, and wrong after any one bit turns', (...each) => {
    const bytes = each[0] === 8 ? [each[6]] : [each[6] >> 8, each[6] & 0xff]
    const frame = Uint8Array.from([...nine, ...bytes])
    const right = checkTester(crc(each))
    expect(right(frame)).toBe(true)
    for (let at = 0; at < frame.length * 8; at += 1) {
      const turned = Uint8Array.from(frame)
      turned[at >> 3] = (turned[at >> 3] ?? 0) ^ (1 << (at & 7))
      expect(right(turned)).toBe(false)
    }
  })

  it('is found low byte first, and as hexadecimal digits', () => {
    const plain = catalogue.find(([bits, polynomial, initial]) => bits === 16 && polynomial === '8005' && initial === '0000')
    if (plain === undefined) throw new Error('The polynomial 8005 from 0000 is not in the list.')
    const lowFirst = checkTester({ ...crc(plain), order: 'low-first' })
    expect(lowFirst(Uint8Array.from([...nine, 0x3d, 0xbb]))).toBe(true)
    expect(lowFirst(Uint8Array.from([...nine, 0xbb, 0x3d]))).toBe(false)
    const digits = checkTester({ ...crc(plain), sentAs: 'hex-digits' })
    expect(digits(Uint8Array.from([...nine, ...new TextEncoder().encode('BB3d')]))).toBe(true)
    expect(digits(Uint8Array.from([...nine, ...new TextEncoder().encode('BB3G')]))).toBe(false)
  })
})

describe('sums and exclusive or', () => {
  /** 0x31 + … + 0x39 = 477 = 0x1dd; 0x31 ^ … ^ 0x39 = 0x31: added by hand. */
  it('over "123456789" are as added by hand', () => {
    expect(checkOver({ kind: 'sum', bits: 16, ...place })(nine, 0, 8)).toBe(0x1dd)
    expect(checkOver({ kind: 'sum', bits: 8, ...place })(nine, 0, 8)).toBe(0xdd)
    expect(checkOver({ kind: 'sum', bits: 8, complement: 'twos', ...place })(nine, 0, 8)).toBe(0x23)
    expect(checkOver({ kind: 'sum', bits: 8, complement: 'ones', ...place })(nine, 0, 8)).toBe(0x22)
    expect(checkOver({ kind: 'sum', bits: 8, initial: '55', ...place })(nine, 0, 8)).toBe(0x32)
    expect(checkOver({ kind: 'xor', ...place })(nine, 0, 8)).toBe(0x31)
  })
})
