/** A step the meter is too coarse for in a real browser: said with the step, with what can be done, and skipped with the reason that fits. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { goOnByKeys } from '../bench-tools/keys-of-hand'
import { look, looksWhole } from '../bench-tools/look'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { mistValve, putBoard } from '../bench-tools/small-board'

const later = closeAfterEach()
describe.skipIf(!chromiumIsHere)('a meter too coarse for a step', () => {
  it('is said before the touch, and the reason to skip it is offered first', async () => {
    const dataFolder = openDataFolder(later)
    const parts = mistValve.parts.map((part) => (part.ref === 'R1' ? { ...part, value: 10 } : part)) as typeof mistValve.parts
    const steps = mistValve.sequence.steps.map((step) => (step.id === 'r1' && step.kind === 'measure' ? { ...step, limits: { between: [9.6, 10.4] as [number, number] } } : step))
    putBoard(dataFolder, { ...mistValve, parts, sequence: { ...mistValve.sequence, steps } })
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await client.ask('start-practice', { board: mistValve.id, revision: 'A', by: 'hand', seed: 3, faults: [] })
    await page.getByTestId('prompt').waitFor()
    await goOnByKeys(page, () => Promise.resolve(client.last('bench')?.step?.id === 'r1'))
    await page.locator('.caution').getByText('one count is 0.1 Ω').waitFor()
    await looksWhole(page, 'too-coarse-before')
    await page.setViewportSize({ width: 1280, height: 800 })
    await client.ask('place', { tips: 'lifted', function: 'resistance' })
    await client.until('live', (live) => live.reading?.figure === 'OL')
    await client.ask('place', { tips: { leads: { red: 'J1.1', black: 'R1.2' } }, function: 'resistance' })
    await client.until('live', (live) => live.wants === 'skip', 30_000)
    await page.getByTestId('state-line').getByText('meter too coarse: skip, or a finer one').waitFor()
    await look(page, 'too-coarse')
    await page.keyboard.press('s')
    const offered = page.locator('.inline-ask .chip.offered')
    expect(await offered.textContent()).toBe('5meter too coarse')
    await look(page, 'too-coarse-skip')
    await page.setViewportSize({ width: 1280, height: 800 })
    const [first = 0, last = 1] = await page.locator('.inline-ask .chip').evaluateAll((all) => [all[0], all.at(-1)].map((one) => one?.getBoundingClientRect().top ?? -1))
    expect(last - first).toBe(0)
    await page.keyboard.press('5')
    const after = await client.until('bench', (now) => now?.step?.id === 'd1-reverse')
    expect(after?.steps.find(({ id }) => id === 'r1')?.skipReason).toBe('meter too coarse')
    expect(browser.violations).toEqual([])
  })
})
