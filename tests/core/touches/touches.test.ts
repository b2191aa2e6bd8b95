/** A seeded sample of the touch model, 72 touches a class (three of each meeting of rate, display and noise), against the full pass mark. */
import { beforeAll, expect, it } from 'vitest'
import { touchClasses, undecidableClasses, type TouchClass } from '../../../fixtures/touches/touch'
import { shortfalls } from './pass-mark'
import { scoreClass, type Score } from './score'

const seed = Number(process.env.SEED ?? 20_260)
const scores = new Map<TouchClass, Score>()

beforeAll(() => {
  for (const cls of touchClasses) scores.set(cls, scoreClass(cls, 72, seed))
})

it(`nothing false from careful or careless touches, and careful ones are not missed (seed ${seed})`, () => {
  expect(shortfalls(scores)).toEqual([])
})

it('the undecidable touches are played too, and do fool capture: the score can see a false value', () => {
  for (const cls of undecidableClasses) expect(scores.get(cls)?.touches).toBe(72)
  expect(scores.get('hold-air')?.false).toBeGreaterThan(60)
  expect(scores.get('wrong-pad')?.false).toBeGreaterThan(60)
})

it('the pass mark falls short on one false value, and on a class with too many misses', () => {
  const good = { touches: 240, captured: 240, false: 0, missed: 0, missedPct: 0 }
  const all = new Map(touchClasses.map((cls) => [cls, good]))
  expect(shortfalls(all)).toEqual([])
  expect(shortfalls(new Map(all).set('slip', { ...good, false: 1 }))).toEqual(['slip: 1 false of 240'])
  expect(shortfalls(new Map(all).set('clean', { ...good, missed: 8, missedPct: 3.3 }))).toEqual(['clean: 8 missed of 240'])
  expect(shortfalls(new Map(all).set('clean', { ...good, touches: 3000, missed: 30, missedPct: 1 }))).toEqual(['clean: 30 missed of 3000'])
  expect(shortfalls(new Map(all).set('wrong-pad', { ...good, false: 240 }))).toEqual([])
})
