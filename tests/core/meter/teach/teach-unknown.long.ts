/** A description made from displays alone reads 200 displays it never saw, for 60 meters of each kind laid out at random. */
import { expect, test } from 'vitest'
import { seededRandom, type Random } from '../../../../src-core/circuit/seeded-random'
import { readOtherwise } from './read-otherwise'
import { lineMeter, mirrorMeter, packedMeter, withBar, type UnknownMeter } from './unknown-meters'

const first = Number(process.env.SEED ?? 1000)
const seeds = Array.from({ length: 60 }, (_, k) => first + k)
const kinds: [string, (random: Random) => UnknownMeter][] = [['lines', lineMeter], ['pictures of a display', mirrorMeter], ['packed figures', packedMeter],
  ['pictures with a bar', (random) => withBar(mirrorMeter(random))], ['packed figures with a bar', (random) => withBar(packedMeter(random))]]

test.each(kinds)(`%s, seeds from ${first}`, (_, make) => {
  expect(seeds.flatMap((seed) => readOtherwise(make(seededRandom(seed)), seed, seed % 2 === 0))).toEqual([])
})
