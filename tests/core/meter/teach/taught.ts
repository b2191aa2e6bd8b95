/** A person who knows nothing of bytes: shows what the app asks for, types what the display shows, and says so when there is no such display. */
import { seededRandom, type Random } from '../../../../src-core/circuit/seeded-random'
import type { MeterFunction } from '../../../../src-core/meter/reading'
import { hexOfBytes, type Example } from '../../../../src-core/meter/teach/example'
import { propose, type Proposal } from '../../../../src-core/meter/teach/propose'
import type { TeachSetup } from '../../../../src-core/meter/teach/setup'
import { lastRound } from '../../../../src-core/meter/teach/still-bytes'
import { digitsOn, pick, shownText, type Display, type Range, type UnknownMeter } from './unknown-meters'

const mostDisplays = 90

export const setupFor = (meter: UnknownMeter, name = 'Bench meter of the test'): TeachSetup => ({
  name, counts: meter.counts, functions: Object.keys(meter.ranges) as MeterFunction[], port: { baud: 2400, dataBits: 8, parity: 'none', stopBits: 1 },
})

export const randomDigits = (random: Random, counts: number): string => String(Math.floor(random() * counts)).padStart(String(counts - 1).length, '0')

/** The bytes as a system passes them on: in pieces, with a pause between frames where the meter makes one. */
export const heardOf = (bytes: Uint8Array, times: number, random: Random, pauses: boolean): { at: number; bytes: Uint8Array }[] => {
  if (pauses) return Array.from({ length: times }, (_, k) => ({ at: k * 0.3 + random() * 0.004, bytes }))
  const all = Uint8Array.from(Array.from({ length: times }, () => [...bytes]).flat())
  const heard: { at: number; bytes: Uint8Array }[] = []
  for (let from = Math.floor(random() * bytes.length), at = 0; from < all.length; at += 0.01) {
    const to = from + 1 + Math.floor(random() * 12)
    heard.push({ at, bytes: all.slice(from, to) })
    from = to
  }
  return heard
}

export const teachFrom = (meter: UnknownMeter, seed: number, pauses: boolean): { proposal: Proposal; examples: Example[] } => {
  const random = seededRandom(seed)
  const setup = setupFor(meter)
  const examples: Example[] = []
  const cannot: string[] = []
  const current = new Map<MeterFunction, number>()
  const rangeOf = (is: MeterFunction): Range => meter.ranges[is]?.[current.get(is) ?? 0] ?? { decimals: 0, mark: '' }
  let proposal = propose(examples, setup, cannot, () => 0)
  while (proposal.ask !== null && examples.length < mostDisplays) {
    const { ask } = proposal
    const is = ask.function
    let display: Display | null = null
    if (ask.kind === 'range') {
      const next = (current.get(is) ?? 0) + 1
      if (next >= (meter.ranges[is]?.length ?? 0)) cannot.push(ask.key)
      else {
        current.set(is, next)
        display = { function: is, range: rangeOf(is), digits: digitsOn(meter, ask.suggestion, rangeOf(is).decimals), negative: false, overload: false }
      }
    } else {
      const digits = digitsOn(meter, ask.suggestion.replace(/[-.]/g, ''), rangeOf(is).decimals)
      display = { function: is, range: rangeOf(is), digits: ask.kind === 'overload' ? '0' : digits, negative: ask.suggestion.startsWith('-'), overload: ask.kind === 'overload' }
    }
    if (display !== null) {
      const round = lastRound(heardOf(meter.encode(display), 6, random, pauses))
      if (round === null) throw new Error('the bytes never repeat')
      examples.push({ round: hexOfBytes(round.bytes), begins: round.begins, shown: { function: is, text: shownText(display), mark: display.range.mark, flags: [] } })
    }
    proposal = propose(examples, setup, cannot, () => 0)
  }
  return { proposal, examples }
}

export const randomDisplay = (meter: UnknownMeter, random: Random): Display => {
  const is = pick(random, Object.keys(meter.ranges) as MeterFunction[])
  const range = pick(random, meter.ranges[is] ?? [])
  return {
    function: is, range, digits: digitsOn(meter, randomDigits(random, meter.counts), range.decimals), negative: is === 'dc-voltage' && random() < 0.4,
    overload: (is === 'resistance' || is === 'diode') && random() < 0.1,
  }
}
