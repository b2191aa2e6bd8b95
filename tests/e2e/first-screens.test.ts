/** What a newcomer and a regular see first: few clicks to the first value, and figures that can be read across the bench. */
import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { closeAfter } from '../bench-tools/closers'
import type { ContractClient } from '../bench-tools/contract-client'
import { openApp, openBench, openDataFolder } from '../bench-tools/opened'
import { knownDiodeByHand } from '../bench-tools/practising-hand'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { startScriptedHand } from '../bench-tools/scripted-hand'

const later = closeAfterEach()

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

/** At a step that measures, in either theme. */
const canBeRead = async (page: Page): Promise<void> => {
  await page.getByTestId('limits').waitFor()
  await page.getByTestId('live-reading').waitFor()
  const size = (id: string): Promise<number> => page.getByTestId(id).first().evaluate((element) => {
    // The words themselves, whichever element sets them: the largest text inside.
    const sizes = [element, ...element.querySelectorAll('*')].filter((each) => [...each.childNodes].some((node) => node.nodeType === 3 && node.textContent?.trim() !== ''))
    return Math.max(...sizes.map((each) => Number.parseFloat(getComputedStyle(each).fontSize)))
  })
  for (const colorScheme of ['dark', 'light'] as const) {
    await page.emulateMedia({ colorScheme })
    expect(await size('prompt')).toBeGreaterThanOrEqual(36)
    expect(await size('state-line')).toBeGreaterThanOrEqual(36)
    expect(await size('limits')).toBeGreaterThanOrEqual(36)
    expect(await size('live-reading')).toBeGreaterThanOrEqual(96)
    const overflow = await page.evaluate(() => ({ x: document.documentElement.scrollWidth - innerWidth, y: document.documentElement.scrollHeight - innerHeight }))
    expect(overflow).toEqual({ x: 0, y: 0 })
  }
}

describe.skipIf(!chromiumIsHere)('the first screens', () => {
  it('practice: at most three clicks from launch to the first captured value', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByTestId('start-practice').waitFor()
    const clicks = await countClicks(page)
    await page.getByTestId('start-practice').click()
    await firstValue(client)
    expect(await clicks()).toBeLessThanOrEqual(3)
  })

  it.skipIf(!socatIsHere)('a meter used before: two clicks', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = openDataFolder(later)
    await closeAfter(async (before) => {
      const { client } = await openApp(before, { dataFolder })
      await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', name: 'My meter' })
    })

    const { app, browser, client } = await openBench(later, { dataFolder })
    const board = (await client.ask('hello', {})).library.boards[0]?.board
    if (board === undefined) throw new Error('the sample board is missing')
    const page = await browser.page(app.address)
    await page.getByText('My meter').first().waitFor()
    const clicks = await countClicks(page)
    await page.getByTestId('connect').first().click()
    await client.until('link', (link) => link.status === 'open')
    await page.getByTestId('start-board').click()
    await page.getByTestId('prompt').waitFor()
    const hand = startScriptedHand({ board, faults: [], seed: 2, client, write: pair.write, press: () => { void page.keyboard.press('Space').catch(() => undefined) } })
    later(() => { hand.stop() })
    await firstValue(client)
    expect(await clicks()).toBe(2)
  })

  // Practised by hand, a run stands at its step until somebody moves the leads: no moment is to be caught.
  it.each([[1280, 800], [1920, 1080]] as const)(
    'at %d×%d, dark and light: prompt, state line and limits are at least 36 px, the reading 96 px, and nothing scrolls', async (width, height) => {
      const { app, browser, client } = await openBench(later, { viewport: { width, height } })
      const page = await browser.page(app.address)
      await knownDiodeByHand(client)
      await canBeRead(page)
      expect(client.last('bench')?.step?.id).toBe('prepare/known-diode')
      expect(browser.violations).toEqual([])
    })
})
