import { expect, it } from 'vitest'
import { killWhileIssuing } from './kill-while-issuing'

it('the app killed 20 times while it issues a record leaves a whole record or none each time', async () => {
  const report = await killWhileIssuing(20, 20_265)
  expect(report).toMatchObject({ kills: 20, torn: [], lost: [] })
  // Both were met, so that the kills fell before and behind the storing.
  expect(Math.min(report.whole, report.none)).toBeGreaterThan(0)
}, 900_000)
