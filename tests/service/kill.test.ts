import { expect, it } from 'vitest'
import { killAndGoOn } from './kill-and-go-on'

/** A seeded sample; `npm run test:long` makes 50 kills with the same code. */
it('a run killed at any moment keeps every value that was shown, and goes on', async () => {
  const report = await killAndGoOn(4, 20_261, { seconds: [0.5, 9] })
  expect(report.lost).toEqual([])
  expect(report.stuck).toEqual([])
  expect(report.kills).toBe(4)
  // How many depends on the machine; none at all would prove nothing.
  expect(report.shown).toBeGreaterThan(0)
  // The hidden fault survives the kills.
  expect(report.truth).toMatch(/^Hidden in the practice board: /)
  expect(report.finished).toBeGreaterThan(0)
}, 280_000)
