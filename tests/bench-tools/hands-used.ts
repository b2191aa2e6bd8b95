/** Notes what a page is worked with: every key, and every touch of a mouse or a finger. */
import type { Page } from 'playwright-core'

/** From now on. The words are key names, and names of pointer events. */
export const watchHands = async (page: Page): Promise<() => Promise<string[]>> => {
  await page.evaluate(() => {
    const used: string[] = []
    Object.assign(window, { used })
    window.addEventListener('keydown', (event) => used.push(event.key), true)
    for (const kind of ['pointerdown', 'mousedown', 'touchstart', 'wheel']) window.addEventListener(kind, () => used.push(kind), true)
  })
  return () => page.evaluate(() => (window as unknown as { used: string[] }).used)
}

export const pointerWords: readonly string[] = ['pointerdown', 'mousedown', 'touchstart', 'wheel']
