/** A value opened in Records shows what its uncertainty was made of; the shop's rule is chosen from those the guidance names. */
import { describe, expect, it } from 'vitest'
import { nextBoardAfterSeconds } from '../../src-core/run/next-board'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('the uncertainty of a value', () => {
  it('is chosen a rule for on Meters, and is shown part by part with the chance to conform when the value is opened', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByRole('button', { name: 'Meters', exact: true }).first().click()
    await page.getByRole('radio', { name: /^Guard band of r U/ }).check()
    await page.getByLabel('r', { exact: true }).fill('3.5')
    await page.getByRole('button', { name: 'Keep the rule' }).click()
    await page.getByText('r must be a figure above 0 and at most 3.').waitFor()
    await page.getByRole('radio', { name: /^Guard band of U, as ILAC-G8/ }).check()
    expect(await page.getByTestId('rule-words').textContent()).toMatch(/^Guard band w = U .*conditional pass/)
    await page.getByRole('button', { name: 'Keep the rule' }).click()
    await expect.poll(async () => (await client.ask('hello', {})).library.rule).toEqual({ kind: 'guard-band', r: 1 })

    const board = (await client.ask('hello', {})).library.boards.find(({ id, revision }) => id === 'vent-driver-node' && revision === 'C')?.board
    if (board === undefined) throw new Error('the sample board is missing')
    const { run } = await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'VD-9', byEye: true })
    await typeAll(client, board)
    await page.waitForTimeout(nextBoardAfterSeconds * 1000 + 100)
    await client.ask('close-run', {})
    await page.getByRole('button', { name: 'Records', exact: true }).first().click()
    await page.getByTestId('open-run').first().click()
    await page.getByTestId('detail-verdict').waitFor()
    const step = (await client.ask('read-run', { run })).steps.find(({ id }) => id === 'r3')
    const value = step?.values.find(({ standing }) => standing)
    if (value === undefined || value.budget === null) throw new Error('r3 has no budget')
    const row = page.locator('[data-testid=detail-step][data-step=r3]')
    await row.locator('.step-opener').click()
    const budget = row.getByTestId('budget')
    expect(await budget.locator('tbody tr').count()).toBe(value.budget.rows.length)
    expect(await budget.locator('tbody th').allTextContents()).toEqual(value.budget.rows.map(({ what, from }) => `${what} ${from}`))
    expect(await budget.locator('summary').textContent()).toBe(`Uncertainty ${value.budget.result}`)
    expect(await budget.getByTestId('conformance').textContent()).toContain(value.budget.conformance)
    expect(await budget.getByRole('img').getAttribute('aria-label')).toContain(value.budget.result)
    // Of a guard band the acceptance limits are drawn too, inside the others.
    expect(await budget.getByTestId('acceptance').textContent()).toBe(value.budget.acceptance)
    const upright = (kind: string): Promise<number[]> => budget.locator(`.${kind} path`).evaluateAll((all) => all.map((each) => each.getBoundingClientRect().x))
    const [[lo = NaN, hi = NaN], [acceptLo = NaN, acceptHi = NaN]] = [await upright('axis-limit'), await upright('axis-acceptance')]
    expect([lo < acceptLo, acceptLo < acceptHi, acceptHi < hi]).toEqual([true, true, true])
    // The longest bar is that of the largest part.
    const bars = await budget.locator('.budget-bar rect').evaluateAll((all) => all.map((bar) => Number(bar.getAttribute('width'))))
    expect(bars).toEqual(value.budget.rows.map(({ bar }) => 100 * bar))
    expect(Math.max(...bars)).toBe(100)
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true)
    const folder = process.env.BUDGET_PICTURES
    if (folder !== undefined) {
      await page.setViewportSize({ width: 1280, height: 800 })
      for (const colorScheme of ['dark', 'light'] as const) {
        await page.emulateMedia({ colorScheme })
        await row.scrollIntoViewIfNeeded()
        await row.locator('.step-opener').evaluate((it) => { it.scrollIntoView({ block: 'start' }) })
        await page.screenshot({ path: `${folder}/budget-${colorScheme}.png` })
      }
    }
  })
})
