/** A message as it travels: JSON text in either host. */

/** The message, or null where it is not JSON: the connection counts that as one that made no sense. */
export const messageFrom = (data: unknown): unknown => {
  if (typeof data !== 'string') return null
  try {
    return JSON.parse(data)
  } catch {
    return null
  }
}
