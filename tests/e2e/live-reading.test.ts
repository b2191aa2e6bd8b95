/** Letter A of the bench: bytes written into a serial line are a live reading in a real browser. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()

describe.skipIf(!socatIsHere || !chromiumIsHere)('a meter on a serial line', () => {
  it('shows what was written into the line, as the meter showed it', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const { app, browser } = await openBench(later)
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
    const { app, browser } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill('/dev/there-is-none')
    await page.getByTestId('connect').click()
    await expect.poll(async () => page.locator('body').innerText()).toContain('There is no port /dev/there-is-none')
  })
})
