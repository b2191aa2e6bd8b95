/** A run beside a good board in a real browser: chosen on Start, each board said in large, and the fault found by the difference. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()
/** Where pictures of the screens go, for eyes; not taken without it. */
const pictures = process.env.PROBEWRIGHT_PICTURES ?? null

const sizes = [{ width: 1280, height: 800 }, { width: 1920, height: 1080 }]
const looksWhole = async (page: Page, name: string): Promise<void> => {
  for (const size of sizes) {
    await page.setViewportSize(size)
    await page.waitForTimeout(150)
    if (pictures !== null) {
      mkdirSync(pictures, { recursive: true })
      await page.screenshot({ path: join(pictures, `${name}-${size.width}.png`) })
    }
    const over = await page.evaluate(() => [document.documentElement.scrollWidth - innerWidth, document.documentElement.scrollHeight - innerHeight])
    expect(over.every((pixels) => pixels <= 0), `${name} at ${size.width}: ${over.join(', ')}`).toBe(true)
  }
}

describe.skipIf(!chromiumIsHere)('beside a good board', () => {
  it('is chosen on Start, and each board is said in large', async () => {
    const { app, browser, client } = await openBench(later, {})
    const page = await browser.page(app.address)
    await page.getByTestId('practise-beside').check()
    if (pictures !== null) await page.screenshot({ path: join(pictures, 'beside-start.png'), fullPage: true })
    await page.getByTestId('practise-by-hand').click()
    const begun = await client.until('bench', (now) => now !== null, 60_000)
    expect(begun?.steps.filter(({ title }) => title.startsWith('Good board: voltage left in')).length).toBeGreaterThan(0)
    await client.ask('close-run', {})

    await client.ask('start-practice', { seed: 7, faults: ['R4:open'], beside: true })
    await page.getByTestId('prompt').waitFor()
    await client.until('bench', (now) => now?.step?.onBoard?.which === 'good' && !now.step.id.startsWith('prepare/'), 120_000)
    await page.getByTestId('on-board').getByText('on the GOOD board').waitFor()
    await client.ask('press', { key: 'pause' })
    await looksWhole(page, 'on-the-good-board')
    await client.ask('press', { key: 'resume' })
    await client.until('bench', (now) => now?.steps.some((row) => row.beside?.includes('good board') === true && row.verdict !== null) === true && now.step?.onBoard?.which === 'under-test' && !now.step.id.startsWith('prepare/'), 180_000)
    await client.ask('press', { key: 'pause' })
    await looksWhole(page, 'on-the-board-under-test')
    await client.ask('press', { key: 'resume' })
    const ended = await client.until('bench', (now) => now?.result !== null && now !== null, 300_000)
    expect(ended?.result?.failed.map(({ step }) => step)).toEqual(['r4'])
  }, 600_000)
})
