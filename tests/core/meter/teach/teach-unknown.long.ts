/** A description made from displays alone reads 200 displays it never saw, for 60 meters of each kind laid out at random. */
import { expect, test } from 'vitest'
import { seededRandom, type Random } from '../../../../src-core/circuit/seeded-random'
import { readOtherwise } from './read-otherwise'
import { lineMeter, mirrorMeter, packedMeter, withBar, type UnknownMeter } from './unknown-meters'

const first = Number(process.env.SEED ?? 1000)
const seeds = Array.from({ length: 60 }, (_, k) => first + k)
/** With pauses between frames at every second seed, or always: without them a bar beside the figure leaves a few figures rejects. */
const half = (seed: number): boolean => seed % 2 === 0
const always = (): boolean => true
const kinds: [string, (random: Random) => UnknownMeter, (seed: number) => boolean][] = [
  ['lines', lineMeter, half], ['pictures of a display', mirrorMeter, half], ['packed figures', packedMeter, half],
  ['pictures with a bar', (random) => withBar(mirrorMeter(random)), always], ['packed figures with a bar', (random) => withBar(packedMeter(random)), always]]

test.each(kinds)(`%s, seeds from ${first}`, (_, make, pauses) => {
  expect(seeds.flatMap((seed) => readOtherwise(make(seededRandom(seed)), seed, pauses(seed)))).toEqual([])
})
