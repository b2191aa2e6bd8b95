/**
 * Pass and fail, told apart with each colour blindness that Chromium emulates (its matrices follow Machado, Oliveira and Fernandes 2009,
 * IEEE TVCG 15(6); from memory) and with no colour at all: by the shape of their sign, by word and by line style.
 */
import type { Locator, Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { typeAll } from '../bench-tools/typing-hand'
import { sampled } from '../bench-tools/sampled'

const later = closeAfterEach()

/** Contrast of each pixel with the ground of its corner (WCAG 2.2, contrast ratio), in rows of one size. */
type Seen = { contrast: number[]; strongest: number }

const seen = async (page: Page, sign: Locator): Promise<Seen> => {
  const png = (await sign.screenshot()).toString('base64')
  const contrast = await page.evaluate(async (data) => {
    const image = await createImageBitmap(new Blob([Uint8Array.from(atob(data), (c) => c.charCodeAt(0))], { type: 'image/png' }))
    const canvas = new OffscreenCanvas(24, 24)
    const context = canvas.getContext('2d')
    if (context === null) throw new Error('no canvas')
    context.drawImage(image, 0, 0, 24, 24)
    const { data: bytes } = context.getImageData(0, 0, 24, 24)
    const light = (at: number): number => {
      const [r = 0, g = 0, b = 0] = [0, 1, 2].map((k) => {
        const c = (bytes[at + k] ?? 0) / 255
        return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4
      })
      return 0.2126 * r + 0.7152 * g + 0.0722 * b
    }
    const ground = light(0)
    return Array.from({ length: 24 * 24 }, (_, k) => {
      const here = light(4 * k)
      return (Math.max(here, ground) + 0.05) / (Math.min(here, ground) + 0.05)
    })
  }, png)
  return { contrast, strongest: Math.max(...contrast) }
}

/** Share of the drawn pixels of either sign that the other has not. */
const differingShare = (a: Seen, b: Seen): number => {
  const drawn = (each: Seen): boolean[] => each.contrast.map((contrast) => contrast > 2)
  const [first, second] = [drawn(a), drawn(b)]
  const either = first.filter((on, k) => on || second[k]).length
  return first.filter((on, k) => on !== second[k]).length / either
}

describe.skipIf(!chromiumIsHere)('pass and fail without colour', () => {
  it.each(sampled(['dark', 'light'] as const, 1))('in the %s theme: sign, word and line differ in every simulated vision', async (theme) => {
    const { app, browser, client } = await openBench(later, { theme })
    const page = await browser.page(app.address)
    const board = (await client.ask('hello', {})).library.boards.find(({ id, revision }) => id === 'vent-driver-node' && revision === 'C')?.board
    if (board === undefined) throw new Error('the sample board is missing')
    await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'VD-6', byEye: true })
    await typeAll(client, board, { instead: { r4: '480.2' }, stopAt: 'r7' })
    const step = (id: string): Locator => page.locator(`[data-testid="step-row"][data-step="${id}"]`)
    await step('r4').locator('.sign-fail').waitFor()
    const scratch = await browser.context.newPage()
    const session = await browser.context.newCDPSession(page)
    for (const type of ['none', 'protanopia', 'deuteranopia', 'tritanopia', 'achromatopsia'] as const) {
      await session.send('Emulation.setEmulatedVisionDeficiency', { type })
      const fail = await seen(scratch, step('r4').locator('.step-verdict .sign'))
      const pass = await seen(scratch, step('rail-5v').locator('.step-verdict .sign'))
      expect(differingShare(pass, fail), `${type}: share of the signs' pixels that differ`).toBeGreaterThan(0.5)
      expect(Math.min(pass.strongest, fail.strongest), `${type}: contrast of the weaker sign (WCAG 2.2, 1.4.11)`).toBeGreaterThanOrEqual(3)
    }
    await session.send('Emulation.setEmulatedVisionDeficiency', { type: 'none' })
    const line = (id: string): Promise<string> => step(id).evaluate((row) => getComputedStyle(row).borderBottomStyle)
    expect([await line('rail-5v'), await line('r4')]).toEqual(['solid', 'dashed'])
    expect([await step('rail-5v').getByTestId('step-verdict').textContent(), await step('r4').getByTestId('step-verdict').textContent()]).toEqual(['pass', 'fail'])
  })
})
