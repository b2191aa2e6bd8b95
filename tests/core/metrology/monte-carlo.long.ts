/** The coverage interval of 20 random budgets against a million draws each, from each of three seeds. Prints them. */
import { expect, it } from 'vitest'
import { agreementOf } from './monte-carlo'

const first = Number(process.env.SEED ?? 30_100)

it.each([first, first + 1_000, first + 2_000])('20 budgets, 1,000,000 draws each (seed %i)', (seed) => {
  const found = Array.from({ length: 20 }, (_, i) => agreementOf(seed + 10 * i, 1_000_000))
  for (const { seed: one, U, drawn, apart, allowed } of found) {
    process.stdout.write(`${one}: U ${U.toPrecision(4)}, drawn ${drawn.toPrecision(4)}, apart ${(100 * apart / U).toFixed(2)} % of U, allowed ${(100 * allowed / U).toFixed(2)} %\n`)
  }
  expect(found.filter(({ apart, allowed }) => apart > allowed)).toEqual([])
}, 1_800_000)
