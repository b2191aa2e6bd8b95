/** Feeds bytes to a description's stream in chunks, and gives what came of them. */
import { readFileSync } from 'node:fs'
import type { Expected } from '../../../fixtures/streams/display'
import { checkDescription } from '../../../src-core/meter/check'
import type { MeterDescription } from '../../../src-core/meter/description'
import type { Reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { openStream } from '../../../src-main/service/link/open-stream'

export const fixture = (path: string): URL => new URL(`../../../fixtures/${path}`, import.meta.url)

const checkedOnce = new Map<string, MeterDescription>()

/** A shipped description, checked as the app checks it. */
export const shipped = (name: string): MeterDescription => {
  const known = checkedOnce.get(name)
  if (known !== undefined) return known
  const checked = checkDescription(JSON.parse(readFileSync(fixture(`meters/${name}.json`), 'utf8')), `${name}.json`, () => performance.now())
  if ('problems' in checked) throw new Error(checked.problems.map(({ message }) => message).join('\n'))
  checkedOnce.set(name, checked.description)
  return checked.description
}

export const nextTurn = (): Promise<void> => new Promise((resolve) => { setImmediate(resolve) })

export type Heard = { readings: Reading[]; rejects: string[] }

/** @param lengths of the chunks, again and again */
export const heard = async (description: MeterDescription, bytes: Uint8Array, lengths: readonly number[] = [bytes.length]): Promise<Heard> => {
  const readings: Reading[] = []
  const rejects: string[] = []
  const stream = openStream(description, { reading: (each) => { readings.push(each) }, reject: (why) => { rejects.push(why) } })
  for (let from = 0, i = 0; from < bytes.length; i += 1) {
    const length = lengths[i % lengths.length] ?? 1
    stream.feed(bytes.subarray(from, from + length), seconds(0))
    from += length
    if (i % 256 === 255) await nextTurn()
  }
  await nextTurn()
  stream.close()
  return { readings, rejects }
}

/** A reading as an encoder words it: without its time, its flags in order. */
export const asExpected = ({ at, flags, ...rest }: Reading): Expected => ({ ...rest, flags: [...flags].sort() })
