/** Teaching as the person at the meter meets it: what is refused and why, what is tried, what was typed wrong, what stays unknown. */
import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../../../src-core/circuit/seeded-random'
import { seconds } from '../../../../src-core/quantity/units'
import { checkDescription } from '../../../../src-core/meter/check'
import type { Reading } from '../../../../src-core/meter/reading'
import { hexOfBytes, type Example } from '../../../../src-core/meter/teach/example'
import { propose } from '../../../../src-core/meter/teach/propose'
import { heardRows } from '../../../../src-core/meter/teach/heard-rows'
import { readShown, type Shown } from '../../../../src-core/meter/teach/shown'
import { startTeaching, teach, triedInARow, type TeachInput, type Teaching } from '../../../../src-core/meter/teach/teach'
import { viewOfTeaching } from '../../../../src-core/meter/teach/teaching-view'
import { openStream } from '../../../../src-main/service/link/open-stream'
import { readOtherwise } from './read-otherwise'
import { setupFor, teachFrom } from './taught'
import { lineMeter, mirrorMeter, packedMeter, type Display, type UnknownMeter } from './unknown-meters'

const noClock = (): number => 0
const volts = (text: string): Shown => ({ function: 'dc-voltage', text, mark: 'V', flags: [] })
const latin = (text: string): Uint8Array => Uint8Array.from([...text].map((c) => c.charCodeAt(0)))
const ready = (): Teaching => startTeaching(setupFor({ counts: 6000, ranges: { 'dc-voltage': [] }, about: '', encode: () => new Uint8Array(0) }))

const all = (state: Teaching, inputs: readonly TeachInput[]): { state: Teaching; refused: string | null } =>
  inputs.reduce((before: { state: Teaching; refused: string | null }, input) => teach(before.state, input), { state, refused: null })

/** The display shows one text for six frames. */
const showing = (text: string, from: number): TeachInput[] => Array.from({ length: 6 }, (_, k) => ({ kind: 'bytes', at: from + k * 0.2, bytes: latin(`DV ${text} V\r\n`) }))

const answered = (state: Teaching): Teaching =>
  teach(state, { kind: 'proposed', proposal: propose(state.examples, state.setup, state.cannot, noClock), revision: state.revision }).state

describe('a typed display', () => {
  test('is refused where nothing arrives, where the bytes still change, and where they are those of another display', () => {
    expect(teach(ready(), { kind: 'shown', at: 1, shown: volts('1.234') }).refused).toContain('sends nothing')
    const changing = Array.from({ length: 6 }, (_, k): TeachInput => ({ kind: 'bytes', at: k * 0.2, bytes: latin(`DV 1.23${k} V\r\n`) }))
    expect(all(ready(), [...changing, { kind: 'shown', at: 1.2, shown: volts('1.234') }]).refused).toContain('do not repeat')
    const first = all(ready(), [...showing('1.234', 0), { kind: 'shown', at: 1.2, shown: volts('1.234') }])
    expect(first.refused).toBeNull()
    const early = teach(first.state, { kind: 'shown', at: 1.3, shown: volts('2.345') })
    expect(early.refused).toContain('the same bytes as at display 1')
    expect(early.state.examples).toHaveLength(1)
    expect(teach(first.state, { kind: 'shown', at: 9, shown: volts('1.234') }).refused).toContain('sends nothing')
  })
  test('is refused where it is no figure, or its unit belongs to another function', () => {
    for (const text of ['1.2.3', 'abc', '', '123456789']) expect(readShown(volts(text))).toHaveProperty('problem')
    expect(readShown({ ...volts('1.2'), mark: 'kΩ' })).toHaveProperty('problem')
    expect(readShown({ function: 'temperature', text: '21.5', mark: '', flags: [] })).toHaveProperty('problem')
    expect(readShown({ function: 'resistance', text: '.0L', mark: 'MΩ', flags: [] })).toMatchObject({ figure: 'overload', prefix: 'M', power: 6 })
    expect(readShown(volts('−0.47'))).toMatchObject({ figure: { digits: '047', decimals: 2, negative: true, count: 47 } })
  })
  test('is tried on the description there is; one read otherwise becomes an example, and what was tried before counts no more', () => {
    let state = ready()
    for (const [k, text] of ['1.234', '2.345', '-0.567', '5.178'].entries()) state = answered(all(state, [...showing(text, k * 4), { kind: 'shown', at: k * 4 + 1.2, shown: volts(text) }]).state)
    state = answered(teach(state, { kind: 'cannot', key: 'range:dc-voltage' }).state)
    expect(state.proposal).toMatchObject({ ask: null, because: null })
    expect(viewOfTeaching(state, { path: '/dev/x', message: null, saved: null }).description).toContain('"kind": "lines"')
    const [before, tried] = [state.examples.length, triedInARow(state)]
    state = all(state, [...showing('3.210', 30), { kind: 'shown', at: 31.2, shown: volts('3.210') }, ...showing('4.567', 40), { kind: 'shown', at: 41.2, shown: volts('4.567') }]).state
    expect([state.examples.length, triedInARow(state)]).toEqual([before, tried + 2])
    const wrong = all(state, [...showing('0.001', 50), { kind: 'shown', at: 51.2, shown: volts('1.000') }]).state
    expect(triedInARow(wrong)).toBe(0)
    expect(wrong.examples).toHaveLength(before + 1)
    expect(wrong.tried.at(-1)?.says).toContain('you typed')
  })
  test('of the display shown before, and out of range, are read right but try nothing: another figure is asked for', () => {
    let state = ready()
    for (const [k, text] of ['1.234', '2.345', '-0.567', '5.178'].entries()) state = answered(all(state, [...showing(text, k * 4), { kind: 'shown', at: k * 4 + 1.2, shown: volts(text) }]).state)
    state = answered(teach(state, { kind: 'cannot', key: 'range:dc-voltage' }).state)
    expect(state.proposal).toMatchObject({ ask: null, because: null })
    const before = triedInARow(state)
    const typed = (text: string, from: number): { state: Teaching; refused: string | null } => all(state, [...showing(text, from), { kind: 'shown', at: from + 1.2, shown: volts(text) }])
    const first = typed('3.210', 30)
    expect([first.refused, triedInARow(first.state)]).toEqual([null, before + 1])
    state = first.state
    for (const [k, [text, words]] of ([['3.210', 'Show another figure'], ['2.345', 'Show another figure'], ['OL', 'Out of range is read right']] as const).entries()) {
      const again = typed(text, 40 + k * 20)
      expect(again.refused).toContain(words)
      expect([triedInARow(again.state), again.state.typed, again.state.examples.length]).toEqual([before + 1, state.typed, state.examples.length])
    }
  })
  test('keeps the last tries only, and no endless list of what it cannot show', () => {
    let state = ready()
    for (const [k, text] of ['1.234', '2.345', '-0.567', '5.178'].entries()) state = answered(all(state, [...showing(text, k * 4), { kind: 'shown', at: k * 4 + 1.2, shown: volts(text) }]).state)
    state = answered(teach(state, { kind: 'cannot', key: 'range:dc-voltage' }).state)
    for (let k = 0; k < 40; k += 1) state = all(state, [...showing(`4.1${10 + k}`, 100 + k * 20), { kind: 'shown', at: 101.2 + k * 20, shown: volts(`4.1${10 + k}`) }]).state
    expect(triedInARow(state)).toBe(20)
    let refused: string | null = null
    for (let k = 0; k < 300 && refused === null; k += 1) ({ state, refused } = teach(state, { kind: 'cannot', key: `key ${k}` }))
    expect(refused).toContain('begin again')
    expect(state.cannot.length).toBeLessThan(300)
  })
  test('a proposal made for an earlier state is not taken', () => {
    const state = all(ready(), [...showing('1.234', 0), { kind: 'shown', at: 1.2, shown: volts('1.234') }]).state
    const late = teach(state, { kind: 'proposed', proposal: propose([], state.setup, [], noClock), revision: state.revision - 1 }).state
    expect(late.proposal).toBeNull()
  })
  test('keeps no more bytes than three long frames need, however long it listens', () => {
    const state = all(ready(), Array.from({ length: 4000 }, (_, k): TeachInput => ({ kind: 'bytes', at: k * 0.01, bytes: latin('DV 1.234 V\r\n') }))).state
    expect(state.heard.reduce((sum, { bytes }) => sum + bytes.length, 0)).toBeLessThanOrEqual(1536)
    expect(state.bytes).toBe(4000 * 12)
  })
})

test('a display typed wrong is named, since without it a description fits all others', () => {
  const { examples, proposal } = teachFrom(mirrorMeter(seededRandom(103)), 104, true)
  expect(proposal.because).toBeNull()
  const at = examples.findIndex(({ shown }) => shown.text === '4.291')
  const spoilt = examples.map((each, index): Example => (index === at ? { ...each, shown: { ...each.shown, text: '4.297' } } : each))
  // All displays are doubted at every fourth one.
  const after = propose(spoilt.slice(0, 24), setupFor(mirrorMeter(seededRandom(103))), [], noClock)
  expect(after.description).toBeNull()
  expect(after.disagree.map(({ example }) => example)).toEqual([at])
})

const exampleOf = (meter: UnknownMeter, display: Display, text: string): Example =>
  ({ round: hexOfBytes(meter.encode(display)), begins: true, shown: { function: display.function, text, mark: display.range.mark, flags: [] } })

const readAll = (meter: UnknownMeter, description: Parameters<typeof openStream>[0], display: Display): Reading[] => {
  const readings: Reading[] = []
  const stream = openStream(description, { reading: (reading) => { readings.push(reading) }, reject: () => undefined })
  const bytes = meter.encode(display)
  stream.feed(Uint8Array.from([...bytes, ...bytes, ...bytes, ...bytes]), seconds(0))
  stream.close()
  return readings
}

describe('what was never shown', () => {
  test.each([['a picture of a display', mirrorMeter(seededRandom(107))], ['packed figures', packedMeter(seededRandom(204))]])('%s: is a reject, never a wrong figure', (_, meter) => {
    const [one, two, far] = meter.ranges['dc-voltage'] ?? []
    if (one === undefined || two === undefined || far === undefined) throw new Error('the meter has too few ranges')
    // Only two ranges of DC voltage and nothing else are taught: no minus, no third range, no other function, no prefix.
    const random = seededRandom(11)
    const digits = (): string => String(Math.floor(random() * meter.counts)).padStart(String(meter.counts - 1).length, '0')
    const examples = Array.from({ length: 34 }, (_, k) => {
      const range = k % 2 === 0 ? one : two
      const display: Display = { function: 'dc-voltage', range, digits: digits(), negative: false, overload: false }
      return exampleOf(meter, display, `${display.digits.slice(0, -range.decimals)}.${display.digits.slice(-range.decimals)}`)
    })
    const { description, left } = propose(examples, setupFor(meter), [], noClock)
    if (description === null) throw new Error('no description')
    expect(left.join(' ')).toContain('resistance was never seen')
    expect(left.join(' ')).toContain('Negative figures were never seen')
    const taught = readAll(meter, description, { function: 'dc-voltage', range: one, digits: digits(), negative: false, overload: false })
    expect(taught.length).toBeGreaterThan(0)
    const strange: Partial<Display>[] = [{ negative: true }, { range: far }, { function: 'resistance', range: meter.ranges.resistance?.[1] ?? one }, { function: 'diode' }, { overload: true }]
    for (const each of strange) {
      for (let k = 0; k < 20; k += 1) expect(readAll(meter, description, { function: 'dc-voltage', range: one, digits: digits(), negative: false, overload: false, ...each }), JSON.stringify(each)).toEqual([])
    }
  })
})

test('whatever the person says the meter cannot show is asked for no more, down to nothing', () => {
  const setup = setupFor(mirrorMeter(seededRandom(101)))
  const cannot: string[] = []
  let ask = propose([], setup, cannot, noClock).ask
  while (ask !== null && cannot.length < 60) {
    expect(cannot).not.toContain(ask.key)
    cannot.push(ask.key)
    ask = propose([], setup, cannot, noClock).ask
  }
  expect(ask).toBeNull()
})

test('frames without a pause and without a check value are said to be open to a wrong figure at a change', () => {
  const meter = mirrorMeter(seededRandom(105))
  expect(teachFrom(meter, 105, false).proposal.left.join(' ')).toContain('No pause was heard')
  expect(teachFrom(meter, 105, true).proposal.left.join(' ')).not.toContain('No pause was heard')
})

test('annunciators are found where they were typed, in a line and in a frame', () => {
  const lines = (text: string, flags: Shown['flags']): Example => ({ round: hexOfBytes(latin(`${text} V DV ${flags.includes('hold') ? 'H' : '-'}${flags.includes('auto-range') ? 'A' : '-'}\r\n`)), begins: true, shown: { ...volts(text), flags } })
  const frames = (text: string, flags: Shown['flags']): Example => {
    const count = Number(text.replace('.', ''))
    return { round: hexOfBytes(Uint8Array.of(0xaa, 0x51, (flags.includes('hold') ? 2 : 0) | (flags.includes('auto-range') ? 8 : 0), count >> 8, count & 0xff)), begins: true, shown: { ...volts(text), flags } }
  }
  for (const make of [lines, frames]) {
    const examples = [make('1.234', ['auto-range']), make('2.345', []), make('0.567', ['hold']), make('5.018', ['hold', 'auto-range']), make('4.444', ['auto-range']), make('3.999', [])]
    const setup = setupFor({ counts: 6000, ranges: { 'dc-voltage': [] }, about: '', encode: () => new Uint8Array(0) })
    const { description, because } = propose(examples, setup, [], noClock)
    if (description === null) throw new Error(because ?? 'no description')
    expect(Object.values(description.flags).sort()).toEqual(['auto-range', 'hold'])
    expect('description' in checkDescription(JSON.parse(JSON.stringify(description)), 'taught.json', () => performance.now())).toBe(true)
  }
})

test('the rows on the screen are lines cut at their end, with what differs from the last typed display marked', () => {
  const { examples } = teachFrom(lineMeter(seededRandom(4)), 4, true)
  const heard = Array.from({ length: 4 }, (_, k) => ({ at: k * 0.3, bytes: latin('+0.4711 V DV A\r\n') }))
  const last: Example = { round: hexOfBytes(latin('+0.4721 V DV A\r\n')), begins: true, shown: volts('0.4721') }
  const { rows, still } = heardRows(heard, { delimiter: '0d0a' }, [...examples, last], 64)
  expect(still).toBe(true)
  expect(rows.at(-1)?.map(({ text }) => text).join('')).toBe('+0.4711␣V␣DV␣A··')
  expect(rows.at(-1)?.flatMap(({ changed, text }) => (changed ? [text] : []))).toEqual(['1'])
})

test('a segment that every figure lights is never taken for a bit of the end mark', () => {
  // A first digit of 0 or 1 always lights b and c; only the overload turns them off, where no figure is shown.
  const lit: Record<string, number> = { 0: 0x3f, 1: 0x06, 2: 0x5b, 3: 0x4f, 4: 0x66, 5: 0x6d, 6: 0x7d, 7: 0x07, 8: 0x7f, 9: 0x6f, ' ': 0, L: 0x38 }
  const random = seededRandom(31)
  const encode = (text: string): Uint8Array => {
    const data = [...text].map((character, at) => (lit[character] ?? 0) | (at === 1 && text !== ' 0L ' ? 0x80 : 0))
    return Uint8Array.from([...data, data.reduce((sum, byte) => sum + byte, 0) & 0xff, 0x0d, 0x0a])
  }
  const figures = Array.from({ length: 60 }, () => String(Math.floor(random() * 2000)).padStart(4, '0'))
  const examples = [
    ...figures.map((text): Example => ({ round: hexOfBytes(encode(text)), begins: true, shown: volts(`${text[0]}.${text.slice(1)}`) })),
    { round: hexOfBytes(encode(' 0L ')), begins: true, shown: volts('OL') },
  ]
  const { description, because } = propose(examples, setupFor({ counts: 2000, ranges: { 'dc-voltage': [] }, about: '', encode: () => new Uint8Array(0) }), [], noClock)
  expect(because).toBeNull()
  expect(description?.framing).toMatchObject({ kind: 'frames', length: 7, end: '0d0a', check: { kind: 'sum', from: 0, to: 3, at: 4 } })
})

const withSum = (upper: boolean, separator: string): UnknownMeter => ({
  counts: 6000, ranges: { 'dc-voltage': [{ decimals: 3, mark: 'V' }], resistance: [{ decimals: 3, mark: 'kΩ' }, { decimals: 1, mark: 'Ω' }] }, about: 'line with the sum of its characters in hex',
  encode: ({ function: is, range, digits, negative, overload }) => {
    const figure = overload ? '   OL' : `${digits.slice(0, -range.decimals)}.${digits.slice(-range.decimals)}`
    const body = `${is === 'resistance' ? 'RES' : 'DCV'} ${negative ? '-' : '+'}${figure} ${range.mark.startsWith('k') ? 'k' : ' '}${is === 'resistance' ? 'R' : 'V'}${separator}`
    const sum = (latin(body).reduce((total, byte) => total + byte, 0) & 0xff).toString(16).padStart(2, '0')
    return latin(`${body}${upper ? sum.toUpperCase() : sum}\r\n`)
  },
})

test.each([[true, ' '], [true, ' *'], [false, ' '], [false, ',']])('the check digits of a line are taken with values that were never shown (upper case %s, after “%s”)', (upper, separator) => {
  expect(readOtherwise(withSum(upper, separator), 41, true)).toEqual([])
})
