/** A description made from displays alone reads 200 displays it never saw, for a few meters laid out at random. */
import { expect, test } from 'vitest'
import { seededRandom, type Random } from '../../../../src-core/circuit/seeded-random'
import { readOtherwise } from './read-otherwise'
import { lineMeter, mirrorMeter, packedMeter, withBar, type UnknownMeter } from './unknown-meters'

const kinds: [string, (random: Random) => UnknownMeter, number[]][] = [
  ['lines', lineMeter, [1, 2, 3, 4]], ['pictures of a display', mirrorMeter, [101, 102]], ['packed figures', packedMeter, [201, 202, 204]], ['pictures of a display with a bar', (random) => withBar(mirrorMeter(random)), [302]],
]

test.each(kinds)('%s', (_, make, seeds) => {
  // With pauses between frames at even seeds, without at odd ones.
  expect(seeds.flatMap((seed) => readOtherwise(make(seededRandom(seed)), seed, seed % 2 === 0))).toEqual([])
})
