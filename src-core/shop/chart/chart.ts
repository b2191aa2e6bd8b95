/** A chart as a list of shapes that a screen draws and a file holds: what each is stands in its class, how it looks in the style of either. */
import { z } from 'zod'

const point = { x: z.number(), y: z.number() }
/** `is`: what the shape stands for. Marks differ in form, not in colour alone. */
const look = z.enum(['axis', 'grid', 'words', 'small', 'value', 'outside', 'bar', 'band', 'mean', 'limit', 'control', 'interval'])
export type Look = z.infer<typeof look>

export const shape = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('line'), is: look, ...point, toX: z.number(), toY: z.number() }),
  z.strictObject({ kind: z.literal('box'), is: look, ...point, width: z.number(), height: z.number(), title: z.string().optional() }),
  z.strictObject({ kind: z.literal('dot'), is: look, ...point, title: z.string().optional() }),
  z.strictObject({ kind: z.literal('cross'), is: look, ...point, title: z.string().optional() }),
  z.strictObject({ kind: z.literal('text'), is: look, ...point, words: z.string(), anchor: z.enum(['start', 'middle', 'end']) }),
])
export type Shape = z.infer<typeof shape>

/** `says`: what it shows, a sentence, for who cannot see it and for the file's description. */
export const chart = z.strictObject({ width: z.number(), height: z.number(), title: z.string(), says: z.string(), shapes: z.array(shape) })
export type Chart = z.infer<typeof chart>

export const round = (value: number): number => Math.round(value * 100) / 100

/** From a figure to a place along an axis. */
export type Scale = { at: (value: number) => number; ticks: number[] }

/** Round steps of 1, 2 or 5 that give at most `most` of them. */
const stepFor = (span: number, most: number): number => {
  const rough = span / most
  const power = 10 ** Math.floor(Math.log10(rough))
  return ([1, 2, 5, 10].find((factor) => factor * power >= rough * (1 - 1e-9)) ?? 10) * power
}

/** Even steps; a range of nothing is widened about its figure. */
export const scaleOf = (low: number, high: number, from: number, to: number, most = 5): Scale => {
  const apart = high > low ? high - low : Math.abs(low) * 0.1 || 1
  const [least, greatest] = high > low ? [low, high] : [low - apart / 2, high + apart / 2]
  const step = stepFor(greatest - least, most)
  const first = Math.ceil(least / step - 1e-9)
  const last = Math.floor(greatest / step + 1e-9)
  return {
    at: (value) => round(from + ((value - least) / (greatest - least)) * (to - from)),
    ticks: Array.from({ length: Math.max(0, last - first + 1) }, (_, at) => Number(((first + at) * step).toPrecision(12))),
  }
}
