/** Binary numbers of a frame against the forms that standards give them. */
import { describe, expect, it } from 'vitest'
import type { ValueField } from '../../src-core/meter/framing'
import { valueReader } from '../../src-core/meter/frame-value'

const bytesOf = (hex: string): Uint8Array => Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))
const read = (field: ValueField, hex: string): unknown => valueReader(field, [], [])(bytesOf(hex))

/** IEEE 754-2008, 3.4, binary32 and binary64; the encodings from memory. */
const floats: [bytes: 4 | 8, hex: string, value: number][] = [
  [4, '3f800000', 1], [4, 'c0200000', -2.5], [4, '40490fdb', Math.fround(Math.PI)], [4, '00000000', 0], [4, '80000000', 0], [4, '7f7fffff', 3.4028234663852886e38],
  [8, '3ff0000000000000', 1], [8, 'c004000000000000', -2.5], [8, '400921fb54442d18', Math.PI],
]
const reversed = (hex: string): string => (hex.match(/../g) ?? []).reverse().join('')

describe('IEEE 754', () => {
  it.each(floats)('binary of %i bytes: %s is %d, high or low byte first', (bytes, hex, value) => {
    expect(read({ kind: 'float', byte: 0, bytes, order: 'high-first' }, hex)).toEqual({ float: value, decimals: 0 })
    expect(read({ kind: 'float', byte: -bytes, bytes, order: 'low-first' }, `ff${reversed(hex)}`)).toEqual({ float: value, decimals: 0 })
  })
  it('infinity is out of range, not-a-number is no reading (6.2, quiet NaN; from memory)', () => {
    const field: ValueField = { kind: 'float', byte: 0, bytes: 4, order: 'high-first' }
    expect(read(field, '7f800000')).toEqual({ outOfRange: 'overload' })
    expect(read(field, 'ff800000')).toEqual({ outOfRange: 'negative-overload' })
    expect(read(field, '7fc00000')).toEqual({ reject: 'the value is not a number' })
    expect(read({ ...field, bytes: 8 }, '7ff8000000000000')).toEqual({ reject: 'the value is not a number' })
  })
})

/** Two’s complement, ISO/IEC 9899:2024, 6.2.6.2 (from memory): the highest bit counts −2^(n−1). */
const integers: [bytes: number, hex: string, signed: number, unsigned: number][] = [
  [1, '80', -128, 128], [1, 'ff', -1, 255], [1, '7f', 127, 127], [2, '8000', -32768, 32768], [2, 'fffe', -2, 65534],
  [3, '800000', -8388608, 8388608], [3, 'ffff00', -256, 16776960], [4, '80000000', -2147483648, 2147483648], [4, '7fffffff', 2147483647, 2147483647],
]

describe('two’s complement', () => {
  it.each(integers)('of %i bytes: %s is %d with a sign, %d without', (bytes, hex, signed, unsigned) => {
    const field = { kind: 'integer', byte: 0, bytes, order: 'high-first', signed: true } as const
    expect(read(field, hex)).toEqual({ count: signed, power: 0 })
    expect(read({ ...field, signed: false }, hex)).toEqual({ count: unsigned, power: 0 })
    expect(read({ ...field, order: 'low-first' }, reversed(hex))).toEqual({ count: signed, power: 0 })
  })
})
