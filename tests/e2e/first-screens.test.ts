/** What a newcomer and a regular see first: few clicks to the first value, and figures that can be read across the bench. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterEach, describe, expect, it } from 'vitest'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere, openBrowser } from '../bench-tools/real-browser'
import { startApp } from '../bench-tools/running-app'
import { startScriptedHand } from '../bench-tools/scripted-hand'

const closers: (() => unknown)[] = []
const later = (close: () => unknown): void => { closers.unshift(close) }
afterEach(async () => { for (const close of closers.splice(0)) await close() })

/** Counts real clicks on the page. */
const countClicks = async (page: Page): Promise<() => Promise<number>> => {
  await page.evaluate(() => {
    Object.assign(window, { clicks: 0 })
    document.addEventListener('click', () => { (window as unknown as { clicks: number }).clicks += 1 }, true)
  })
  return () => page.evaluate(() => (window as unknown as { clicks: number }).clicks)
}

const firstValue = (client: ContractClient): Promise<unknown> =>
  client.until('bench', (bench) => bench?.steps.some((step) => step.verdict !== null && step.evidence !== null) === true, 60_000)

describe.skipIf(!chromiumIsHere)('the first screens', () => {
  it('practice: at most three clicks from launch to the first captured value', async () => {
    const app = await startApp()
    later(() => app.close())
    const browser = await openBrowser()
    later(() => browser.close())
    const client = await openClient(app.address)
    later(() => { client.close() })
    const page = await browser.page(app.address)
    await page.getByTestId('start-practice').waitFor()
    const clicks = await countClicks(page)
    await page.getByTestId('start-practice').click()
    await firstValue(client)
    expect(await clicks()).toBeLessThanOrEqual(3)
  }, 90_000)

  it.skipIf(!socatIsHere)('a meter used before: two clicks', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = mkdtempSync(join(tmpdir(), 'probewright-known-'))
    later(() => { rmSync(dataFolder, { recursive: true, force: true }) })
    const before = await startApp([], dataFolder)
    const first = await openClient(before.address)
    await first.ask('connect', { path: pair.appEnd, description: 'Line meter A', name: 'My meter' })
    first.close()
    await before.close()

    const app = await startApp([], dataFolder)
    later(() => app.close())
    const browser = await openBrowser()
    later(() => browser.close())
    const client = await openClient(app.address)
    later(() => { client.close() })
    const board = (await client.ask('hello', {})).library.boards[0]?.board
    if (board === undefined) throw new Error('the sample board is missing')
    const page = await browser.page(app.address)
    await page.getByText('My meter').first().waitFor()
    const clicks = await countClicks(page)
    await page.getByTestId('connect').first().click()
    await client.until('link', (link) => link.status === 'open')
    await page.getByTestId('start-board').click()
    await page.getByTestId('prompt').waitFor()
    const hand = startScriptedHand({ board, faults: [], seed: 2, client, write: pair.write, press: () => { void page.keyboard.press('Space') } })
    later(() => { hand.stop() })
    await firstValue(client)
    expect(await clicks()).toBe(2)
  }, 120_000)

  it.each([[1280, 800, 'dark'], [1280, 800, 'light'], [1920, 1080, 'dark'], [1920, 1080, 'light']] as const)(
    'at %d×%d, %s: prompt, state line and limits are at least 36 px, the reading 96 px, and nothing scrolls', async (width, height, theme) => {
      const app = await startApp(['--practice', 'auto', '--seed', '3', '--fault', 'R4:open'])
      later(() => app.close())
      const browser = await openBrowser({ width, height }, theme)
      later(() => browser.close())
      const client = await openClient(app.address)
      later(() => { client.close() })
      const page = await browser.page(app.address)
      await client.until('bench', (bench) => bench?.step?.id === 'prepare/known-diode', 60_000)
      await page.getByTestId('limits').waitFor()
      const size = (id: string): Promise<number> => page.getByTestId(id).first().evaluate((element) => {
        // The words themselves, whichever element sets them: the largest text inside.
        const sizes = [element, ...element.querySelectorAll('*')].filter((each) => [...each.childNodes].some((node) => node.nodeType === 3 && node.textContent?.trim() !== ''))
        return Math.max(...sizes.map((each) => Number.parseFloat(getComputedStyle(each).fontSize)))
      })
      expect(await size('prompt')).toBeGreaterThanOrEqual(36)
      expect(await size('state-line')).toBeGreaterThanOrEqual(36)
      expect(await size('limits')).toBeGreaterThanOrEqual(36)
      expect(await size('live-reading')).toBeGreaterThanOrEqual(96)
      const overflow = await page.evaluate(() => ({ x: document.documentElement.scrollWidth - innerWidth, y: document.documentElement.scrollHeight - innerHeight }))
      expect(overflow).toEqual({ x: 0, y: 0 })
      expect(browser.violations).toEqual([])
    }, 90_000)
})
