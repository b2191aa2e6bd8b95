/** A screen in both usual sizes: pictures for people to look at, taken where PICTURES names a folder, whether anything is pushed off it, and what axe finds on it. */
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { expect } from 'vitest'
import { sampled } from './sampled'
import { seriousIn } from './serious-in'

const folder = process.env.PICTURES

const sizes = [{ width: 1280, height: 800 }, { width: 1920, height: 1080 }]

/** Axe takes two seconds and more a screen: one in four a day, by seed and name, and all in the long run. */
const examined = async (page: Page, name: string): Promise<void> => {
  if (sampled([0, 1, 2, 3], 1).includes([...name].reduce((sum, letter) => sum + (letter.codePointAt(0) ?? 0), 0) % 4)) expect(await seriousIn(page), name).toEqual([])
}

/** NAME-1280.png and NAME-1920.png; the page keeps the larger size. */
export const look = async (page: Page, name: string): Promise<void> => {
  await examined(page, name)
  if (folder === undefined) return
  for (const size of sizes) {
    await page.setViewportSize(size)
    await page.waitForTimeout(300)
    await page.screenshot({ path: join(folder, `${name}-${size.width}.png`) })
  }
}

/** Nothing of the bench may be pushed off the screen, in either size. */
export const looksWhole = async (page: Page, name: string): Promise<void> => {
  await examined(page, name)
  for (const size of sizes) {
    await page.setViewportSize(size)
    // On a picture the lead marks are to have come to their places.
    await page.waitForTimeout(folder === undefined ? 150 : 700)
    if (folder !== undefined) await page.screenshot({ path: join(folder, `${name}-${size.width}.png`) })
    const over = await page.evaluate(() => [document.documentElement.scrollWidth - innerWidth, document.documentElement.scrollHeight - innerHeight])
    expect(over.every((pixels) => pixels <= 0), `${name} at ${size.width}: ${over.join(', ')}`).toBe(true)
    const hidden = await page.evaluate(() => [...document.querySelectorAll('.step-panel .prompt, .step-panel .where, .step-panel .caution, .step-panel .state, .step-panel .watched, .step-panel .scale')].filter((one) => {
      const { bottom, right } = one.getBoundingClientRect()
      const panel = document.querySelector('.step-panel')?.getBoundingClientRect()
      return panel !== undefined && (bottom > panel.bottom + 1 || right > panel.right + 1)
    }).map((one) => one.className))
    expect(hidden, `${name} at ${size.width}`).toEqual([])
  }
}
