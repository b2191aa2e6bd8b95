/** Limits nobody typed, in a real browser: on Boards with their origin, and on the bench at the size of any others. */
import { cpSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { root } from '../bench-tools/running-app'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('computed limits', () => {
  it('are told as computed on Boards and on the bench, and push nothing off the screen', async () => {
    const dataFolder = openDataFolder(later)
    cpSync(join(root, 'fixtures/more-boards/frost-sensor'), join(dataFolder, 'boards/frost-sensor'), { recursive: true })
    const { app, browser, client } = await openBench(later, { dataFolder, viewport: { width: 1280, height: 800 } })
    const page = await browser.page(app.address)
    await page.getByRole('link', { name: 'Boards' }).or(page.getByRole('button', { name: 'Boards' })).or(page.getByRole('tab', { name: 'Boards' })).first().click()
    await page.getByRole('button', { name: /frost/i }).first().click()
    const row = page.getByRole('row').filter({ has: page.getByRole('rowheader', { name: 'R4 feed' }) })
    await row.getByText(/^[\d.]+ kΩ to [\d.]+ kΩ, computed$/).or(row.getByText(/kΩ, computed/)).first().waitFor()
    expect(await row.textContent()).toMatch(/Limits computed: a good board reads 7\.6 kΩ \(a typical meter source, 15 °C to 35 °C\)\./)

    const board = (await client.ask('hello', {})).library.boards.find(({ id }) => id === 'frost-sensor')?.board
    if (board === undefined) throw new Error('the board is missing')
    await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'FS-3', byEye: true })
    await typeAll(client, board, { stopAt: 'r2' })
    await page.reload()
    const limits = page.getByTestId('limits')
    await limits.waitFor()
    expect(await limits.textContent()).toMatch(/^computed [\d.]+ kΩ to [\d.]+ kΩ$/)
    const overflow = await page.evaluate(() => ({ x: document.documentElement.scrollWidth - innerWidth, y: document.documentElement.scrollHeight - innerHeight }))
    expect([overflow.x <= 0, overflow.y <= 0]).toEqual([true, true])
    const right = await page.locator('.scale-words > :last-child').evaluate((element) => element.getBoundingClientRect().right - innerWidth)
    expect(right).toBeLessThanOrEqual(0)
  }, 90_000)
})
