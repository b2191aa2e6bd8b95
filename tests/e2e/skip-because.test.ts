/** A step that can only be skipped, in a real browser: the reason the bench gives is the one offered, and every reason stays on its line. */
import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../src-core/board/board-type'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { looksWhole } from '../bench-tools/look'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()
describe.skipIf(!chromiumIsHere)('a watch with no meter connected', () => {
  it('is skipped by skip and confirm alone for the reason that the bench gives', async () => {
    const dataFolder = openDataFolder(later)
    const steps = mistValve.sequence.steps.map((step): BoardType['sequence']['steps'][number] => (step.id !== 'r1' || step.kind !== 'measure' ? step
      : { kind: 'watch', id: 'r1', title: 'Flex', red: step.red, black: step.black, function: 'resistance', limits: { atMost: 500 }, seconds: 4, parts: ['R1'], then: [], words: 'Flex the board gently.' }))
    const board = { ...mistValve, sequence: { ...mistValve.sequence, steps } }
    putBoard(dataFolder, board)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await client.ask('start-run', { board: board.id, revision: 'A', serialNumber: '', byEye: true })
    await typeAll(client, board, { stopAt: 'r1' })
    await page.getByTestId('state-line').getByText('no meter to follow with: skip it').waitFor()
    await page.keyboard.press('s')
    const offered = page.locator('.inline-ask .chip.offered')
    expect(await offered.textContent()).toBe('1no meter to follow with')
    for (const size of [{ width: 1280, height: 800 }, { width: 1920, height: 1080 }]) {
      await page.setViewportSize(size)
      await page.waitForTimeout(150)
      const below = await page.locator('.message-row').evaluate((row) => [...row.querySelectorAll('.inline-ask *')].filter((one) => one.getBoundingClientRect().bottom > row.getBoundingClientRect().bottom).map((one) => one.textContent))
      expect(below, `at ${size.width}`).toEqual([])
    }
    await looksWhole(page, 'skip-because')
    await page.waitForTimeout(600)
    await page.keyboard.press('Space')
    const after = await client.until('bench', (now) => now?.step?.id === 'd1-reverse')
    expect(after?.steps.find(({ id }) => id === 'r1')).toMatchObject({ state: 'skipped', skipReason: 'no meter to follow with' })
    expect(browser.violations).toEqual([])
  })
})
