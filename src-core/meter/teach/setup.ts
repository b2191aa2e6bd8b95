/** What is known of the meter before any display is typed: its name, its port, its functions and how far its display counts. */
import { z } from 'zod'
import { portSettings } from '../description'
import { meterFunction } from '../reading'

export const teachSetup = z.strictObject({
  name: z.string().min(1).max(80),
  port: portSettings,
  /** Functions that are to be taught. */
  functions: z.array(meterFunction).min(1).max(11),
  /** Largest figure the display shows, such as 6000. */
  counts: z.number().int().min(100).max(10_000_000),
})
export type TeachSetup = z.infer<typeof teachSetup>

/** The display counts to one less than it is called: 6000 counts have four digits. */
export const digitsOf = (counts: number): number => String(counts - 1).length
export const largestFirstDigit = (counts: number): number => Number(String(counts - 1)[0])
