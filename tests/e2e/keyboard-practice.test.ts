/** A whole practice run by keyboard alone, from the first screen to the next board: no mouse, no finger on the glass. */
import { describe, expect, it } from 'vitest'
import { nextBoardAfterSeconds } from '../../src-core/run/next-board'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { pointerWords, watchHands } from '../bench-tools/hands-used'
import { tabTo, typeByHand } from '../bench-tools/keys-sent'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { mistValve, putBoard } from '../bench-tools/small-board'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('practice by keyboard alone', () => {
  it('is chosen, started, noted on, ended and followed by the next board', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await page.getByTestId('start-practice').waitFor()
    const used = await watchHands(page)

    await tabTo(page, 'practice-board')
    await page.keyboard.type('Mist')
    await tabTo(page, 'start-practice')
    await page.keyboard.press('Enter')
    await page.getByTestId('prompt').waitFor()
    expect(client.last('bench')?.board.id).toBe('mist-valve')

    // A note and the screen of sound and keys, while the run goes on.
    await page.keyboard.press('n')
    await page.getByRole('textbox', { name: 'Note' }).waitFor()
    await typeByHand(page, 'coating scraped', true)
    await client.until('bench', (bench) => bench?.steps.some(({ note }) => note === 'coating scraped') === true)
    await page.keyboard.press('k')
    await page.getByTestId('test-pedal').waitFor()
    await page.keyboard.press('Escape')
    await page.getByTestId('prompt').waitFor()

    const ended = await client.until('bench', (bench) => bench?.result !== null && bench?.result !== undefined, 90_000)
    await page.getByTestId('practice-truth').waitFor()
    expect(ended?.result?.truth).toMatch(/^Hidden in the practice board/)
    await page.waitForTimeout(nextBoardAfterSeconds * 1000)
    await page.keyboard.press('Enter')
    await client.until('bench', (bench) => bench !== null && bench.run !== ended?.run && bench.status === 'running')
    await page.getByTestId('prompt').waitFor()

    expect((await used()).filter((word) => pointerWords.includes(word))).toEqual([])
    expect((await used()).length).toBeGreaterThan(20)
    expect(browser.violations).toEqual([])
  })
})
