/** What the shop sets once for its bench: speech, tones, and the keys and pedals. Kept by the service, not by a browser. */
import { z } from 'zod'
import { keyBinding } from './key-bindings'

export const toneName = z.enum(['contact', 'pass', 'fail', 'lift', 'wrong-function', 'silent'])
export type ToneName = z.infer<typeof toneName>

export const loudness = z.enum(['soft', 'usual', 'loud', 'loudest'])
export type Loudness = z.infer<typeof loudness>

export const speechRate = { least: 0.7, most: 2 }

export const benchSettings = z.strictObject({
  speech: z.strictObject({
    on: z.boolean(),
    /** 1 is the pace the prompts are measured at (`syllablesPerSecond` in run/spoken-time.ts). */
    rate: z.number().min(speechRate.least).max(speechRate.most),
    volume: z.number().min(0.1).max(1),
  }),
  sound: z.strictObject({ on: z.boolean(), loudness, tones: z.record(toneName, z.boolean()) }),
  keys: z.array(keyBinding).max(20),
  /** Of the steps of a run: as the sequence has them, or what tells most first. */
  order: z.enum(['sequence', 'tells-most']).default('sequence'),
})
export type BenchSettings = z.infer<typeof benchSettings>

export const usualBenchSettings: BenchSettings = {
  speech: { on: true, rate: 1.1, volume: 1 },
  sound: {
    on: true, loudness: 'usual',
    tones: { contact: true, pass: true, fail: true, lift: true, 'wrong-function': true, silent: true },
  },
  keys: [],
  order: 'sequence',
}
