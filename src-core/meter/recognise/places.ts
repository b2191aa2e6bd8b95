/** Where to listen: speeds and line formats, those that descriptions name first, in an order that what was heard changes. */
import type { MeterDescription } from '../description'
import { formatOf, heardWith, plainFormat, soundsAlike, type LineFormat } from './line-format'
import type { SpeedHint } from './speed-hint'

export type Place = { baud: number; format: LineFormat }

/** Speeds that meters are built with, the commonest first (common practice, no source). */
export const usualSpeeds = [9600, 2400, 1200, 19200, 4800, 38400, 115200, 600, 57600]

export const samePlace = (one: Place, other: Place): boolean => one.baud === other.baud && soundsAlike(one.format, other.format)

const without = <T>(all: readonly T[], same: (one: T, other: T) => boolean): T[] =>
  all.filter((each, index) => all.findIndex((other) => same(each, other)) === index)

export const speedsFor = (descriptions: readonly MeterDescription[]): number[] => [...new Set([...descriptions.map(({ port }) => port.baud), ...usualSpeeds])]

/** What descriptions name, then every speed with every line format that they need. */
export const placesFor = (descriptions: readonly MeterDescription[], heard: (format: LineFormat) => LineFormat = heardWith): Place[] => {
  const described = descriptions.map(({ port }) => ({ baud: port.baud, format: heard(formatOf(port)) }))
  const needed = without([...(heard === heardWith ? [plainFormat] : []), ...described.map(({ format }) => format)], soundsAlike)
  const others = speedsFor(descriptions).flatMap((baud) => needed.map((format) => ({ baud, format })))
  return without([...described, ...others], samePlace)
}

/** The places still to come, those first that the bytes just heard point to. Nothing is left out: a hint may be wrong. */
export const ordered = (pending: readonly Place[], heardAt: number, hint: SpeedHint): Place[] => {
  const rank = ({ baud }: Place): number => {
    switch (hint.kind) {
      case 'none': return 0
      case 'not-slower': return baud < heardAt ? 1 : 0
      // The fastest first: heard there, any slower one gives its speed away.
      case 'faster': return baud > heardAt ? -baud : 0
      case 'slower': {
        const at = hint.speeds.indexOf(baud)
        return at < 0 ? hint.speeds.length : at
      }
    }
  }
  return [...pending].sort((one, other) => rank(one) - rank(other))
}

/** States of the control lines that descriptions ask for: a cable may get its power from them. */
export type ControlLines = { dtr?: boolean; rts?: boolean }

export const linesFor = (descriptions: readonly MeterDescription[]): ControlLines[] =>
  without(descriptions.map(({ port: { dtr, rts } }) => ({ ...(dtr === undefined ? {} : { dtr }), ...(rts === undefined ? {} : { rts }) })),
    (one, other) => one.dtr === other.dtr && one.rts === other.rts)
