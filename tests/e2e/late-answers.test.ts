/** A reason or a note that is answered when its step has its value already lands on no other step. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('an answer that comes late', () => {
  it('a skip question closes when its step changes, and says so; a note goes to its own step', async () => {
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
  }, 60_000)
})
