/** Data bits, parity and stop bits: which of them are heard alike, and how bytes heard with one are read again as another. */
import type { PortSettings } from '../description'

export type LineFormat = Pick<PortSettings, 'dataBits' | 'parity' | 'stopBits'>

export const plainFormat: LineFormat = { dataBits: 8, parity: 'none', stopBits: 1 }

export const formatOf = ({ dataBits, parity, stopBits }: PortSettings): LineFormat => ({ dataBits, parity, stopBits })

/** "8 none 1" */
export const formatWords = ({ dataBits, parity, stopBits }: LineFormat): string => `${dataBits} ${parity} ${stopBits}`

/** Stop bits cannot be heard: a second one looks like a pause. */
export const soundsAlike = (one: LineFormat, other: LineFormat): boolean => one.dataBits === other.dataBits && one.parity === other.parity

/**
 * What the port is set to so that it hears this format. Seven bits and a parity bit are as many as eight bits without:
 * those are all heard at eight, and the parity is tested afterwards. Mark parity is one more stop bit; few systems know it or space parity.
 */
export const heardWith = (format: LineFormat): LineFormat => {
  const { dataBits, parity, stopBits } = format
  if (dataBits === 8 && parity !== 'even' && parity !== 'odd') return plainFormat
  if (dataBits === 7 && (parity !== 'none' || stopBits === 2)) return plainFormat
  return format
}

/** Whether an even number of the byte's bits is set. */
const isEven = (byte: number): boolean => {
  let folded = byte ^ (byte >> 4)
  folded ^= folded >> 2
  folded ^= folded >> 1
  return (folded & 1) === 0
}

/** From a byte as the port heard it to the byte of this format, or null where its parity bit is wrong. */
export const readAgain = (format: LineFormat, heard: LineFormat): ((byte: number) => number | null) => {
  if (soundsAlike(format, heard) || format.dataBits !== 7) return (byte) => byte
  const holds: Record<LineFormat['parity'], (byte: number) => boolean> = {
    even: isEven, odd: (byte) => !isEven(byte), space: (byte) => byte < 128, mark: (byte) => byte >= 128, none: (byte) => byte >= 128,
  }
  const rightParity = holds[format.parity]
  return (byte) => (rightParity(byte) ? byte & 127 : null)
}

const sevenEven: LineFormat = { dataBits: 7, parity: 'even', stopBits: 1 }
const sevenOdd: LineFormat = { dataBits: 7, parity: 'odd', stopBits: 1 }

/** As what a listening of this format may be read for a description of its own format, that one first; none where it cannot be heard so. */
export const readingsOf = (own: LineFormat, heard: LineFormat): LineFormat[] => {
  const plain = soundsAlike(heard, plainFormat)
  if (!plain) return soundsAlike(heardWith(own), heard) ? [own] : []
  const formats = soundsAlike(heardWith(own), plainFormat) ? [own] : []
  for (const each of [plainFormat, sevenEven, sevenOdd]) if (!formats.some((known) => soundsAlike(known, each))) formats.push(each)
  return formats
}
