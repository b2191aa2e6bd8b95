/** `decode`: bytes of a meter on standard input to one reading a line, as JSON; what makes no sense is counted. */
import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { checkDescription } from '../../src-core/meter/check'
import type { MeterDescription, PortSettings } from '../../src-core/meter/description'
import type { Reading } from '../../src-core/meter/reading'
import { seconds } from '../../src-core/quantity/units'
import { readJson } from '../service/library-files'
import { openStream } from '../service/link/open-stream'
import { milliseconds } from './read-files'
import { Refused, type Surroundings } from './surroundings'

export const decodeUsage = [
  '  decode --meter FILE < BYTES',
  '      Reads the bytes of a meter as the meter description FILE says: one JSON reading a line. Rejects are counted on standard error.',
  '      "at" is the second at which the bytes would have come, had they followed each other without a pause at the description’s speed.',
]

const mostReasons = 200
const toldReasons = 5
const otherReasons = 'other reasons'
/** "at" is right to within so many bytes. */
const sliceBytes = 16

/** How often each reason was given; after the first 200 different ones the rest are counted together. */
const reasonCounter = () => {
  const counts = new Map<string, number>()
  return {
    add: (why: string): void => {
      const reason = counts.has(why) || counts.size < mostReasons ? why : otherReasons
      counts.set(reason, (counts.get(reason) ?? 0) + 1)
    },
    lines: (): string[] => {
      const sorted = [...counts].sort(([, one], [, other]) => other - one)
      const rest = sorted.slice(toldReasons).reduce((sum, [, count]) => sum + count, 0)
      return [...sorted.slice(0, toldReasons), ...(rest > 0 ? [[otherReasons, rest] as const] : [])].map(([why, count]) => `  ${count} × ${why}`)
    },
  }
}

const secondsAByte = ({ baud, dataBits, parity, stopBits }: PortSettings): number => (1 + dataBits + (parity === 'none' ? 0 : 1) + stopBits) / baud

const descriptionIn = (file: string, named: string): MeterDescription | string[] => {
  if (!existsSync(file)) return [`There is no file ${named}. Correct the name or the folder.`]
  try {
    const checked = checkDescription(readJson(file).json, named, milliseconds)
    return 'description' in checked ? checked.description : checked.problems.map(({ message }) => `${named}: ${message}`)
  } catch (error) {
    return [`${named}: ${error instanceof Error ? error.message : String(error)}`]
  }
}

const meterNamed = (args: readonly string[]): string => {
  try {
    const { meter } = parseArgs({ args: [...args], options: { meter: { type: 'string' } } }).values
    if (meter !== undefined) return meter
  } catch (error) {
    throw new Refused(`${error instanceof Error ? error.message : String(error)}\n${decodeUsage.join('\n')}`)
  }
  throw new Refused(`decode needs --meter, the file of the meter description.\n${decodeUsage.join('\n')}`)
}

const nextTurn = (): Promise<void> => new Promise((done) => { setImmediate(done) })

const counted = (count: number, word: string): string => `${count} ${word}${count === 1 ? '' : 's'}`

/** 0: the bytes were read to their end; 1: the description cannot read them. */
export const decodeCommand = async (args: readonly string[], { calledFrom, input, print, complain }: Surroundings): Promise<number> => {
  const named = meterNamed(args)
  const description = descriptionIn(resolve(calledFrom, named), named)
  if (Array.isArray(description)) {
    for (const problem of description) complain(problem)
    return 1
  }
  if (description.framing.kind === 'scpi') {
    complain(`“${description.name}” is asked in SCPI: its answers mean nothing without the questions, so recorded bytes cannot be read. Connect the meter instead.`)
    return 1
  }
  if (input.isTTY === true) throw new Refused(`decode reads the bytes from standard input; nothing is sent there.\n${decodeUsage.join('\n')}`)
  const reasons = reasonCounter()
  let found: Reading[] = []
  let [readings, rejects, bytes] = [0, 0, 0]
  const stream = openStream(description, {
    reading: (reading) => { found.push(reading) },
    reject: (why) => {
      rejects += 1
      reasons.add(why)
    },
  })
  const tell = (): void => {
    readings += found.length
    if (found.length > 0) print(found.map((reading) => JSON.stringify(reading)).join('\n'))
    found = []
  }
  const aByte = secondsAByte(description.port)
  for await (const piece of input) {
    const chunk = Buffer.from(piece as Uint8Array)
    for (let from = 0; from < chunk.length; from += sliceBytes) {
      const slice = chunk.subarray(from, from + sliceBytes)
      bytes += slice.length
      stream.feed(slice, seconds(bytes * aByte))
    }
    await nextTurn()
    tell()
  }
  await nextTurn()
  stream.close()
  tell()
  complain(`${counted(bytes, 'byte')}: ${counted(readings, 'reading')}, ${counted(rejects, 'reject')}${rejects > 0 ? ':' : ''}`)
  for (const line of reasons.lines()) complain(line)
  if (bytes > 0 && readings === 0) complain(`None of it is a reading: “${description.name}” may be the wrong description, or the bytes were recorded at another speed.`)
  return 0
}
