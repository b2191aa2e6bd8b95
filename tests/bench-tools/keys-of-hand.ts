/** Practice by hand with the keyboard alone: the key a person would press next, from what is on the screen. */
import type { Page } from 'playwright-core'

/** What a person sees: the state line's wish, and which keys of the hand are shown. */
export const seen = (page: Page) => page.evaluate(() => ({
  over: document.querySelector('[data-testid="run-verdict"]') !== null,
  wants: document.querySelector('.state')?.getAttribute('data-wants') ?? '',
  state: document.querySelector('[data-testid="state-line"]')?.textContent ?? '',
  prompt: document.querySelector('[data-testid="prompt"]')?.textContent ?? '',
  keys: [...document.querySelectorAll('.hand-bar [data-testid^="hand-"]')].map((one) => one.getAttribute('data-testid') ?? ''),
}))

/** The key a person would press next, or null to wait. */
const nextKey = ({ wants, state, keys }: Awaited<ReturnType<typeof seen>>): string | null => {
  if (wants === 'lift') return keys.includes('hand-lift') ? 'l' : null
  if (keys.includes('hand-dial')) return 'd'
  if (wants === 'confirm' || wants === 'press' || state.includes('or confirm open')) return 'Space'
  return keys.includes('hand-as-asked') ? 'a' : null
}

/** What is on the screen once it has stood there for two looks: nobody's hand is faster, and what has just come or is about to go is not acted on. */
const stoodStill = async (page: Page): Promise<Awaited<ReturnType<typeof seen>> | null> => {
  const before = await seen(page)
  await page.waitForTimeout(200)
  const now = await seen(page)
  return before.prompt === now.prompt && before.wants === now.wants && before.keys.join() === now.keys.join() ? now : null
}

/** Presses what is wanted until it has come so far. */
export const goOnByKeys = async (page: Page, until: () => Promise<boolean>): Promise<void> => {
  const from = Date.now()
  while (!(await until())) {
    if (Date.now() - from > 60_000) throw new Error(`The run stood still: ${JSON.stringify(await seen(page))}`)
    const still = await stoodStill(page)
    const key = still === null ? null : nextKey(still)
    if (key !== null) await page.keyboard.press(key)
    await page.waitForTimeout(key === 'Space' ? 360 : 0)
  }
}
