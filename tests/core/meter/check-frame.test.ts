import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { checkDescription } from '../../../src-core/meter/check'
import { fixture } from './heard'

type Json = Record<string, unknown>
type Description = Json & { framing: Json & { fields: Json & { value: Json; function: Json }; check: Json }; functions: Json }
const read = (name: string): Description => JSON.parse(readFileSync(fixture(`meters/${name}.json`), 'utf8')) as Description

const messages = (json: unknown): string[] => {
  const checked = checkDescription(json, 'mine.json', () => 0)
  return 'problems' in checked ? checked.problems.map(({ message }) => message) : []
}

/** The description with its framing, its fields or its value changed; undefined takes a key out. */
const changed = (name: string, { top = {}, framing = {}, fields = {}, value = {} }: { top?: Json; framing?: Json; fields?: Json; value?: Json }): unknown => {
  const whole = read(name)
  const made = { ...whole, ...top, framing: { ...whole.framing, ...framing, fields: { ...whole.framing.fields, value: { ...whole.framing.fields.value, ...value }, ...fields } } }
  return JSON.parse(JSON.stringify(made))
}
const c = 'packed-meter-c'
const d = 'mirror-meter-d'
const e = 'polled-meter-e'

describe('a sound description of frames', () => {
  it.each([c, d, e])('%s is taken', (name) => expect(messages(read(name))).toEqual([]))
})

describe('a description of frames that cannot work is told so', () => {
  const check = read(c).framing.check
  const wrong: [string, unknown, string][] = [
    ['a place after the last byte', changed(c, { value: { negative: { '10.0': 1 } } }),
      '"framing.fields.value.negative.10.0" lies outside the frame of 10 bytes; bytes count from 0, and from −1 backwards.'],
    ['a place before the first byte', changed(c, { framing: { fixed: { '-11.0': 1 } } }),
      '"framing.fixed.-11.0" lies outside the frame of 10 bytes; bytes count from 0, and from −1 backwards.'],
    ['a text that ends before it begins', changed(c, { top: { prefixes: {} }, fields: { prefix: { kind: 'ascii', from: 5, to: 4 } } }),
      '"framing.fields.prefix" ends before it begins, or runs over the end of the frame.'],
    ['a number that runs over the end', changed(e, { value: { byte: -1 } }),
      '"framing.fields.value.byte" ends before it begins, or runs over the end of the frame.'],
    ['a field on the end mark', changed(c, { value: { negative: { '9.0': 1 } } }),
      '"framing" needs frames of at least 11 bytes for its fields between the start and the end, and allows 10; a field lies on the start, the check value or the end, or the length is wrong.'],
    ['a count in the start', changed(e, { framing: { countAt: 1 } }),
      '"framing.countAt" lies in "framing.start"; it is the byte that says how long the frame is, counted from 0.'],
    ['a bit of the index', changed(d, { value: { negative: { '7.5': 1 } } }),
      '"7.5" is a bit of the index that counts the bytes; bits 0 to 3 of each byte hold the display.'],
    ['a digit in the index', changed(d, { fields: { value: { kind: 'bcd', digits: [{ byte: 0, nibble: 'low' }, { byte: 1, nibble: 'high' }], others: { a: 'L' } } }, top: { overload: ['LL'] } }),
      '"framing.fields.value.digits.1" is the index that counts the bytes; the digits are in the low nibbles.'],
    ['a start of eight bits too wide', changed(c, { framing: { check: { ...check, initial: '005b' } } }),
      '"framing.check.initial" must have 2 hex digits for a check value of 8 bits; it is "005b".'],
    ['a polynomial too short', changed(e, { framing: { check: { ...read(e).framing.check, polynomial: 'b7' } } }),
      '"framing.check.polynomial" must have 4 hex digits for a check value of 16 bits; it is "b7".'],
    ['a check value over itself', changed(c, { framing: { check: { ...check, to: 8 } } }),
      '"framing.check" is made over its own place; let "from" and "to" leave out the bytes from "at" on.'],
    ['a check value over itself, counted from the end', changed(e, { framing: { check: { ...read(e).framing.check, to: -2 } } }),
      '"framing.check" is made over its own place; let "from" and "to" leave out the bytes from "at" on.'],
    ['a check value on the end', changed(c, { framing: { check: { ...check, to: 8, at: 9 } } }),
      '"framing.check.at" puts the check value on "framing.end", whose bytes are always the same; it stands before the end.'],
    ['a check value on the end, counted from the end', changed(c, { framing: { check: { ...check, to: -2, at: -1, from: -9 } } }),
      '"framing.check.at" puts the check value on "framing.end", whose bytes are always the same; it stands before the end.'],
    ['a check value on the start', changed(c, { framing: { check: { ...check, at: 0 } } }),
      '"framing.check.at" puts the check value on "framing.start", whose bytes are always the same; it stands after the start.'],
    ['a check value that the end of a short frame would lie on', changed(c, { framing: { kind: 'delimited-frames', length: undefined, maxBytes: 9 } }),
      '"framing" needs frames of at least 10 bytes for its fields between the start and the end, and allows 9; a field lies on the start, the check value or the end, or the length is wrong.'],
    ['frames without any mark', changed(c, { framing: { start: undefined, end: undefined, check: undefined } }),
      '"framing" has nothing to tell a frame from noise: give "start", "end", "check" or at least eight bits in "fixed".'],
    ['an answer that need not be whole', changed(e, { framing: { check: undefined } }),
      '"framing" has nothing to tell whether an answer is whole: give "check", or at least eight bits in "end" and "fixed".'],
    ['a function that is not there', changed(c, { fields: { function: { kind: 'code', byte: 1, mask: 'f0', texts: { ...(read(c).framing.fields.function.texts as Json), d0: 'henries' } } } }),
      '"framing.fields.function" gives "henries", which is not in "functions"; add it there, or correct it here.'],
    ['a prefix nobody gives', changed(c, { top: { prefixes: { ...(read(c).prefixes as Json), G: 1e9 } } }),
      '"prefixes.G" can never be met: "framing.fields.prefix" never gives it.'],
    ['prefixes without a field', changed(d, { fields: { prefix: undefined } }), '"prefixes" is never used: "framing.fields" has no "prefix".'],
    ['a unit that is none', changed(c, { fields: { unit: { kind: 'constant', text: 'furlong' } } }),
      '"framing.fields.unit" gives "furlong", which is not in "units"; add it there, or correct it here.'],
    ['a flag that is not there', changed(c, { fields: { flags: [...(read(c).framing.fields.flags as Json[]), { when: { '6.7': 1 }, text: 'Q' }] } }),
      '"framing.fields.flags" gives "Q", which is not in "flags"; add it there, or correct it here.'],
    ['a flag nobody gives', changed(c, { top: { flags: { ...(read(c).flags as Json), P: 'peak' } } }), '"flags.P" can never be met: "framing.fields.flags" never gives it.'],
    ['an overload no digit shows', changed(d, { top: { overload: ['0L', 'Hi'] } }), '"overload.Hi" can never be met: "framing.fields.value" never shows it.'],
    ['no overload at all', changed(d, { top: { overload: [] } }),
      'Nothing says how the meter shows that it is out of range: give "overload" the digits it shows then, such as ["0L"], or "framing.fields.value.overloadWhen" the bits.'],
    ['a temperature without its unit', changed(c, { top: { functions: { ...read(c).functions, farads: { is: 'temperature', counts: 4000, lowestRange: 400 } } } }),
      '"functions.farads" is a temperature, and "framing.fields" has no "unit" to tell °C from K.'],
    ['decimals that are no digit', changed(c, { value: { decimals: { kind: 'constant', text: '.2' } } }),
      '"framing.fields.value.decimals" gives ".2"; it must be how many digits follow the point, "0" to "9".'],
    ['a map without a seven', changed(d, { value: { map: Object.fromEntries(Object.entries(read(d).framing.fields.value.map as Json).filter(([, shown]) => shown !== '7')) } }),
      '"framing.fields.value.map" has no segments for 7; without them a display with that digit is never read.'],
    ['a code outside its mask', changed(c, { value: { decimals: { kind: 'code', byte: 5, mask: '07', texts: { '00': '0', '09': '1' } } } }),
      '"framing.fields.value.decimals.texts.09" can never be met: it has bits that the mask "07" takes away.'],
    ['a prefix that is no power of ten', changed(c, { top: { prefixes: { ...(read(c).prefixes as Json), k: 1024 } } }),
      '"prefixes.k" must be a power of ten, such as 1e3 or 1e-6; it is 1024.'],
    ['a pattern for frames', changed(c, { top: { pattern: '^x$' } }), '"pattern" reads lines, and "framing.kind" is "frames"; take it out.'],
    ['a bit in words', changed(c, { framing: { fixed: { 'byte 7': 1 } } }), '"framing.fixed.byte 7" is a key that must be byte and bit, such as "3.7".'],
    ['indices above 15', changed(d, { framing: { firstIndex: 4 } }), '"framing.firstIndex" and "length" together may be at most 16, for the index goes up to 15; it is 4.'],
  ]
  it.each(wrong)('%s', (_what, json, message) => expect(messages(json)).toEqual([message]))

  it('a length that leaves nothing between start and end', () => {
    expect(messages(changed(c, { framing: { length: 2 } }))).toContain('"framing.length" leaves nothing between "start" and "end"; it counts every byte of a frame, these too.')
  })

  it('a function of SCPI that is none, or another', () => {
    expect(messages({ ...read('scpi-meter'), functions: { VOLTS: { is: 'dc-voltage', counts: 12000, lowestRange: 1 } } }))
      .toEqual(['"functions.VOLTS" is no function of SCPI known here; the names are VOLT, VOLT:AC, RES, CONT, DIOD, CAP, FREQ, TEMP, CURR, CURR:AC.'])
    expect(messages({ ...read('scpi-meter'), functions: { RES: { is: 'diode', counts: 12000, lowestRange: 1 } } }))
      .toEqual(['"functions.RES.is" must be "resistance": that is what RES measures.'])
  })
})
