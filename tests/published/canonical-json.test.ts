/**
 * RFC 8785 (JSON Canonicalization Scheme, 2020). The vectors are from memory of the RFC: its samples in 3.2.2 to 3.2.4 and Appendix B.
 * The hexadecimal doubles of Appendix B and their texts check one another: text and bits are the same number, by the runtime's own reading.
 */
import serialize from 'canonicalize'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { canonical, canonicalOfParsed, isWrittenAs } from '../../src-core/record/canonical'
import { drawnCount } from '../bench-tools/sampled'

/** RFC 8785, Appendix B: IEEE 754 bits and the text they are written as. */
const appendixB: [bits: string, text: string][] = [
  ['0000000000000000', '0'], ['8000000000000000', '0'], ['0000000000000001', '5e-324'], ['8000000000000001', '-5e-324'],
  ['7fefffffffffffff', '1.7976931348623157e+308'], ['ffefffffffffffff', '-1.7976931348623157e+308'],
  ['4340000000000000', '9007199254740992'], ['c340000000000000', '-9007199254740992'], ['4430000000000000', '295147905179352830000'],
  ['44b52d02c7e14af5', '9.999999999999997e+22'], ['44b52d02c7e14af6', '1e+23'], ['44b52d02c7e14af7', '1.0000000000000001e+23'],
  ['444b1ae4d6e2ef4e', '999999999999999700000'], ['444b1ae4d6e2ef4f', '999999999999999900000'], ['444b1ae4d6e2ef50', '1e+21'],
  ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'], ['3eb0c6f7a0b5ed8d', '0.000001'],
  ['41b3de4355555553', '333333333.3333332'], ['41b3de4355555554', '333333333.33333325'], ['41b3de4355555555', '333333333.3333333'],
  ['41b3de4355555556', '333333333.3333334'], ['41b3de4355555557', '333333333.33333343'], ['becbf647612f3696', '-0.0000033333333333333333'],
  ['43143ff3c1cb0959', '1424953923781206.2'],
]
const double = (bits: string): number => Buffer.from(bits, 'hex').readDoubleBE(0)

describe('RFC 8785', () => {
  it.each(appendixB)('writes the number %s as %s', (bits, text) => {
    expect(Number(text)).toBe(double(bits) === 0 ? 0 : double(bits))
    expect(canonical(double(bits))).toBe(text)
  })

  it.each([['7fffffffffffffff'], ['7ff0000000000000']])('refuses %s, which JSON has no word for', (bits) => {
    expect(() => canonical({ value: double(bits) })).toThrow()
  })

  it('sorts names by their UTF-16 code units (sample of 3.2.3)', () => {
    const sample = { '\u20ac': 'Euro Sign', '\r': 'Carriage Return', '\ufb33': 'Hebrew Letter Dalet With Dagesh', 1: 'One', '\ud83d\ude00': 'Emoji: Grinning Face', '\u0080': 'Control', '\u00f6': 'Latin Small Letter O With Diaeresis' }
    expect(Object.values(JSON.parse(canonical(sample)) as object).sort()).toEqual(Object.values(sample).sort())
    const order = [...canonical(sample).matchAll(/:"([^"]*)"/g)].map(([, words]) => words)
    expect(order).toEqual(['Carriage Return', 'One', 'Control', 'Latin Small Letter O With Diaeresis', 'Euro Sign', 'Emoji: Grinning Face', 'Hebrew Letter Dalet With Dagesh'])
  })

  it('writes the sample of 3.2.2 as 3.2.4 has it, byte for byte', () => {
    const sample = JSON.parse(`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\"\\/",
      "literals": [null, true, false]
    }`) as unknown
    expect(canonical(sample)).toBe('{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}')
    // 3.2.4: the same as UTF-8; the string begins € $ \u000f \n.
    expect(Buffer.from(canonical(sample), 'utf8').toString('hex')).toContain('22e282ac245c75303030665c6e412742')
  })

  it('refuses half of a surrogate pair, which UTF-8 cannot hold', () => {
    expect(() => canonical({ words: '\ud83d' })).toThrow()
  })
})

describe('the quick way for parsed values', () => {
  it('writes what the long way writes, names in order or not', () => {
    const json = fc.jsonValue().map((value) => JSON.parse(JSON.stringify(value)) as unknown)
    fc.assert(fc.property(json, (value) => {
      expect(canonicalOfParsed(value)).toBe(canonical(value))
      expect(canonicalOfParsed(JSON.parse(canonical(value)))).toBe(canonical(value))
    }), { numRuns: drawnCount(100, 300) })
  })

  /** Names and values that the quick way must leave to the library: whole numbers as names, half pairs, undefined, toJSON, what no JSON has. */
  it('writes what the library “canonicalize” writes, or refuses where it refuses', () => {
    const name = fc.oneof(fc.string({ unit: 'grapheme' }), fc.nat(30).map(String), fc.constantFrom('10', '9', '01', 'toJSON', '__proto__', '\ufb33', '\ud83d\ude00', '\\ud800'))
    const leaf = fc.oneof(
      fc.double(), fc.integer(), fc.boolean(), fc.constantFrom(null, undefined, -0, '\ud83d', '\\ud83d', '\ud83d\ude00', new Date(0)), fc.string({ unit: 'binary' }),
    )
    const { value } = fc.letrec<{ value: unknown }>((tie) => ({
      value: fc.oneof({ maxDepth: 4 }, leaf, fc.array(tie('value'), { maxLength: 4 }), fc.dictionary(name, tie('value'), { maxKeys: 5 })),
    }))
    const writtenBy = (write: (value: unknown) => string | undefined, from: unknown): string => {
      try {
        return write(from) ?? 'refused'
      } catch {
        return 'refused'
      }
    }
    fc.assert(fc.property(value, (from) => { expect(writtenBy(canonical, from)).toBe(writtenBy(serialize, from)) }), { numRuns: drawnCount(150, 500) })
  })
})

describe('a text written otherwise than canonically', () => {
  const value = { a: 'two  words', b: [1, 0.5] }
  it.each([
    ['as it is', '{"a":"two  words","b":[1,0.5]}', true], ['with spaces between', '{\n  "a": "two  words",\t"b": [ 1, 0.5 ]\r\n}\n', true],
    ['a space fewer within a string', '{"a":"two words","b":[1,0.5]}', false], ['names in another order', '{"b":[1,0.5],"a":"two  words"}', false],
    ['a figure otherwise', '{"a":"two  words","b":[1.0,0.5]}', false], ['a letter otherwise', '{"a":"\\u0074wo  words","b":[1,0.5]}', false],
    ['a name twice', '{"a":"x","a":"two  words","b":[1,0.5]}', false],
  ])('%s: %#', (_how, text, is) => {
    expect(isWrittenAs(text, canonical(value))).toBe(is)
  })
})
