/** The figures decode.<description>.readings_per_s and decode.heap_growth_mb: the recorded streams through the real path, in chunks of 1 to 64 bytes. */
import { readFileSync } from 'node:fs'
import { setFlagsFromString } from 'node:v8'
import { runInNewContext } from 'node:vm'
import { anyReply } from '../../fixtures/streams/scpi-replies'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { meterDescription, type MeterDescription } from '../../src-core/meter/description'
import { scpiReading } from '../../src-core/meter/scpi/reading'
import { replyUnits } from '../../src-core/meter/scpi/replies'
import { seconds } from '../../src-core/quantity/units'
import { openStream } from '../../src-main/service/link/open-stream'
import { inChunks, nextTurn } from './chunks'

export type DecodeFigure = { name: string; value: number; unit: string }

const streams: Record<string, string> = {
  'line-meter-a': 'line-meter-a.txt', 'line-meter-b': 'line-meter-b.txt', 'packed-meter-c': 'packed-meter-c.bin', 'mirror-meter-d': 'mirror-meter-d.bin',
  'polled-meter-e': 'polled-meter-e.bin',
}
const fixture = (path: string): Buffer => readFileSync(new URL(`../../fixtures/${path}`, import.meta.url))
const readingsAPass = 100_000
const passes = 5
const anHour = 3600
const megabyte = 2 ** 20

/** Seconds of processor time this process has used, all its threads together: what else the machine does is not counted. */
const worked = (): number => {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

/** Readings that came out, and the seconds of one core it took. The event loop turns every 64 chunks, as it does behind a port. */
const pass = async (description: MeterDescription, chunks: Buffer[]): Promise<{ readings: number; took: number }> => {
  let readings = 0
  const stream = openStream(description, { reading: () => { readings += 1 }, reject: () => undefined })
  const began = worked()
  for (const [i, chunk] of chunks.entries()) {
    stream.feed(chunk, seconds(i * 0.01))
    if (i % 64 === 63) await nextTurn()
  }
  await nextTurn()
  const took = worked() - began
  stream.close()
  return { readings, took }
}

const medianRate = (rates: readonly number[]): number => Math.round([...rates].sort((one, other) => one - other)[Math.floor(rates.length / 2)] ?? 0)

/** @throws Error when passes of the same stream give different numbers of readings. */
const rateOf = async (name: string, description: MeterDescription, stream: Buffer, seed: number): Promise<DecodeFigure> => {
  const once = (await pass(description, [stream])).readings
  const twice = (await pass(description, [stream, stream])).readings
  // Where one copy ends in the middle of a frame the next may begin otherwise than the first: counted, not assumed.
  const copies = Math.ceil(readingsAPass / once)
  const rates: number[] = []
  for (let i = 0; i < passes; i += 1) {
    const { readings, took } = await pass(description, inChunks(stream, copies, seed + i))
    const sent = once + (twice - once) * (copies - 1)
    if (readings !== sent) throw new Error(`${name}: ${readings} readings in chunks, ${sent} in one piece.`)
    rates.push(readings / took)
  }
  return { name: `decode.${name}.readings_per_s`, value: medianRate(rates), unit: '1/s' }
}

/** How much larger the heap is after an hour of the stream at the meter's speed than after its first minute, rubbish collected both times. */
const growthOf = async (description: MeterDescription, recorded: Buffer, seed: number, heap: () => number): Promise<number> => {
  const { baud, dataBits, parity, stopBits } = description.port
  const bytesASecond = baud / (1 + dataBits + (parity === 'none' ? 0 : 1) + stopBits)
  const random = seededRandom(seed)
  const listened = { readings: 0, rejects: 0 }
  const stream = openStream(description, { reading: () => { listened.readings += 1 }, reject: () => { listened.rejects += 1 } })
  let place = 0
  let fed = 0
  const feedUntil = async (time: number): Promise<void> => {
    for (let i = 0; fed < time * bytesASecond; i += 1) {
      const chunk = recorded.subarray(place, place + 1 + Math.floor(random() * 64))
      place = (place + chunk.length) % recorded.length
      fed += chunk.length
      stream.feed(chunk, seconds(fed / bytesASecond))
      if (i % 64 === 63) await nextTurn()
    }
    await nextTurn()
  }
  await feedUntil(60)
  const before = heap()
  await feedUntil(anHour)
  const growth = heap() - before
  if (listened.readings === 0) throw new Error(`${description.name}: an hour of its stream gave no reading.`)
  stream.close()
  return growth
}

/** Replies to the three questions of a reading, parsed; how long the meter takes to answer is another matter. */
const scpiRate = (seed: number): DecodeFigure => {
  const description = meterDescription.parse(JSON.parse(fixture('meters/scpi-meter.json').toString('utf8')))
  const rates = Array.from({ length: passes }, (_, i) => {
    const random = seededRandom(seed + i)
    const replies = Array.from({ length: readingsAPass }, () => anyReply(random))
    const began = worked()
    let readings = 0
    for (const { key, text } of replies) {
      const units = replyUnits(text)
      if (units !== null && !('reject' in scpiReading(description, key, units, { range: true, resolution: true, temperature: false }, true, seconds(0), ''))) readings += 1
    }
    const sent = replies.filter(({ value }) => value !== null).length
    if (readings !== sent) throw new Error(`scpi-meter: ${readings} readings of ${sent} sent.`)
    return readings / (worked() - began)
  })
  return { name: 'decode.scpi-meter.readings_per_s', value: medianRate(rates), unit: '1/s' }
}

export const decodeFigures = async (seed: number): Promise<DecodeFigure[]> => {
  setFlagsFromString('--expose-gc')
  const collect = runInNewContext('gc') as () => void
  const heap = (): number => {
    collect()
    return process.memoryUsage().heapUsed / megabyte
  }
  const figures: DecodeFigure[] = []
  let growth = -Infinity
  for (const [name, file] of Object.entries(streams)) {
    const description = meterDescription.parse(JSON.parse(fixture(`meters/${name}.json`).toString('utf8')))
    const stream = fixture(`streams/${file}`)
    figures.push(await rateOf(name, description, stream, seed))
    growth = Math.max(growth, await growthOf(description, stream, seed, heap))
  }
  return [...figures, scpiRate(seed), { name: 'decode.heap_growth_mb', value: Number(growth.toFixed(3)), unit: 'MB' }]
}
