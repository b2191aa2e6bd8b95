/** A run beside a good board in a real browser: chosen on Start, each board said in large, and the fault found by the difference. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { logRepair } from '../bench-tools/logged-repair'
import { look, looksWhole } from '../bench-tools/look'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()
describe.skipIf(!chromiumIsHere)('beside a good board', () => {
  it('is chosen on Start, and each board is said in large', async () => {
    const { app, browser, client } = await openBench(later, {})
    const page = await browser.page(app.address)
    await page.getByTestId('practise-beside').check()
    await look(page, 'beside-start')
    await page.getByTestId('practise-by-hand').click()
    const begun = await client.until('bench', (now) => now !== null, 60_000)
    expect(begun?.steps.filter(({ title }) => title.startsWith('Good board: voltage left in')).length).toBeGreaterThan(0)
    await client.ask('close-run', {})

    await client.ask('start-practice', { seed: 7, faults: ['R4:open'], beside: true })
    await page.getByTestId('prompt').waitFor()
    await client.until('bench', (now) => now?.step?.onBoard?.which === 'good' && !now.step.id.startsWith('prepare/'), 240_000)
    await page.getByTestId('on-board').getByText('on the GOOD board').waitFor()
    await client.ask('press', { key: 'pause' })
    await looksWhole(page, 'on-the-good-board')
    await client.ask('press', { key: 'resume' })
    await client.until('bench', (now) => now?.steps.some((row) => row.beside?.includes('good board') === true && row.verdict !== null) === true && now.step?.onBoard?.which === 'under-test' && !now.step.id.startsWith('prepare/'), 180_000)
    await client.ask('press', { key: 'pause' })
    await looksWhole(page, 'on-the-board-under-test')
    await client.ask('press', { key: 'resume' })
    const ended = await client.until('bench', (now) => now?.result !== null && now !== null, 300_000)
    expect(ended?.result?.failed.map(({ step }) => step)).toEqual(['r4'])

    await page.getByTestId('to-repair').click()
    await logRepair(page, 'R4', 'replaced', () => page.getByTestId('fitted-marking').fill('101'))
    const tick = page.getByTestId('again-beside')
    expect(await tick.isChecked()).toBe(true)
    await look(page, 'again-beside')
    const startAgain = async (): Promise<(string | undefined)[]> => {
      const before = (await client.until('bench', (now) => now !== null))?.run
      await page.getByTestId('again-affected').click()
      const again = await client.until('bench', (now) => now !== null && now.run !== before, 60_000)
      await client.ask('end', { reason: 'seen enough' })
      return [again?.steps.find(({ id }) => id.startsWith('prepare/good-board/'))?.title]
    }
    expect(await startAgain()).toEqual(['Good board: voltage left in bulk'])
    await page.getByTestId('to-repair').click()
    await tick.uncheck()
    expect(await startAgain()).toEqual([undefined])
    await page.getByTestId('to-repair').click()
    expect(await tick.isChecked()).toBe(false)
    expect(browser.violations).toEqual([])
  }, 600_000)
})
