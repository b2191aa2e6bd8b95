/** The figure parse.readings_per_s: the streams of fixtures, cut into chunks of 1 to 64 bytes, through the real path. */
import { readFileSync } from 'node:fs'
import { lineDecoder } from '../../src-core/meter/decode-line'
import { linesOf } from '../../src-core/meter/framing'
import { meterDescription, type MeterDescription } from '../../src-core/meter/description'
import { seconds } from '../../src-core/quantity/units'
import { frameLines } from '../../src-main/service/link/frame-lines'
import { inChunks, nextTurn } from './chunks'

export type ParseFigure = { name: 'parse.readings_per_s'; value: number; unit: string }

const fixture = (path: string): Buffer => readFileSync(new URL(`../../fixtures/${path}`, import.meta.url))
const meters = ['line-meter-a', 'line-meter-b']
const readingsAPass = 100_000
const passes = 5

/** Readings that came out, and the seconds it took. The event loop turns every 64 chunks, as it does behind a port. */
const pass = async (description: MeterDescription, chunks: Buffer[]): Promise<{ readings: number; took: number }> => {
  const decode = lineDecoder(description)
  let readings = 0
  const framer = frameLines(linesOf(description), {
    line: (line, at) => { if (!('reject' in decode(line, at))) readings += 1 },
    reject: () => undefined,
  })
  const began = performance.now()
  for (const [i, chunk] of chunks.entries()) {
    framer.feed(chunk, seconds(i))
    if (i % 64 === 63) await nextTurn()
  }
  await nextTurn()
  const took = (performance.now() - began) / 1000
  framer.close()
  return { readings, took }
}

/** Median over passes of both meters. @throws Error when passes of the same stream give different numbers of readings. */
export const parseFigures = async (seed: number): Promise<ParseFigure[]> => {
  const rates: number[] = []
  for (const meter of meters) {
    const description = meterDescription.parse(JSON.parse(fixture(`meters/${meter}.json`).toString('utf8')))
    const stream = fixture(`streams/${meter}.txt`)
    const once = await pass(description, [stream])
    const copies = Math.ceil(readingsAPass / once.readings)
    for (let i = 0; i < passes; i += 1) {
      const { readings, took } = await pass(description, inChunks(stream, copies, seed + i))
      const sent = once.readings * copies
      if (readings !== sent) throw new Error(`${meter}: ${readings} readings in chunks, ${sent} in one piece.`)
      rates.push(readings / took)
    }
  }
  rates.sort((one, other) => one - other)
  return [{ name: 'parse.readings_per_s', value: Math.round(rates[Math.floor(rates.length / 2)] ?? 0), unit: '1/s' }]
}
