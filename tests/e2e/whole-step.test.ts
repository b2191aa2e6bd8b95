/** A step of much to read in a real browser: all of it in view at both usual sizes, with a good board beside too. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { looksWhole } from '../bench-tools/look'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()
describe.skipIf(!chromiumIsHere)('all of a step is in view', () => {
  it('of a long prompt, on the good board and on the one under test', async () => {
    const { app, browser, client } = await openBench(later, {})
    const page = await browser.page(app.address)
    await client.ask('start-practice', { board: 'soil-relay', revision: 'A', seed: 7, faults: [], beside: true })
    await page.getByTestId('prompt').waitFor()
    for (const which of ['good', 'under-test'] as const) {
      await client.until('bench', (now) => now?.step?.title === 'Probe input' && now.step.onBoard?.which === which, 240_000)
      await client.ask('press', { key: 'pause' })
      await looksWhole(page, `probe-input-${which}`)
      await client.ask('press', { key: 'resume' })
    }
    expect(browser.violations).toEqual([])
  })
})
