/** The twenty mixtures of noise, listened to in memory: one case each, for each seed. */
import { describe, expect, it } from 'vitest'
import { noises } from '../../../../fixtures/line/noise'
import { askWords } from '../../../../src-core/meter/recognise/asking'
import { openListening } from '../../../../src-core/meter/recognise/listening'
import { framesToBreak, shippedDescriptions } from './recorded'
import { simulate } from './simulated'

export const noiseIsNoMeter = (seeds: readonly number[]): void => {
  describe.each(seeds)('noise (seed %i)', (seed) => {
    it.each(noises(seed, 99, framesToBreak()))('is no meter: $name', ({ meter }) => {
      const { outcome, seconds, sent } = simulate((start) => openListening(shippedDescriptions, askWords(shippedDescriptions), start), meter)
      expect(outcome.found).toEqual([])
      expect(outcome.words).toMatch(/^Bytes arrive, but no description fits them .*bytes a second at \d+ baud.*Teach the app this meter/)
      expect(outcome.ask).toBeNull()
      expect(sent).toEqual([])
      expect(seconds).toBeLessThan(10)
    })
  })
}
