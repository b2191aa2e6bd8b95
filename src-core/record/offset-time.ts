/** Local times with their offset from UTC, as a record writes them. The offset is passed in: core knows no place. */

const two = (figure: number): string => String(figure).padStart(2, '0')

/** "+01:00"; ahead of UTC is positive. */
const offsetWords = (minutes: number): string => `${minutes < 0 ? '-' : '+'}${two(Math.floor(Math.abs(minutes) / 60))}:${two(Math.abs(minutes) % 60)}`

/** Minutes that local time is ahead of UTC at a moment. */
export type OffsetAt = (utc: string) => number

/** "2026-03-14T08:10:00.000Z" at + 60 min as "2026-03-14T09:10:00.000+01:00". @throws RangeError when `utc` is no moment. */
export const withOffset = (utc: string, minutes: number): string =>
  `${new Date(Date.parse(utc) + minutes * 60_000).toISOString().slice(0, -1)}${offsetWords(minutes)}`

/** The day at the place. */
export const localDay = (utc: string, minutes: number): string => withOffset(utc, minutes).slice(0, 10)
