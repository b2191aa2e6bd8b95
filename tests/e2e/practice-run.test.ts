/** The practice bench in a real browser: one click, a whole board, and the hidden fault told and found. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('the practice bench', () => {
  it('plays a whole board by itself after one click, finds the hidden fault, and tells it at the end', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByTestId('start-practice').click()
    await page.getByTestId('prompt').waitFor()
    await page.getByTestId('run-verdict').waitFor({ timeout: 240_000 })
    const bench = client.last('bench')
    const result = bench?.result
    expect(bench?.practice).toBe(true)
    // The fault is drawn by chance from those that at least one step shows; it is told first by its part.
    const [, part] = /^Hidden in the practice board: ([A-Z]+\d+)[ ,]/.exec(result?.truth ?? '') ?? []
    expect(part, `the truth told: ${result?.truth ?? 'none'}`).toBeDefined()
    expect(['fail', 'beyond-repair'], `${bench?.serialNumber ?? ''}, ${result?.truth ?? ''}`).toContain(result?.verdict)
    expect(result?.failed.flatMap((failed) => failed.parts), `${bench?.serialNumber ?? ''}, ${result?.truth ?? ''}`).toContain(part)
    expect(browser.violations).toEqual([])
  }, 280_000)
})
