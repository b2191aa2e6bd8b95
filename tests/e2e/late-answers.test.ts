/** What is pressed too late lands on no other step and no other board. */
import { describe, expect, it } from 'vitest'
import { nextBoardAfterSeconds } from '../../src-core/run/next-board'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('an answer that comes late', () => {
  it('a skip question closes when its step changes, and says so; a note goes to its own step; Enter twice starts no board', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await client.ask('start-run', { board: 'mist-valve', revision: 'A', serialNumber: '', byEye: true })
    await typeAll(client, mistValve, { stopAt: 'r1' })
    const at = (step: string): Promise<void> => page.locator(`[data-testid="step-row"][data-step="${step}"][data-state="now"]`).waitFor()
    const row = (id: string) => client.last('bench')?.steps.find((each) => each.id === id)
    await at('r1')

    await page.keyboard.press('n')
    const field = page.getByRole('textbox', { name: 'Note' })
    await field.fill('scorch mark beside R1')
    await client.ask('type-value', { text: '220.0', step: 'r1', touch: 1 })
    await at('d1-reverse')
    await field.press('Enter')
    await expect.poll(() => row('r1')?.note).toBe('scorch mark beside R1')
    expect(row('d1-reverse')?.note).toBeNull()

    await page.keyboard.press('s')
    await page.getByRole('form', { name: 'Skip, because' }).waitFor()
    await client.ask('type-value', { text: 'OL', step: 'd1-reverse', touch: 1 })
    await at('coating')
    await page.getByText('D1 reverse has its value meanwhile: nothing was skipped.').waitFor()
    expect(await page.getByRole('form', { name: 'Skip, because' }).count()).toBe(0)
    await page.keyboard.press('1')
    await page.waitForTimeout(300)
    expect([client.last('bench')?.step?.id, row('coating')?.state]).toEqual(['coating', 'now'])
    expect(browser.violations).toEqual([])

    // Twice at the end: the second press starts no nameless run; once the end was seen, it starts the next board.
    const run = client.last('bench')?.run
    await page.waitForTimeout(600)
    await page.keyboard.press('Space')
    await page.getByTestId('run-verdict').waitFor()
    await page.keyboard.press('Enter')
    await page.getByText('so no board was started').waitFor()
    expect(client.last('bench')?.run).toBe(run)
    await page.waitForTimeout(nextBoardAfterSeconds * 1000)
    await page.keyboard.press('Enter')
    await client.until('bench', (bench) => bench !== null && bench.run !== run && bench.status === 'running')
    await expect.poll(() => page.getByText('so no board was started').count()).toBe(0)
  })
})
