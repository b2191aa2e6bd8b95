/** Check values of a frame: sums, exclusive or, and cyclic redundancy checks given by their parameters. */
import { z } from 'zod'

/** Byte of a frame, from 0; negative counts from its end, −1 being the last. */
export const byteAt = z.number().int().min(-128).max(127)

const hexNumber = z.string().regex(/^([0-9a-f]{2}){1,2}$/, 'must be 1 or 2 bytes as lower-case hex, such as "8005"')

const covered = {
  /** First and last byte it is made over. */
  from: byteAt, to: byteAt,
  /** Where it stands in the frame. */
  at: byteAt,
  /** Of two bytes, which comes first. */
  order: z.enum(['high-first', 'low-first']).optional(),
  /** Sent as the bytes themselves, or as hexadecimal digits in ASCII. */
  sentAs: z.enum(['bytes', 'hex-digits']).optional(),
}
const width = z.union([z.literal(8), z.literal(16)])

export const checkValue = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('sum'), bits: width, initial: hexNumber.optional(), complement: z.enum(['none', 'ones', 'twos']).optional(), ...covered }),
  z.strictObject({ kind: z.literal('xor'), initial: hexNumber.optional(), ...covered }),
  /** Parameters as the catalogues of CRCs give them: polynomial without its highest bit. */
  z.strictObject({
    kind: z.literal('crc'), bits: width, polynomial: hexNumber, initial: hexNumber, reflectIn: z.boolean(), reflectOut: z.boolean(), finalXor: hexNumber, ...covered,
  }),
])
export type CheckValue = z.infer<typeof checkValue>

export const checkBits = (check: CheckValue): number => (check.kind === 'xor' ? 8 : check.bits)

/** Bytes it takes in the frame. */
export const checkBytes = (check: CheckValue): number => (checkBits(check) / 8) * (check.sentAs === 'hex-digits' ? 2 : 1)

const number = (hex: string | undefined): number => (hex === undefined ? 0 : Number.parseInt(hex, 16))

const reflected = (value: number, bits: number): number => {
  let turned = 0
  for (let bit = 0; bit < bits; bit += 1) if ((value >> bit) & 1) turned |= 1 << (bits - 1 - bit)
  return turned
}

type Over = (bytes: Uint8Array, from: number, to: number) => number

/** Register, table and bit order as in Ross Williams' parametrised model of a CRC (from memory), a byte at a time. */
const crcOver = ({ bits, polynomial, initial, reflectIn, reflectOut, finalXor }: Extract<CheckValue, { kind: 'crc' }>): Over => {
  const [poly, top, mask] = [number(polynomial), 1 << (bits - 1), 2 ** bits - 1]
  const table = Uint16Array.from({ length: 256 }, (_, byte) => {
    let rest = byte << (bits - 8)
    for (let bit = 0; bit < 8; bit += 1) rest = ((rest & top) === 0 ? rest << 1 : (rest << 1) ^ poly) & mask
    return rest
  })
  const fed = Uint8Array.from({ length: 256 }, (_, byte) => (reflectIn ? reflected(byte, 8) : byte))
  const [first, last] = [number(initial), number(finalXor)]
  return (bytes, from, to) => {
    let rest = first
    for (let at = from; at <= to; at += 1) {
      rest = ((rest << 8) & mask) ^ (table[(rest >> (bits - 8)) ^ (fed[bytes[at] ?? 0] ?? 0)] ?? 0)
    }
    return (reflectOut ? reflected(rest, bits) : rest) ^ last
  }
}

/** The check value over bytes from…to, both counted from 0 and included. */
export const checkOver = (check: CheckValue): Over => {
  switch (check.kind) {
    case 'crc': return crcOver(check)
    case 'xor': {
      const first = number(check.initial)
      return (bytes, from, to) => {
        let x = first
        for (let at = from; at <= to; at += 1) x ^= bytes[at] ?? 0
        return x
      }
    }
    case 'sum': {
      const [first, mask, complement] = [number(check.initial), 2 ** check.bits - 1, check.complement ?? 'none']
      return (bytes, from, to) => {
        let sum = first
        for (let at = from; at <= to; at += 1) sum += bytes[at] ?? 0
        return (complement === 'none' ? sum : complement === 'ones' ? ~sum : -sum) & mask
      }
    }
  }
}

const hexDigit = (byte: number): number =>
  byte >= 48 && byte <= 57 ? byte - 48 : byte >= 65 && byte <= 70 ? byte - 55 : byte >= 97 && byte <= 102 ? byte - 87 : -1

/** Whether a whole frame's check value is right. Positions outside the frame make it wrong. */
export const checkTester = (check: CheckValue): ((frame: Uint8Array) => boolean) => {
  const over = checkOver(check)
  const bytes = checkBits(check) / 8
  const sent = checkBytes(check)
  const lowFirst = check.order === 'low-first'
  const place = (at: number, length: number): number => (at < 0 ? length + at : at)
  const byteSent = check.sentAs === 'hex-digits'
    ? (frame: Uint8Array, at: number, index: number): number => {
        const [high, low] = [hexDigit(frame[at + 2 * index] ?? 0), hexDigit(frame[at + 2 * index + 1] ?? 0)]
        return high < 0 || low < 0 ? -1 : high * 16 + low
      }
    : (frame: Uint8Array, at: number, index: number): number => frame[at + index] ?? -1
  return (frame) => {
    const [from, to, at] = [place(check.from, frame.length), place(check.to, frame.length), place(check.at, frame.length)]
    if (from < 0 || to < from || to >= frame.length || at < 0 || at + sent > frame.length) return false
    const should = over(frame, from, to)
    if (bytes === 1) return byteSent(frame, at, 0) === should
    const [first, second] = [byteSent(frame, at, 0), byteSent(frame, at, 1)]
    return first >= 0 && second >= 0 && (lowFirst ? second * 256 + first : first * 256 + second) === should
  }
}
