/** The shipped descriptions, and frames that their meters send: cut from the recorded streams. */
import { readFileSync } from 'node:fs'
import { askedMeter, talkingMeter } from '../../../../fixtures/line/meters'
import type { FramesToBreak } from '../../../../fixtures/line/noise'
import type { ScriptedMeter } from '../../../../fixtures/line/line'
import type { WireSettings } from '../../../../fixtures/line/wire'
import type { MeterDescription } from '../../../../src-core/meter/description'
import { questionOf } from '../../../../src-core/meter/recognise/asking'
import type { Reading } from '../../../../src-core/meter/reading'
import { seconds } from '../../../../src-core/quantity/units'
import { openStream } from '../../../../src-main/service/link/open-stream'
import { shippedDescription } from '../../../service/practice/shipped'

const streams = {
  'Line meter A': ['line-meter-a.json', 'line-meter-a.txt'], 'Line meter B': ['line-meter-b.json', 'line-meter-b.txt'],
  'Packed meter C': ['packed-meter-c.json', 'packed-meter-c.bin'], 'Mirror meter D': ['mirror-meter-d.json', 'mirror-meter-d.bin'],
  'Polled meter E': ['polled-meter-e.json', 'polled-meter-e.bin'],
} as const
export type MeterName = keyof typeof streams
export const meterNames = Object.keys(streams) as MeterName[]

export const described: Record<MeterName, MeterDescription> = {
  'Line meter A': shippedDescription('line-meter-a.json'), 'Line meter B': shippedDescription('line-meter-b.json'),
  'Packed meter C': shippedDescription('packed-meter-c.json'), 'Mirror meter D': shippedDescription('mirror-meter-d.json'),
  'Polled meter E': shippedDescription('polled-meter-e.json'),
}
export const scpiMeter = shippedDescription('scpi-meter.json')
export const shippedDescriptions: MeterDescription[] = [...Object.values(described), scpiMeter]

const cut = (name: MeterName): Reading[] => {
  const readings: Reading[] = []
  const bytes = readFileSync(new URL(`../../../../fixtures/streams/${streams[name][1]}`, import.meta.url))
  const stream = openStream(described[name], { reading: (reading) => { readings.push(reading) }, reject: () => undefined })
  stream.feed(bytes, seconds(0))
  stream.close()
  return readings
}
const cuts = new Map<MeterName, Uint8Array[]>()

/** Frames of the recorded stream, from the `from`th on. */
export const framesOf = (name: MeterName, from = 0): Uint8Array[] => {
  const frames = cuts.get(name) ?? cut(name).map(({ raw }) => Uint8Array.from(Buffer.from(raw, 'hex')))
  cuts.set(name, frames)
  return [...frames.slice(from), ...frames.slice(0, from)]
}

export type Pace = { every: number; phase: number; from: number }

/** One that speaks, or, where its description has a question, one that answers. */
export const meterAt = (name: MeterName, settings: WireSettings, { every, phase, from }: Pace): ScriptedMeter => {
  const question = questionOf(described[name])
  return question === null ? talkingMeter(framesOf(name, from), settings, every, phase) : askedMeter(question, framesOf(name, from), settings)
}

export const framesToBreak = (): FramesToBreak => ({
  lineA: framesOf('Line meter A'), lineB: framesOf('Line meter B'), packed: framesOf('Packed meter C'), mirrored: framesOf('Mirror meter D'), polled: framesOf('Polled meter E'),
})
