/** What the desktop tells npm start, as one line of its output: that it is open, open already, or why it cannot be. */
import { z } from 'zod'

const report = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('ready') }),
  z.strictObject({ kind: z.literal('already-open') }),
  z.strictObject({ kind: z.literal('refused'), words: z.string() }),
])
export type DesktopReport = z.infer<typeof report>

const mark = 'probewright-desktop '

export const reportLine = (said: DesktopReport): string => `${mark}${JSON.stringify(said)}\n`

/** Null for any other line. */
export const readReport = (line: string): DesktopReport | null => {
  if (!line.startsWith(mark)) return null
  try {
    return report.parse(JSON.parse(line.slice(mark.length)))
  } catch {
    return null // not ours: passed on like any other line
  }
}
