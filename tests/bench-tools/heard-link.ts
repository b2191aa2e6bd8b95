/** A link with its ten ticks a second, and what it said. */
import type { MeterDescription } from '../../src-core/meter/description'
import type { MeterFunction, Reading } from '../../src-core/meter/reading'
import { seconds } from '../../src-core/quantity/units'
import { createLink, type Link } from '../../src-main/service/link/link'

export type HeardLink = {
  link: Link
  readings: Reading[]
  messages: () => string[]
  lost: number
  back: number
  away: number
  identified: string[]
  cannotSet: MeterFunction[]
  connect: (path: string, description: MeterDescription) => Promise<void>
  close: () => Promise<void>
}

/** @param cableOf where the USB identity of its cable matters; pseudo-terminals have none. */
export const hearLink = (cableOf?: (path: string) => Promise<string | null>): HeardLink => {
  const messages: string[] = []
  const heard: HeardLink = {
    readings: [], messages: () => messages, lost: 0, back: 0, away: 0, identified: [], cannotSet: [],
    link: createLink({
      reading: (reading) => { heard.readings.push(reading) },
      changed: () => {
        const { message } = heard.link.view()
        if (message !== null && messages.at(-1) !== message) messages.push(message)
      },
      lost: () => { heard.lost += 1 },
      back: () => { heard.back += 1 },
      away: () => { heard.away += 1 },
      identified: (reply) => { heard.identified.push(reply) },
      cannotSet: (which) => { heard.cannotSet.push(which) },
    }, () => seconds(performance.now() / 1000), cableOf),
    connect: (path, description) => heard.link.connect(path, description, description.port, 'm'),
    close: async () => {
      clearInterval(ticking)
      heard.link.disconnect()
      await heard.link.released()
    },
  }
  const ticking = setInterval(() => { heard.link.tick() }, 100)
  return heard
}
