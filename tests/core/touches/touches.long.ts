/** The whole touch model: 3,000 touches of each class. Prints the seed and the table, the undecidable classes included. */
import { expect, it } from 'vitest'
import { touchClasses, type TouchClass } from '../../../fixtures/touches/touch'
import { shortfalls, tableOf } from './pass-mark'
import { scoreClass, type Score } from './score'

const seed = Number(process.env.SEED ?? 20_260)

it(`3,000 touches of each class (seed ${seed})`, () => {
  const scores = new Map<TouchClass, Score>(touchClasses.map((cls) => [cls, scoreClass(cls, 3000, seed)]))
  process.stdout.write(tableOf(scores, seed))
  expect(shortfalls(scores)).toEqual([])
}, 1_800_000)
