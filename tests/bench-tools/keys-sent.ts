/**
 * Keys as a hand and as a scanner send them. Their times are given with them, so that a busy machine, which delivers them late or in one
 * piece, does not make a hand look like a scanner or the other way round.
 */
import type { CDPSession, Page } from 'playwright-core'

type Key = { key: string; code?: string; text?: string; windowsVirtualKeyCode: number }

/** Virtual key codes of what is no letter, digit or space; their character codes mean other keys. */
const signs: Record<string, number> = { ',': 188, '-': 189, '.': 190, '/': 191 }

const keyFor = (character: string): Key => {
  if (character === 'Enter') return { key: 'Enter', code: 'Enter', text: '\r', windowsVirtualKeyCode: 13 }
  return { key: character, text: character, windowsVirtualKeyCode: signs[character] ?? character.toUpperCase().charCodeAt(0) }
}

/** s between two keys; a scanner's 4 ms and a quick hand's 90 ms are common practice, no source. */
const scannerGap = 0.004
const handGap = 0.09
const heldFor = 0.001

const strike = async (session: CDPSession, character: string, timestamp: number): Promise<void> => {
  const key = keyFor(character)
  await Promise.all([
    session.send('Input.dispatchKeyEvent', { type: 'keyDown', ...key, timestamp }),
    session.send('Input.dispatchKeyEvent', { type: 'keyUp', key: key.key, windowsVirtualKeyCode: key.windowsVirtualKeyCode, timestamp: timestamp + heldFor }),
  ])
}

const now = (): number => Date.now() / 1000

/** ms: the page is kept busy from `soon` on for `long`, so that keys which a busy machine brings in pieces are met in one. */
const burst = { soon: 25, long: 250 }

/** A code and its Enter, in one burst. The page waits 40 ms of its own for the next key: it must not pass while one is still under way. */
export const scan = async (page: Page, code: string): Promise<void> => {
  const session = await page.context().newCDPSession(page)
  await page.evaluate(({ soon, long }) => {
    setTimeout(() => { for (const until = performance.now() + long; performance.now() < until;); }, soon)
  }, burst)
  const from = now()
  await Promise.all([...code, 'Enter'].map((character, k) => strike(session, character, from + k * scannerGap)))
  await session.detach()
}

/** A quick hand's typing; `Enter` behind it where asked. */
export const typeByHand = async (page: Page, text: string, enter = false): Promise<void> => {
  const session = await page.context().newCDPSession(page)
  let last = 0
  for (const character of [...text, ...(enter ? ['Enter'] : [])]) {
    last = Math.max(now(), last + handGap)
    await page.waitForTimeout(Math.max(0, (last - now()) * 1000))
    await strike(session, character, last)
  }
  await session.detach()
}

/** Goes on with Tab, as a person does, until the control has the focus. */
export const tabTo = async (page: Page, id: string): Promise<void> => {
  for (let k = 0; k < 60; k += 1) {
    if (await page.getByTestId(id).evaluate((element) => element === document.activeElement)) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`Tab never came to ${id}.`)
}
