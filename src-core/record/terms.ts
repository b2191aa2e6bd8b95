/** Terms that the parts of a record share: words, days, moments, hashes, and the link to another record. */
import { z } from 'zod'
import { oneLine, plainPattern } from '../quantity/printable'

/** A name, a title, a place: one line. As long as a board file may say where a tip goes. */
export const words = oneLine(300)
export const text = z.string().max(20_000).regex(plainPattern, 'must not hold control characters')
/** A calendar day. */
export const day = z.iso.date()
/** Local time at the place of the test with its offset from UTC. */
export const moment = z.iso.datetime({ offset: true })
export const sha256 = z.string().regex(/^[0-9a-f]{64}$/)

/** One record, named by another. */
export const link = z.strictObject({ number: z.string().max(40), sha256 })
export type RecordLink = z.infer<typeof link>
