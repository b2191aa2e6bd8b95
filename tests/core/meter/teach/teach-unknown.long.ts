/** A description made from displays alone reads 200 displays it never saw, for 60 meters of each kind laid out at random. */
import { expect, test } from 'vitest'
import { seededRandom, type Random } from '../../../../src-core/circuit/seeded-random'
import { readOtherwise } from './read-otherwise'
import { lineMeter, mirrorMeter, packedMeter, withBar, type UnknownMeter } from './unknown-meters'

const first = Number(process.env.SEED ?? 1000)
const seeds = Array.from({ length: 60 }, (_, k) => first + k)
const kinds: [string, (random: Random) => UnknownMeter][] = [['lines', lineMeter], ['pictures of a display', mirrorMeter], ['packed figures', packedMeter]]

test.each(kinds)(`%s, seeds from ${first}`, (_, make) => {
  // With pauses between frames at every second seed.
  expect(seeds.flatMap((seed) => readOtherwise(make(seededRandom(seed)), seed, seed % 2 === 0))).toEqual([])
})

/** Of 12,000 displays: a piece of the bar that few displays lit can leave a figure a reject, but never make it a wrong one. */
const mostRejects = 12

test.each([['pictures', mirrorMeter], ['packed figures', packedMeter]] as const)(`%s with a bar, seeds from ${first}`, (_, make) => {
  const faults = seeds.flatMap((seed) => readOtherwise(withBar(make(seededRandom(seed))), seed, true))
  expect(faults.filter((fault) => !fault.endsWith('read as nothing'))).toEqual([])
  expect(faults.length).toBeLessThanOrEqual(mostRejects)
})
