/** At 200 % zoom: the bench keeps in view what it is for, as large to the eye as without zoom, and no screen has to be scrolled sideways. */
import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { typeByHand } from '../bench-tools/keys-sent'
import { openBench } from '../bench-tools/opened'
import { knownDiodeByHand } from '../bench-tools/practising-hand'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { sampled } from '../bench-tools/sampled'

const later = closeAfterEach()
const zoom = 2
const sizes = [[1280, 800], [1920, 1080]] as const

/** Size of the words, in pixels of the display, and whether they lie whole inside the window. */
const wordsOf = (page: Page, id: string): Promise<{ size: number; inView: boolean }> => page.getByTestId(id).first().evaluate((element, times) => {
  const own = [element, ...element.querySelectorAll('*')].filter((each) => [...each.childNodes].some((node) => node.nodeType === 3 && node.textContent?.trim() !== ''))
  const { top, bottom, left, right } = element.getBoundingClientRect()
  return { size: times * Math.max(...own.map((each) => Number.parseFloat(getComputedStyle(each).fontSize))), inView: top >= 0 && left >= 0 && bottom <= innerHeight + 1 && right <= innerWidth + 1 }
}, zoom)

type Place = { id: string; left: number; right: number; top: number; bottom: number }

const placesOf = (page: Page, ids: readonly string[]): Promise<Place[]> => page.evaluate((all) => all.map((id) => {
  const element = document.querySelector(`[data-testid="${id}"]`)
  if (element === null) throw new Error(`${id} is not there`)
  const { left, right, top, bottom } = element.getBoundingClientRect()
  return { id, left, right, top, bottom }
}), ids)

const overlaps = (places: readonly Place[]): string[] => places.flatMap((a, k) => places.slice(k + 1).flatMap((b) =>
  (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1 ? [`${a.id} over ${b.id}`] : [])))

const outside = (places: readonly Place[], { left, right, top, bottom }: Place): string[] =>
  places.filter((one) => one.left < left - 1 || one.right > right + 1 || one.top < top - 1 || one.bottom > bottom + 1).map(({ id }) => id)

const sideways = (page: Page): Promise<number> => page.evaluate(() => document.documentElement.scrollWidth - innerWidth)

describe.skipIf(!chromiumIsHere)('at 200 % zoom', () => {
  it.each(sizes)('on a display of %d×%d', async (width, height) => {
    const { app, browser, client } = await openBench(later, { viewport: { width: width / zoom, height: height / zoom } })
    const page = await browser.page(app.address)
    await page.getByTestId('start-practice').waitFor()
    for (const screen of ['Start', 'Boards', 'Meters', 'Records']) {
      await page.getByRole('button', { name: screen, exact: true }).first().click()
      await page.waitForTimeout(100)
      expect(await sideways(page), screen).toBeLessThanOrEqual(0)
    }
    await knownDiodeByHand(client)
    await page.getByTestId('limits').waitFor()
    await client.until('live', (live) => live.reading !== null)
    for (const [id, least] of [['prompt', 36], ['state-line', 36], ['limits', 36], ['live-reading', 96]] as const) {
      const { size, inView } = await wordsOf(page, id)
      expect(size, id).toBeGreaterThanOrEqual(least)
      expect(inView, `${id} in view`).toBe(true)
    }
    expect(await sideways(page)).toBeLessThanOrEqual(0)
    expect(browser.violations).toEqual([])
  })
  it.each(sampled(sizes, 1))('a typed value is in view with all that belongs to it, on a display of %d×%d', async (width, height) => {
    const { app, browser, client } = await openBench(later, { viewport: { width: width / zoom, height: height / zoom } })
    const page = await browser.page(app.address)
    await page.getByTestId('start-by-eye').waitFor()
    await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-80', byEye: true })
    await page.getByTestId('typed-value').waitFor()
    await client.ask('type-value', { text: 'OL', step: 'prepare/leads-apart/diode', touch: 1 })
    await page.getByTestId('limits').waitFor()
    const panel = async (): Promise<Place> => page.locator('.step-panel').evaluate((element) => {
      const { left, right, top, bottom } = element.getBoundingClientRect()
      return { id: 'panel', left, right, top, bottom }
    })
    const check = async (when: string): Promise<void> => {
      const places = await placesOf(page, ['prompt', 'typed-value', 'typed-says', 'state-line', 'limits'])
      expect(overlaps(places), when).toEqual([])
      expect(outside(places, await panel()), when).toEqual([])
      expect(await sideways(page), when).toBeLessThanOrEqual(0)
    }
    await check('empty')
    await typeByHand(page, '0,58', true)
    await page.getByTestId('typed-says').getByText('write the decimal with a point').waitFor()
    await check('with a fault')
    expect(browser.violations).toEqual([])
  })
  it.each(sampled(sizes, 1))('practising by hand, every move of the hand is in view with its key, on a display of %d×%d', async (width, height) => {
    const { app, browser, client } = await openBench(later, { viewport: { width: width / zoom, height: height / zoom } })
    const page = await browser.page(app.address)
    await page.getByTestId('start-practice').waitFor()
    await client.ask('start-practice', { board: 'soil-relay', revision: 'A', by: 'hand', seed: 3, faults: ['R4:open'] })
    await page.getByTestId('hand-dial').waitFor()
    for (const [id, key] of [['hand-red', '1'], ['hand-black', '2'], ['hand-dial', 'D']] as const) {
      expect(await page.getByTestId(id).locator('kbd').textContent(), id).toBe(key)
    }
    const panel = await page.locator('.bench-picture').evaluate((element) => {
      const { left, right, top, bottom } = element.getBoundingClientRect()
      return { id: 'panel', left, right, top, bottom }
    })
    const places = await placesOf(page, ['hand-red', 'hand-black', 'hand-dial', 'dial-resistance', 'dial-diode', 'hand-help'])
    expect(overlaps(places)).toEqual([])
    expect(outside(places, panel)).toEqual([])
    const said = await placesOf(page, ['prompt', 'live-reading', 'state-line'])
    expect(overlaps(said)).toEqual([])
    expect(await sideways(page)).toBeLessThanOrEqual(0)
    expect(browser.violations).toEqual([])
  })
})
