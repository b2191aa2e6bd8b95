/** Random and mutated replies of the SCPI meter, and what the app makes of them. */
import { seededRandom, type Random } from '../../../src-core/circuit/seeded-random'
import { anyReply, isReply, type Reply } from '../../../fixtures/streams/scpi-replies'
import type { Reject } from '../../../src-core/meter/make-reading'
import type { Reading } from '../../../src-core/meter/reading'
import { scpiReading } from '../../../src-core/meter/scpi/reading'
import { replyUnits } from '../../../src-core/meter/scpi/replies'
import { seconds } from '../../../src-core/quantity/units'
import { shipped } from './heard'

const beside = { range: true, resolution: true, temperature: false }

const readReply = (key: string, text: string): Reading | Reject => {
  const units = replyUnits(text)
  if (units === null) return { reject: 'a quote is never closed' }
  if (units.length !== 3) return { reject: 'the answer does not have three parts' }
  return scpiReading(shipped('scpi-meter'), key, units, beside, true, seconds(0), '')
}

/** Replies read otherwise than they were written. */
export const misreadReplies = (count: number, seed: number): { reply: Reply; read: Reading | Reject }[] => {
  const random = seededRandom(seed)
  return Array.from({ length: count }, () => anyReply(random)).map((reply) => ({ reply, read: readReply(reply.key, reply.text) })).filter(({ reply, read }) =>
    ('reject' in read ? reply.value !== null
      : read.value !== reply.value || read.resolution !== reply.resolution || read.range !== reply.range || read.function !== reply.function))
}

const letters = '0123456789+-.Ee;, "\'#H\u0000\n'

const mutated = (text: string, random: Random): string => {
  const at = Math.floor(random() * (text.length + 1))
  const letter = letters[Math.floor(random() * letters.length)] ?? ''
  switch (Math.floor(random() * 5)) {
    case 0: return text.slice(0, at)
    case 1: return text.slice(0, at) + text.slice(at + 1)
    case 2: return text.slice(0, at) + letter + text.slice(at)
    case 3: return text.slice(0, at) + letter + text.slice(at + 1)
    default: return Array.from({ length: Math.floor(random() * 40) }, () => letters[Math.floor(random() * letters.length)] ?? '').join('')
  }
}

/** Of so many damaged replies: how many were read, and those among them that are no reply. */
export const fuzzReplies = (count: number, seed: number): { readings: number; impossible: string[] } => {
  const random = seededRandom(seed)
  const found = { readings: 0, impossible: [] as string[] }
  for (let i = 0; i < count; i += 1) {
    const { key, text } = anyReply(random)
    let damaged = mutated(text, random)
    while (random() < 0.4) damaged = mutated(damaged, random)
    const read = readReply(key, damaged)
    if ('reject' in read) continue
    found.readings += 1
    if (!isReply(damaged) && found.impossible.length < 20) found.impossible.push(damaged)
  }
  return found
}
