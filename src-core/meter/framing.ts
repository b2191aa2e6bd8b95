/** Framing: how the bytes of a meter are cut into frames, and which bits of a frame say what. Part of the meter description. */
import { z } from 'zod'
import { byteAt, checkValue } from './check-value'

const hexBytes = z.string().regex(/^([0-9a-f]{2}){1,4}$/, 'must be 1 to 4 bytes as lower-case hex, such as "0d0a"')
const hexByte = z.string().regex(/^[0-9a-f]{2}$/, 'must be one byte as lower-case hex, such as "7f"')
const hexMessage = z.string().regex(/^([0-9a-f]{2}){1,64}$/, 'must be 1 to 64 bytes as lower-case hex')

/** "3.7": bit 7 (the highest) of byte 3, bytes from 0; "-1.0": the lowest bit of the last byte. */
const bitAt = z.string().regex(/^(0|-?[1-9]\d{0,2})\.[0-7]$/, 'must be byte and bit, such as "3.7"').describe('Byte and bit: "3.7" is the highest bit of byte 3, bytes from 0; "-1.0" the lowest bit of the last byte.')
/** All of these bits as given. */
const bitsAre = z.record(bitAt, z.union([z.literal(0), z.literal(1)])).refine((bits) => Object.keys(bits).length > 0, 'needs at least one bit')
export type BitsAre = z.infer<typeof bitsAre>

const rule = z.strictObject({ when: bitsAre, text: z.string().max(20) })
export type Rule = z.infer<typeof rule>

/** A text that stands in the frame; what it means is looked up where a line's would be. */
const textField = z.discriminatedUnion('kind', [
  /** Exactly one rule must hold, or none where `otherwise` is given. */
  z.strictObject({ kind: z.literal('rules'), rules: z.array(rule).min(1).max(64), otherwise: z.string().max(20).optional() }),
  /** The byte, after the mask, as hex. */
  z.strictObject({ kind: z.literal('code'), byte: byteAt, mask: hexByte.optional(), texts: z.record(hexByte, z.string().max(20)) }),
  z.strictObject({ kind: z.literal('ascii'), from: byteAt, to: byteAt }),
  z.strictObject({ kind: z.literal('constant'), text: z.string().max(20) }),
])
export type TextField = z.infer<typeof textField>

const order = z.enum(['high-first', 'low-first'])
const segmentPlaces = z.strictObject({ a: bitAt, b: bitAt, c: bitAt, d: bitAt, e: bitAt, f: bitAt, g: bitAt })
export type SegmentPlaces = z.infer<typeof segmentPlaces>

const shownAs = {
  negative: bitsAre.describe('Negative when all these bits are as given.').optional(),
  decimals: textField.describe('How many digits follow the point: a text "0" to "9". Left out: the figure has no point, or holds it.').optional(),
  overloadWhen: z.array(bitsAre).max(8).describe('Out of range when any of these holds; the sign applies.').optional(),
}

const valueField = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('ascii'), from: byteAt, to: byteAt, ...shownAs }),
  /** One digit a nibble, the first the most significant; a nibble above nine is the character `others` gives it. */
  z.strictObject({
    kind: z.literal('bcd'), digits: z.array(z.strictObject({ byte: byteAt, nibble: z.enum(['high', 'low']) })).min(1).max(12),
    others: z.record(z.string().regex(/^[a-f]$/, 'must be one hex digit above nine, such as "a"'), z.string().length(1)).optional(), ...shownAs,
  }),
  /**
   * Seven-segment digits from left to right; `map` gives the character for the segments that are on, in alphabetical
   * order: "bc" is mostly 1, "" a blank. A digit that is not in the map is a reject.
   */
  z.strictObject({
    kind: z.literal('segments'), digits: z.array(segmentPlaces).min(1).max(12),
    map: z.record(z.string().regex(/^a?b?c?d?e?f?g?$/, 'must be segments in alphabetical order, such as "bc"'), z.string().length(1))
      .describe('The character for the segments that are on, in alphabetical order: "bc" is mostly 1, "" a blank.'), ...shownAs,
  }),
  z.strictObject({
    kind: z.literal('integer'), byte: byteAt, bytes: z.number().int().min(1).max(4), order, signed: z.boolean(),
    overload: z.array(z.number().int()).max(8).describe('Values that stand for out of range.').optional(), negativeOverload: z.array(z.number().int()).max(8).optional(), ...shownAs,
  }),
  /** IEEE 754, binary32 or binary64; `decimals` says what one count is, infinity is out of range. */
  z.strictObject({ kind: z.literal('float'), byte: byteAt, bytes: z.union([z.literal(4), z.literal(8)]), order, ...shownAs }),
])
export type ValueField = z.infer<typeof valueField>

const frameFields = z.strictObject({
  function: textField, value: valueField, prefix: textField.optional(), unit: textField.optional(), range: textField.optional(),
  flags: z.array(rule).max(32).describe('Every rule that holds adds its letters, looked up in "flags".').optional(),
})
export type FrameFields = z.infer<typeof frameFields>

/** The app asks for each frame. */
const poll = z.strictObject({
  send: hexMessage.describe('What asks the meter for one frame.'), everySeconds: z.number().min(0.02).max(60),
  /** No whole answer within this: asked again, `retries` times before the meter counts as silent. */
  timeoutSeconds: z.number().min(0.05).max(30), retries: z.number().int().min(0).max(10),
})
export type Poll = z.infer<typeof poll>

const inEveryFrame = {
  fixed: bitsAre.describe('Bits that are the same in every frame.').optional(), check: checkValue.optional(), poll: poll.optional(), fields: frameFields,
}
const longest = 128

export const lineFraming = z.strictObject({
  kind: z.literal('lines').describe('Text lines, read by "pattern".'), delimiter: hexBytes, maxBytes: z.number().int().min(4).max(longest), poll: poll.optional(),
})
export type LineFraming = z.infer<typeof lineFraming>

/** Every frame has the same length. */
const fixedFrames = z.strictObject({
  kind: z.literal('frames').describe('Every frame has the same length.'), length: z.number().int().min(2).max(longest), start: hexBytes.optional(), end: hexBytes.optional(), ...inEveryFrame,
})
/** A byte says how long the frame is: the whole of it has that many bytes and `plus`. */
const countedFrames = z.strictObject({
  kind: z.literal('counted-frames').describe('The byte at "countAt" says how long the frame is: the whole of it has that many bytes and "plus".'), start: hexBytes, countAt: z.number().int().min(0).max(16), plus: z.number().int().min(-16).max(longest),
  maxBytes: z.number().int().min(3).max(longest), ...inEveryFrame,
})
/** From a start to an end, neither of which occurs between them: a second start before the end means that the first frame was cut off. */
const delimitedFrames = z.strictObject({
  kind: z.literal('delimited-frames').describe('From a start to an end, neither of which occurs between them.'), start: hexBytes, end: hexBytes, maxBytes: z.number().int().min(3).max(longest), ...inEveryFrame,
})
/** The high nibble of each byte counts the bytes of a frame, the low nibble holds the data: the picture of a display. */
const indexedFrames = z.strictObject({
  kind: z.literal('indexed-frames').describe('The high nibble of each byte counts the bytes of a frame, the low nibble holds the data: the picture of a display.'), length: z.number().int().min(2).max(16), firstIndex: z.number().int().min(0).max(15), ...inEveryFrame,
}).refine(({ length, firstIndex }) => firstIndex + length <= 16, { path: ['firstIndex'], error: 'and "length" together may be at most 16, for the index goes up to 15' })

export type FrameFraming = z.infer<typeof fixedFrames> | z.infer<typeof countedFrames> | z.infer<typeof delimitedFrames> | z.infer<typeof indexedFrames>

/** IEEE 488.2 messages with the commands of SCPI-1999, which the app knows by itself; "functions" are named as SENSe:FUNCtion names them. */
export const scpiFraming = z.strictObject({
  kind: z.literal('scpi').describe('Asked in SCPI; "functions" are named as SENSe:FUNCtion names them.'), delimiter: hexBytes, maxBytes: z.number().int().min(16).max(longest),
  everySeconds: z.number().min(0.02).max(60), timeoutSeconds: z.number().min(0.1).max(60), retries: z.number().int().min(0).max(10),
})
export type ScpiFraming = z.infer<typeof scpiFraming>

export const framing = z.discriminatedUnion('kind', [lineFraming, fixedFrames, countedFrames, delimitedFrames, indexedFrames, scpiFraming])
export type Framing = z.infer<typeof framing>

export const isFrames = (each: Framing): each is FrameFraming => each.kind !== 'lines' && each.kind !== 'scpi'

/** @throws RangeError for a meter that sends no lines. */
export const linesOf = ({ name, framing: each }: { name: string; framing: Framing }): LineFraming => {
  if (each.kind !== 'lines') throw new RangeError(`“${name}” does not send lines.`)
  return each
}
