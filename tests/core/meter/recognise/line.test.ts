/** The model of the line: what a receiver makes of a sender's bits, at its own settings and at others. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { openReceiver } from '../../../../fixtures/line/receiver'
import { characterBits, sent, type WireSettings } from '../../../../fixtures/line/wire'

const settings = (baud: number, dataBits: 5 | 6 | 7 | 8 = 8, parity: WireSettings['parity'] = 'none', stopBits: 1 | 2 = 1): WireSettings => ({ baud, dataBits, parity, stopBits })
const heard = (bytes: number[], from: WireSettings, to: WireSettings, errors: 'delivers' | 'drops' = 'delivers', gap = 0): number[] => {
  const { edges, free } = sent(bytes, from, 1, gap)
  return openReceiver(to, errors).take(edges, free + 1).map(({ byte }) => byte)
}

describe('the bits of a character', () => {
  // ITU-T V.4 and common practice for start-stop transmission: lowest bit first; the parity bit makes the count of ones even or odd.
  it('begins with a zero, has its lowest bit first, and ends with ones', () => {
    expect(characterBits(0x53, settings(9600)).join('')).toBe('0110010101')
    expect(characterBits(0x53, settings(9600, 7, 'even', 2)).join('')).toBe('01100101011')
    expect(characterBits(0x53, settings(9600, 7, 'odd')).join('')).toBe('0110010111')
    expect(characterBits(0x1f, settings(9600, 5, 'mark')).join('')).toBe('01111111')
    expect(characterBits(0x00, settings(9600, 5, 'space')).join('')).toBe('00000001')
  })
})

describe('a receiver', () => {
  it('hears every byte at the sender\'s settings, with and without gaps', () => {
    fc.assert(fc.property(
      fc.array(fc.integer({ min: 0, max: 255 }), { maxLength: 20 }), fc.constantFrom<5 | 6 | 7 | 8>(5, 6, 7, 8),
      fc.constantFrom<WireSettings['parity']>('none', 'even', 'odd', 'mark', 'space'), fc.constantFrom<1 | 2>(1, 2), fc.constantFrom(0, 0.0004),
      (bytes, dataBits, parity, stopBits, gap) => {
        const line = settings(2400, dataBits, parity, stopBits)
        expect(heard(bytes, line, line, 'drops', gap)).toEqual(bytes.map((byte) => byte & (2 ** dataBits - 1)))
      },
    ))
  })

  it('bears a speed 3 % off', () => {
    const bytes = [0x00, 0x55, 0xff, 0x0d, 0x80]
    expect(heard(bytes, settings(9600 * 1.03), settings(9600))).toEqual(bytes)
    expect(heard(bytes, settings(9600 * 0.97), settings(9600))).toEqual(bytes)
  })

  it('hears seven bits with parity as eight bits, the parity in the highest', () => {
    expect(heard([0x31, 0x33], settings(2400, 7, 'even'), settings(2400))).toEqual([0xb1, 0x33])
    expect(heard([0x31, 0x33], settings(2400, 7, 'odd'), settings(2400))).toEqual([0x31, 0xb3])
  })

  it('hands over a byte with wrong parity, or throws it away where the system does', () => {
    expect(heard([0x31, 0x33], settings(2400, 8, 'even'), settings(2400, 8, 'odd'))).toEqual([0x31, 0x33])
    expect(heard([0x31, 0x33], settings(2400, 8, 'even'), settings(2400, 8, 'odd'), 'drops')).toEqual([])
  })

  it('hears eight times too fast only where the line rose: zeros, and one high bit', () => {
    const bytes = [...'RES 221.4 Ohm A\r\n'].map((each) => each.charCodeAt(0))
    expect(new Set(heard(bytes, settings(1200), settings(9600)))).toEqual(new Set([0x00, 0x80]))
  })

  it('loses and garbles bytes when it is too slow', () => {
    const bytes = [...'RES 221.4 Ohm A\r\n'].map((each) => each.charCodeAt(0))
    const slow = heard(bytes, settings(9600), settings(2400))
    expect(slow.length).toBeGreaterThan(0)
    expect(slow.length).toBeLessThan(bytes.length / 2)
  })
})
