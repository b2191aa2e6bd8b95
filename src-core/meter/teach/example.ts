/** One display, typed by the person at the meter, and what the meter sent while it stood still. */
import { z } from 'zod'
import { shown } from './shown'

export const example = z.strictObject({
  /** One round of the repeated bytes, hex. */
  round: z.string().regex(/^([0-9a-f]{2}){2,128}$/),
  /** A pause stood before the first byte. */
  begins: z.boolean(),
  shown,
})
export type Example = z.infer<typeof example>

export const bytesOfHex = (hex: string): Uint8Array => Uint8Array.from((hex.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16)))
export const hexOfBytes = (bytes: Uint8Array): string => Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')
