/** The bytes of one line: as hex for the record, and as the text a pattern reads. */

const pairs = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, '0'))

export type LineBytes = { hex: string; ascii: boolean }

/** Hex of a line given with one character a byte (Latin-1). Null when a character is no byte. */
export const lineBytes = (line: string): LineBytes | null => {
  let hex = ''
  let seen = 0
  for (let at = 0; at < line.length; at += 1) {
    const byte = line.charCodeAt(at)
    seen |= byte
    if (byte > 255) return null
    hex += pairs[byte]
  }
  return { hex, ascii: seen < 128 }
}

/** One character a byte. */
export const latin1 = (bytes: Uint8Array): string => {
  let text = ''
  for (const byte of bytes) text += String.fromCharCode(byte)
  return text
}

/** UTF-8 where the bytes are UTF-8 (a meter that sends Ω), otherwise Latin-1 (one that sends µ or ° as one byte). */
export const lineText = (line: string, { hex, ascii }: LineBytes): string => {
  if (ascii) return line
  try {
    return decodeURIComponent(hex.replace(/../g, '%$&'))
  } catch (error) {
    if (error instanceof URIError) return line
    throw error
  }
}
