import { describe, expect, it } from 'vitest'
import { checkDescription } from '../../../src-core/meter/check'
import type { MeterDescription } from '../../../src-core/meter/description'
import type { Reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { openStream } from '../../../src-main/service/link/open-stream'
import { shipped } from './heard'
import { weakest } from './weakest'

type Listened = { feed: (bytes: number[] | string, at: number) => void; heard: string[] }

/** Readings as “value at time”, rejects as their words. */
const listen = (description: MeterDescription): Listened => {
  const heard: string[] = []
  const stream = openStream(description, {
    reading: ({ value, at }: Reading) => { heard.push(`${value} at ${at}`) },
    reject: (why, at) => { heard.push(`${why}, at ${at}`) },
  })
  return { heard, feed: (bytes, at) => { stream.feed(typeof bytes === 'string' ? new TextEncoder().encode(bytes) : Uint8Array.from(bytes), seconds(at)) } }
}

const described = (framing: object, more: object = {}): MeterDescription => {
  const checked = checkDescription({
    schema: 'probewright/meter-description/1', name: 'Made for a test', port: { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 }, framing,
    functions: { V: { is: 'dc-voltage', counts: 9999, lowestRange: 9999 } }, ...more,
  }, 'made.json', () => 0)
  if ('problems' in checked) throw new Error(checked.problems.map(({ message }) => message).join('\n'))
  return checked.description
}

const volts = { kind: 'constant', text: 'V' }
const bracketed = described({ kind: 'delimited-frames', start: '3c', end: '3e', maxBytes: 12, fields: { function: volts, value: { kind: 'ascii', from: 1, to: 4 } } })
const counted = described({
  kind: 'counted-frames', start: 'b2', countAt: 1, plus: 3, maxBytes: 32, check: { kind: 'xor', from: 1, to: -2, at: -1 },
  fields: { function: volts, value: { kind: 'integer', byte: 2, bytes: 2, order: 'high-first', signed: true } },
})
const countedFrame = (count: number): number[] => [0xb2, 2, count >> 8, count & 255, 2 ^ (count >> 8) ^ (count & 255)]

describe('a frame with few marks', () => {
  const frame = (digits: number): number[] => [0x9b, 1, digits >> 8, digits & 255]

  it('without anything inside that shows it whole waits for the next to begin', () => {
    const { feed, heard } = listen(weakest())
    feed(frame(0x1234), 1)
    expect(heard).toEqual([])
    feed(frame(0x1235), 2)
    expect(heard).toEqual(['1234 at 1'])
  })
  it('that is cut off does not run into the next', () => {
    const { feed, heard } = listen(weakest())
    feed([...frame(0x1234), ...frame(0x1235), 0x9b, 1, 0x12, ...frame(0x1236), ...frame(0x1237), ...frame(0x1238)], 1)
    expect(heard.filter((each) => /^\d/.test(each))).toEqual(['1234 at 1', '1236 at 1', '1237 at 1'])
    // The last before the cut has no frame after it that makes sense: it is given up rather than believed.
    expect(heard).toContain('a frame that none follows, at 1')
  })
  it('after noise counts once the next begins where it ends; then each by itself', () => {
    const { feed, heard } = listen(bracketed)
    feed('<0001>', 1)
    expect(heard).toEqual([])
    feed('<0002>', 2)
    feed('<0003>', 3)
    expect(heard).toEqual(['1 at 1', '2 at 2', '3 at 3'])
    feed('~~<0004>', 4)
    expect(heard.slice(3)).toEqual(['bytes that belong to no frame, at 4'])
    feed('~<0005><0006>', 5)
    expect(heard.slice(4)).toEqual(['a frame that none follows, at 4', 'bytes that belong to no frame, at 5', '5 at 5', '6 at 5'])
  })
  it('an answer that was asked for counts by itself', () => {
    const { feed, heard } = listen({ ...counted, framing: { ...counted.framing, poll: { send: '01', everySeconds: 1, timeoutSeconds: 1, retries: 1 } } } as MeterDescription)
    feed(countedFrame(-42), 1)
    expect(heard).toEqual(['-42 at 1'])
  })
})

describe('a frame between a start and an end', () => {
  it('that was cut off is none: the next start begins a new one', () => {
    const { feed, heard } = listen(bracketed)
    feed('<0001><0002><00<0003><0004>', 1)
    expect(heard.filter((each) => /^\d/.test(each))).toEqual(['1 at 1', '2 at 1', '3 at 1', '4 at 1'])
  })
  it('that lost a byte is none, for its fields would lie wrong', () => {
    const { feed, heard } = listen(bracketed)
    feed('<0001><0002><003><0004><0005>', 1)
    expect(heard.filter((each) => /^\d/.test(each))).toEqual(['1 at 1', '2 at 1', '4 at 1', '5 at 1'])
  })
})

describe('a frame whose length a byte tells', () => {
  it('is found again after a wrong length', () => {
    const { feed, heard } = listen(counted)
    feed([...countedFrame(1), ...countedFrame(2), 0xb2, 29, ...countedFrame(3), ...countedFrame(4), ...countedFrame(5), ...countedFrame(6), ...countedFrame(7), ...countedFrame(8)], 1)
    expect(heard.filter((each) => /^\d+ at/.test(each))).toEqual(['1 at 1', '2 at 1', '3 at 1', '4 at 1', '5 at 1', '6 at 1', '7 at 1', '8 at 1'])
    expect(heard).toContain('the check value is wrong, at 1')
  })
  it('keeps the time at which its last byte came, though the bytes before had to be sorted out first', () => {
    const { feed, heard } = listen(counted)
    feed([0xb2, 29, ...countedFrame(3)], 1)
    feed(countedFrame(4), 1.1)
    expect(heard).toEqual([])
    for (let i = 0; i < 6; i += 1) feed(countedFrame(5), 1.2 + i / 100)
    expect(heard.filter((each) => /^\d+ at/.test(each)).slice(0, 2)).toEqual(['3 at 1', '4 at 1.1'])
  })
  it('whose rest does not come is given up, and what lay behind it found', () => {
    const { feed, heard } = listen(counted)
    feed([0xb2, 29, ...countedFrame(3), ...countedFrame(4), 0xb2, 2], 1)
    expect(heard).toEqual([])
    feed(countedFrame(6), 1.6)
    feed(countedFrame(7), 1.7)
    expect(heard.filter((each) => /^\d+ at/.test(each))).toEqual(['3 at 1', '4 at 1', '6 at 1.6', '7 at 1.7'])
    expect(heard).toContain('the rest of a frame did not come, at 1')
  })
})

describe('a chunk without a byte', () => {
  it('does not make the wait for the rest of a frame longer', () => {
    const { feed, heard } = listen(counted)
    feed(countedFrame(3).slice(0, 3), 1)
    feed([], 1.4)
    feed(countedFrame(3).slice(3), 1.6)
    expect(heard[0]).toBe('the rest of a frame did not come, at 1')
    expect(heard.filter((each) => /^\d/.test(each))).toEqual([])
  })
})

describe('a meter that mirrors its display', () => {
  it('is read from its first frame on: its index is mark enough', () => {
    const { feed, heard } = listen(shipped('mirror-meter-d'))
    // Digits 2 2 0 4, point after the third, “Ω” and “k” lit: each low nibble one column of lamps, set by hand.
    // Columns d a g f b e c; bits 0, 2, 1, 3 from left to right. d: 2 2 0; a: 2 2 0; g: 2 2 4; f: 0 4; b: all; e: 2 2 0; c: 0 4.
    const nibbles = [0b0111, 0b0111, 0b1101, 0b1010, 0b1111, 0b0111, 0b1010, 4, 2, 0, 1, 0, 0b1100]
    feed(nibbles.map((nibble, at) => ((at + 3) << 4) | nibble), 1)
    expect(heard).toEqual(['220400 at 1'])
  })
})
