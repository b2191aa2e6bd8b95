/** The whole touch model: 3,000 touches of each class from each of three seeds. Prints the seeds and the tables. */
import { expect, it } from 'vitest'
import { touchClasses, type TouchClass } from '../../../fixtures/touches/touch'
import { shortfalls, tableOf } from './pass-mark'
import { scoreClass, type Score } from './score'

const first = Number(process.env.SEED ?? 20_260)
/** Capture was tuned on the first of the default seeds; one that was tuned on proves nothing by itself. */
const seeds = [first, first + 1_000, first + 2_000]

it.each(seeds)('3,000 touches of each class (seed %i)', (seed) => {
  const scores = new Map<TouchClass, Score>(touchClasses.map((cls) => [cls, scoreClass(cls, 3000, seed)]))
  process.stdout.write(tableOf(scores, seed))
  expect(shortfalls(scores)).toEqual([])
}, 1_800_000)
