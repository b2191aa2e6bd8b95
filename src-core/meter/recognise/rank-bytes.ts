/** Which descriptions fit bytes that were recorded: all of them are judged, and ranked. */
import { seconds } from '../../quantity/units'
import type { MeterDescription } from '../description'
import { confidenceOf, type Candidate, type Recognised } from './confidence'
import { openJudge } from './judge'
import { formatOf, plainFormat, readingsOf, soundsAlike } from './line-format'
import { asRecognised, foundWords, isPrintable, ranked } from './outcome'
import { speedsFor } from './places'
import { speedHints } from './speed-hint'

export type RankedBytes = { found: Recognised[]; words: string }

const shareOf = (bytes: Uint8Array, holds: (byte: number) => boolean): number => bytes.reduce((count, byte) => count + Number(holds(byte)), 0) / bytes.length

const noneFits = (bytes: Uint8Array, descriptions: readonly MeterDescription[], baud: number | null): string => {
  if (bytes.length === 0) return 'There are no bytes.'
  const looks = shareOf(bytes, isPrintable) >= 0.9 ? 'They look like text.' : 'They do not look like text.'
  const counts = new Uint32Array(256)
  for (const byte of bytes) counts[byte] = (counts[byte] ?? 0) + 1
  const hint = baud === null ? null : speedHints(baud, speedsFor(descriptions))(counts, bytes.length, 0)
  const slower = hint?.kind === 'slower' ? ` They look as if they were sent at ${hint.speeds[0]} baud: record them at that speed.` : ''
  return `No description fits these ${bytes.length} bytes. ${looks}${slower}`
}

/** @param baud at which they were recorded; null: each description's own is taken for right. */
export const rankBytes = (bytes: Uint8Array, descriptions: readonly MeterDescription[], baud: number | null): RankedBytes => {
  const candidates = descriptions.filter(({ framing }) => framing.kind !== 'scpi').flatMap((description): Candidate[] => {
    const own = formatOf(description.port)
    const formats = [own, ...readingsOf(own, plainFormat).filter((each) => !soundsAlike(each, own))]
    const { dtr, rts } = description.port
    const lines = { ...(dtr === undefined ? {} : { dtr }), ...(rts === undefined ? {} : { rts }) }
    // Recorded with their own line format, the bytes are data alone; or all eight bits were recorded.
    const asRecorded = [{ format: own, heard: own }, ...formats.map((format) => ({ format, heard: plainFormat }))]
    return asRecorded.flatMap(({ format, heard }) => {
      const judge = openJudge(description, format, heard)
      judge.hear(bytes, seconds(0))
      const score = judge.score()
      const level = confidenceOf(score)
      return level === null ? [] : [{
        description: description.name, settings: { baud: baud ?? description.port.baud, ...format, ...lines }, confidence: level, score, own: soundsAlike(format, own),
      }]
    })
  })
  const found = ranked(candidates).map(asRecognised)
  return { found, words: found.length > 0 ? foundWords(found) : noneFits(bytes, descriptions, baud) }
}
