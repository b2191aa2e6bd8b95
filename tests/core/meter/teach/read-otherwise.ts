/** Teaches a meter from its displays, then shows it others: what was read otherwise than shown. */
import { seededRandom } from '../../../../src-core/circuit/seeded-random'
import { seconds } from '../../../../src-core/quantity/units'
import type { Reading } from '../../../../src-core/meter/reading'
import { openStream } from '../../../../src-main/service/link/open-stream'
import { shownText, type Display, type UnknownMeter } from './unknown-meters'
import { randomDisplay, teachFrom } from './taught'

const displays = 200
const frames = 8
const factors: Record<string, number> = { n: 1e-9, µ: 1e-6, m: 1e-3, k: 1e3, M: 1e6 }

const valueOf = (display: Display): Reading['value'] => {
  if (display.overload) return display.negative ? 'negative-overload' : 'overload'
  const { mark } = display.range
  return Number(shownText(display)) * (mark.length > 1 ? factors[mark[0] ?? ''] ?? 1 : 1)
}

/** At most three of them, each with the seed and the layout. */
export const readOtherwise = (meter: UnknownMeter, seed: number, pauses: boolean): string[] => {
  const { proposal, examples } = teachFrom(meter, seed, pauses)
  if (proposal.ask !== null || proposal.description === null) return [`seed ${seed} ${meter.about}: after ${examples.length} displays: ${proposal.because ?? proposal.ask?.words}`]
  const random = seededRandom(seed + 77)
  let last: Reading | null
  const stream = openStream(proposal.description, { reading: (reading) => { last = reading }, reject: () => undefined })
  const faults: string[] = []
  for (let k = 0; k < displays; k += 1) {
    const display = randomDisplay(meter, random)
    last = null
    const bytes = meter.encode(display)
    // A second or two of one display: without pauses it takes some frames to find where one begins.
    for (let frame = 0; frame < frames; frame += 1) stream.feed(bytes, seconds(k))
    const read = last as Reading | null
    const value = valueOf(display)
    const same = read !== null && read.function === display.function && (typeof value === 'string' ? read.value === value
      : typeof read.value === 'number' && Math.abs(read.value - value) <= Math.abs(value) * 1e-9)
    if (!same) faults.push(`seed ${seed} ${meter.about}: ${display.function} ${shownText(display)} ${display.range.mark} read as ${read === null ? 'nothing' : `${read.function} ${read.value}`}`)
  }
  stream.close()
  return faults.slice(0, 3)
}
