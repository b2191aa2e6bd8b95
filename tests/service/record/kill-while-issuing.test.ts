import { expect, it } from 'vitest'
import { killWhileIssuing } from './kill-while-issuing'

/** A seeded sample; `npm run test:long` makes 20 kills with the same code. */
it('the app killed while it issues a record leaves a whole record or none', async () => {
  const report = await killWhileIssuing(2, 20_264)
  expect(report).toMatchObject({ kills: 2, torn: [], lost: [] })
  expect(report.whole + report.none).toBe(2)
}, 280_000)
