/** Pictures of a screen in both usual sizes, for people to look at: taken where PICTURES names a folder. */
import { join } from 'node:path'
import type { Page } from 'playwright-core'

const folder = process.env.PICTURES

/** NAME-1280.png and NAME-1920.png; the page keeps the larger size. */
export const look = async (page: Page, name: string): Promise<void> => {
  if (folder === undefined) return
  for (const [width, height] of [[1280, 800], [1920, 1080]] as const) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: join(folder, `${name}-${width}.png`) })
  }
}
