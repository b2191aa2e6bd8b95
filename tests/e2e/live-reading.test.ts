/** Letter A of the bench: bytes written into a serial line are a live reading in a real browser. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'
import { chromiumIsHere, openBrowser, type RealBrowser } from '../bench-tools/real-browser'
import { startApp, type RunningApp } from '../bench-tools/running-app'

describe.skipIf(!socatIsHere || !chromiumIsHere)('a meter on a serial line', () => {
  let pair: PtyPair
  let app: RunningApp
  let browser: RealBrowser
  beforeAll(async () => {
    pair = await openPtyPair()
    app = await startApp()
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await app?.close()
    await pair?.close()
  })

  it('shows what was written into the line, as the meter showed it', async () => {
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill(pair.appEnd)
    await page.getByTestId('connect').click()
    const streaming = setInterval(() => { pair.write('RES 221.4 Ohm A\r\n') }, 100)
    try {
      const live = page.getByTestId('live-reading')
      await live.waitFor()
      await expect.poll(async () => (await live.textContent())?.replace(/\s+/g, ' ')).toContain('221.4 Ω')
    } finally {
      clearInterval(streaming)
    }
    pair.write('RES OL MOhm A\r\n')
    await expect.poll(async () => page.getByTestId('live-reading').textContent()).toContain('OL')
    expect(browser.violations).toEqual([])
  })

  it('says in a sentence why a port cannot be opened', async () => {
    const other = await startApp()
    const page = await browser.page(other.address)
    await page.getByTestId('port-path').fill('/dev/there-is-none')
    await page.getByTestId('connect').click()
    await expect.poll(async () => page.locator('body').innerText()).toContain('There is no port /dev/there-is-none')
    await page.close()
    await other.close()
  })
})
