/** A screen's message as it travels, in either host: JSON text of a bounded size. */

export const largestMessage = 256 * 1024

/** The message in the text, or null where it is not JSON: the dispatcher answers null with a sentence. */
export const messageFrom = (text: string): unknown => {
  try {
    return JSON.parse(text)
  } catch {
    return null // said by the dispatcher
  }
}
