/** Recognising from the connect form, in a real browser: from “which meter is this” to connected, and the question before a byte is sent. */
import { describe, expect, it } from 'vitest'
import { silentMeter } from '../../fixtures/line/meters'
import { openPtyLine, pythonIsHere } from '../../fixtures/line/pty-line'
import { plainFormat } from '../../src-core/meter/recognise/line-format'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { described, meterAt } from '../core/meter/recognise/recorded'

const later = closeAfterEach()
const pictures = process.env.PICTURES

describe.skipIf(!chromiumIsHere || !pythonIsHere)('recognising on Start', () => {
  it('finds the meter at another speed than its description\'s, and connects with it', async () => {
    const line = await openPtyLine(meterAt('Line meter A', { ...described['Line meter A'].port, baud: 2400 }, { every: 0.25, phase: 0, from: 20 }), plainFormat)
    later(() => line.close())
    const { app, browser, client } = await openBench(later, pictures === undefined ? {} : { theme: 'light' })
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill(line.path)
    await page.getByTestId('recognise').click()
    await page.getByTestId('recognising').filter({ hasText: 'Listening at' }).waitFor()
    if (pictures !== undefined) await page.screenshot({ path: `${pictures}/recognising-light.png` })
    await page.getByTestId('recognised').filter({ hasText: '“Line meter A” at 2400 baud, 8 none 1' }).waitFor({ timeout: 20_000 })
    if (pictures !== undefined) await page.screenshot({ path: `${pictures}/recognised-light.png` })
    await page.getByTestId('connect-recognised').click()
    await client.until('link', (link) => link.status === 'open' && link.readings > 0, 15_000)
    expect((await client.ask('hello', {})).link.description).toBe('Line meter A')
    expect(browser.violations).toEqual([])
    // A connected port is not listened to.
    await expect(client.ask('recognise', { path: line.path, ask: false })).rejects.toThrow(/Disconnect it first/)
  })

  it('asks before it sends a byte where nothing speaks', async () => {
    const line = await openPtyLine(silentMeter(described['Line meter A'].port), plainFormat)
    later(() => line.close())
    const { app, browser } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill(line.path)
    await page.getByTestId('recognise').click()
    await page.getByTestId('ask-first').waitFor({ timeout: 20_000 })
    expect(await page.getByTestId('recognised').textContent()).toMatch(/Nothing speaks on this port by itself.*may be a supply or a controller/)
    if (pictures !== undefined) await page.screenshot({ path: `${pictures}/ask-first-dark.png` })
    await page.getByText('Send nothing').click()
    await page.getByTestId('ask-first').waitFor({ state: 'detached' })
    expect(browser.violations).toEqual([])
  })
})
