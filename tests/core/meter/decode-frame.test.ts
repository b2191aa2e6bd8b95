import { describe, expect, it } from 'vitest'
import type { ValueField } from '../../../src-core/meter/framing'
import { textReader } from '../../../src-core/meter/frame-text'
import { valueReader } from '../../../src-core/meter/frame-value'

const ascii = (text: string): Uint8Array => new TextEncoder().encode(text)
const figure = (field: ValueField, frame: Uint8Array, overload: string[] = [], negativeOverload: string[] = []): unknown => valueReader(field, overload, negativeOverload)(frame)
const two = { kind: 'constant', text: '2' } as const

describe('the digits of a value', () => {
  const field: ValueField = { kind: 'ascii', from: 0, to: 4 }
  const placed: ValueField = { ...field, decimals: two }

  it('in ASCII hold their point, or have it beside them, not both', () => {
    expect(figure(field, ascii(' 12.3'))).toEqual({ count: 123, power: -1 })
    expect(figure(placed, ascii('  123'))).toEqual({ count: 123, power: -2 })
    expect(figure(placed, ascii(' 12.3'))).toEqual({ reject: 'the value has a decimal point in its digits and one beside them' })
  })
  it('with a blank at the end do not tell what they count, if the point is beside them', () => {
    expect(figure(field, ascii('12.3 '))).toEqual({ count: 123, power: -1 })
    expect(figure(placed, ascii(' 123 '))).toEqual({ reject: 'the last digit of the value is blank' })
  })
  it('have one sign', () => {
    const signed: ValueField = { ...field, negative: { '5.0': 1 } }
    expect(figure(signed, ascii(' 12.31'))).toEqual({ count: -123, power: -1 })
    expect(figure(signed, ascii('-12.31'))).toEqual({ reject: 'the value has a sign in its digits and one beside them' })
  })
  it('are none where a character is not printable', () => expect(figure(field, Uint8Array.of(49, 50, 0, 51, 52))).toEqual({ reject: 'a digit of the display is none of the map' }))

  const packed: ValueField = { kind: 'bcd', digits: [{ byte: 0, nibble: 'high' }, { byte: 0, nibble: 'low' }, { byte: 1, nibble: 'high' }], others: { a: ' ', e: 'E', c: '-', f: 'L' } }
  it('in packed nibbles are read in their order; a letter E is a letter, no power of ten', () => {
    expect(figure(packed, Uint8Array.of(0x42, 0x70))).toEqual({ count: 427, power: 0 })
    expect(figure(packed, Uint8Array.of(0xc2, 0x70))).toEqual({ count: -27, power: 0 })
    expect(figure(packed, Uint8Array.of(0x1e, 0x20))).toBe('1E2')
    expect(figure(packed, Uint8Array.of(0xd2, 0x70))).toEqual({ reject: 'a digit of the display is none of the map' })
    expect(figure(packed, Uint8Array.of(0xaa, 0xa0))).toBe('')
  })
  it('that stand for out of range do so in their places, or wherever they stand', () => {
    expect(figure(packed, Uint8Array.of(0x0f, 0xa0), ['0L'])).toEqual({ outOfRange: 'overload' })
    expect(figure(packed, Uint8Array.of(0xa0, 0xf0), ['0L'])).toEqual({ outOfRange: 'overload' })
    expect(figure(packed, Uint8Array.of(0xc0, 0xf0), ['0L'])).toEqual({ outOfRange: 'negative-overload' })
    expect(figure({ ...packed, negative: { '1.0': 1 } }, Uint8Array.of(0xa0, 0xf1), ['0L'])).toEqual({ outOfRange: 'negative-overload' })
    expect(figure(packed, Uint8Array.of(0xcc, 0xc0), ['LLL'], ['---'])).toEqual({ outOfRange: 'negative-overload' })
    // A display that shows its leading 1 alone: only with blanks after it, or the figure 1 would be out of range.
    expect(figure(packed, Uint8Array.of(0x1a, 0xa0), ['1  '])).toEqual({ outOfRange: 'overload' })
    expect(figure(packed, Uint8Array.of(0xaa, 0x10), ['1  '])).toEqual({ count: 1, power: 0 })
  })
  it('have a point in one place', () => {
    const rules = { kind: 'rules', rules: [{ when: { '2.0': 1 }, text: '1' }, { when: { '2.1': 1 }, text: '2' }] } as const
    const pointed: ValueField = { ...packed, decimals: { ...rules, rules: [...rules.rules] } }
    expect(figure(pointed, Uint8Array.of(0x42, 0x70, 1))).toEqual({ count: 427, power: -1 })
    for (const both of [0, 3]) expect(figure(pointed, Uint8Array.of(0x42, 0x70, both))).toEqual({ reject: 'the frame gives no place of the decimal point, or two' })
  })
})

describe('a whole number', () => {
  it('has values that stand for out of range, with its sign beside it or in it', () => {
    const field: ValueField = { kind: 'integer', byte: 0, bytes: 1, order: 'high-first', signed: true, overload: [127], negativeOverload: [-128], negative: { '1.0': 1 } }
    expect(figure(field, Uint8Array.of(127, 0))).toEqual({ outOfRange: 'overload' })
    expect(figure(field, Uint8Array.of(127, 1))).toEqual({ outOfRange: 'negative-overload' })
    expect(figure(field, Uint8Array.of(128, 0))).toEqual({ outOfRange: 'negative-overload' })
    expect(figure(field, Uint8Array.of(5, 1))).toEqual({ count: -5, power: 0 })
    expect(figure(field, Uint8Array.of(0, 1))).toEqual({ count: 0, power: 0 })
  })
})

describe('a text of a frame', () => {
  it('is one of its rules, no more and no less', () => {
    const of = (otherwise?: string) => textReader({ kind: 'rules', rules: [{ when: { '0.0': 1 }, text: 'k' }, { when: { '0.1': 1, '-1.7': 0 }, text: 'M' }], ...(otherwise === undefined ? {} : { otherwise }) })
    expect([0, 1, 2, 3].map((byte) => of()(Uint8Array.of(byte, 0)))).toEqual([null, 'k', 'M', null])
    expect([0, 1, 2, 3].map((byte) => of('')(Uint8Array.of(byte, 0x80)))).toEqual(['', 'k', '', 'k'])
  })
  it('is looked up by a byte under a mask', () => {
    const read = textReader({ kind: 'code', byte: -1, mask: 'f0', texts: { 30: 'R', a0: 'V' } })
    expect([0x35, 0xaf, 0x45].map((byte) => read(Uint8Array.of(9, byte)))).toEqual(['R', 'V', null])
  })
})
