/** Fifty board files with a mistake planted in each, and as many that are right. Prints its seeds and its figures. */
import { expect, it } from 'vitest'
import { mostSuspects, plantedCase, rightCase } from './planted-mistakes'

const seeds = Array.from({ length: 50 }, (_, at) => Number(process.env.SEED ?? 1) + at)

it('points at the planted mistake in at least 45 of 50 cases', () => {
  const cases = seeds.map(plantedCase)
  const by = (kind: string): string => {
    const own = cases.filter(({ planted }) => planted.kind === kind)
    return `${kind} ${own.filter(({ pointedAt }) => pointedAt).length} of ${own.length}`
  }
  const first = cases.filter(({ pointedAt, found }) => pointedAt && found.suspects.length === 1).length
  const unseen = cases.reduce((sum, one) => sum + one.unseen, 0)
  const found = cases.filter(({ pointedAt }) => pointedAt).length
  process.stdout.write(`seeds ${seeds[0]} to ${seeds.at(-1)}: ${found} of ${cases.length} pointed at among at most ${mostSuspects} suspects, ${first} as the only one; ${['wrong value', 'missing net', 'swapped diode'].map(by).join(', ')}; ${unseen} drawn mistakes change no reading of the sequence\n`)
  expect(found).toBeGreaterThanOrEqual(45)
})

it('names nothing in at least 48 of 50 files that are right', () => {
  const right = seeds.filter((seed) => rightCase(seed).fits).length
  process.stdout.write(`seeds ${seeds[0]} to ${seeds.at(-1)}: nothing named in ${right} of ${seeds.length} right files\n`)
  expect(right).toBeGreaterThanOrEqual(48)
})
