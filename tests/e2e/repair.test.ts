/** The repair of one unit in a real browser: fault found, two parts replaced, a leg forgotten and named, measured again, closed. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { lineInput } from '../bench-tools/lifted-board'
import { logRepair } from '../bench-tools/logged-repair'
import { look } from '../bench-tools/look'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()
const whole = lineInput([18_000, 31_000])
const board = { ...whole, sequence: { ...whole.sequence, steps: whole.sequence.steps.filter(({ id }) => id === 'r1') } }
/** One pixel, PNG. */
const pixel = Buffer.from('iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==', 'base64')

describe.skipIf(!chromiumIsHere)('the repair log', () => {
  it('leads from the fault to the closed board', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, board)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await page.getByTestId('start-by-eye').waitFor()
    await client.ask('start-run', { board: 'line-input', revision: 'A', serialNumber: 'LI-9', byEye: true })
    await typeAll(client, board, { instead: { r1: '900.0' } })
    await page.getByTestId('to-repair').click()

    const log = (part: string, action: string, more: () => Promise<unknown>) => logRepair(page, part, action, more)
    const leg = () => page.getByTestId('repair-pin').selectOption('anode')
    await log('D2', 'lifted', leg)
    // A substitute is judged while it is typed, and what is unknown is said.
    await log('R1', 'replaced', async () => {
      await page.getByTestId('fitted-marking').fill('121')
      await page.getByTestId('fitted-same').uncheck()
      await page.getByLabel('Tolerance ±').fill('5')
      await page.locator('[data-testid="judged"] [data-is="worse"]').getByText('± 5 % for ± 2 %').waitFor()
      await page.getByTestId('photograph-after').setInputFiles({ name: 'after.png', mimeType: 'image/png', buffer: pixel })
      await page.locator('.photograph-field img').waitFor()
    })
    const widths = () => page.locator('[data-testid="repair-entry"] img').evaluateAll((all) => all.map((img) => (img as HTMLImageElement).naturalWidth))
    expect(await widths()).toEqual([1])
    // Without leave no camera, and what to do instead. This browser gives leave by itself, so it is taken away as Chromium with a window refuses it.
    await page.evaluate(() => {
      const own = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices)
      navigator.mediaDevices.getUserMedia = (wish) => {
        navigator.mediaDevices.getUserMedia = own
        return wish === undefined || wish.audio !== false ? own(wish) : Promise.reject(new DOMException('Permission denied', 'NotAllowedError'))
      }
    })
    await page.getByTestId('camera-on').click()
    expect(await page.getByTestId('repair-fault').innerText()).toMatch(/camera was refused\..*choose a file/)
    // With it the photograph is what the camera saw.
    await log('D1', 'replaced', async () => {
      await page.getByTestId('fitted-marking').fill('A4')
      await page.getByTestId('camera-on').click()
      await page.getByTestId('shoot-before').click()
      await look(page, 'camera')
      await page.locator('.photograph-field img').waitFor()
      await page.getByTestId('camera-close').click()
      await page.getByTestId('camera-view').waitFor({ state: 'detached' })
    })
    await expect.poll(async () => (await widths())[1]).toBeGreaterThan(300)

    // The anode of D2 is still in the air.
    expect(await page.getByTestId('board-state').innerText()).toContain('Not whole: the anode of D2 lifted')
    expect(await page.getByTestId('close-refused').innerText()).toContain('the anode of D2 lifted')
    expect(await page.getByTestId('close-board').isDisabled()).toBe(true)
    // No other board is begun over it, by a key, by a scanner or by a command; what is loose is named.
    const back = () => page.getByTestId('back-from-repair').click()
    await back()
    const loose = 'The board is not whole: the anode of D2 lifted. Put it back, and log that it was. Then the next one follows.'
    expect((await page.getByTestId('no-next').innerText()).trim()).toBe(loose)
    expect(await page.getByTestId('next-board').count()).toBe(0)
    await look(page, 'loose-leg')
    await expect(client.ask('next-board', { serialNumber: 'LI-11' })).rejects.toThrow(loose)
    await page.getByTestId('to-repair').click()
    await log('D2', 'resoldered', leg)
    await back()
    await page.getByTestId('next-board').waitFor()
    expect(await page.getByTestId('no-next').count()).toBe(0)
    await page.getByTestId('to-repair').click()
    expect(await page.getByTestId('close-refused').innerText()).toContain('Measure it again first')

    await page.getByTestId('again-affected').click()
    await page.locator('[data-testid="step-row"][data-state="now"]').waitFor()
    await typeAll(client, board, { stopAt: 'repair-cool' })
    await page.getByText(/cooling: 4:\d\d min/).first().waitFor()
    expect(await page.getByTestId('first-value').innerText()).toContain('900.0 Ω, fail')
    await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
    await typeAll(client, board)
    await page.locator('[data-testid="run-verdict"][data-verdict="pass"]').waitFor()
    await page.getByTestId('to-repair').click()
    await page.getByTestId('value-row').waitFor()
    // The photographs logged on the run before are still there.
    await expect.poll(() => page.locator('.repair-log img').evaluateAll((all) => all.map((img) => (img as HTMLImageElement).naturalWidth))).toEqual([1, expect.any(Number)])
    expect(await page.locator('.repair-log img').evaluateAll((all) => all.every((img) => (img as HTMLImageElement).naturalWidth > 0))).toBe(true)
    await look(page, 'photographs-before')
    expect(await page.locator('[data-testid="value-row"][data-step="r1"] td').allInnerTexts()).toEqual([expect.stringContaining('900.0 Ω'), expect.stringContaining('120.00 Ω')])
    // Closed from the foot of a long page, the notice and its report are what is seen next.
    await page.setViewportSize({ width: 1280, height: 480 })
    await page.getByTestId('close-by').scrollIntoViewIfNeeded()
    await page.evaluate(() => { scrollTo(0, document.documentElement.scrollHeight) })
    await page.getByTestId('close-board').click()
    await page.locator('[data-testid="board-closed"][data-as="repaired"]').waitFor()
    const inView = (id: string): Promise<boolean> => page.getByTestId(id).evaluate((one) => one.getBoundingClientRect().top >= 0 && one.getBoundingClientRect().bottom <= innerHeight)
    await expect.poll(async () => [await inView('board-closed'), await inView('board-report')]).toEqual([true, true])
    expect(await page.evaluate(() => document.activeElement?.getAttribute('data-testid'))).toBe('board-closed')
    await look(page, 'closed')
    const saved = page.waitForEvent('download')
    await page.getByTestId('board-report').click()
    expect((await saved).suggestedFilename()).toMatch(/line-input_A_LI-9_.*\.report\.pdf$/)
    expect(browser.violations).toEqual([])
  }, 240_000)

  it('has the result of a loose part lead back to it, where that test can be chosen', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, board)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await page.getByTestId('start-by-eye').waitFor()
    const { run } = await client.ask('start-run', { board: 'line-input', revision: 'A', serialNumber: 'LI-10', byEye: true })
    await typeAll(client, board, { instead: { r1: '900.0' } })
    expect(await page.getByTestId('to-repair').innerText()).toBe('repair log')
    await page.getByTestId('to-repair').click()
    const donorOfR1 = async (): Promise<void> => {
      await page.getByTestId('repair-part').selectOption('R1')
      await page.getByTestId('repair-action').selectOption('replaced')
      await page.getByTestId('from-donor').check()
      await page.getByTestId('donor-board').fill('LI-2')
    }
    await donorOfR1()
    await page.getByTestId('test-donor').click()
    await page.locator('[data-testid="step-row"][data-state="now"]').waitFor()
    await typeAll(client, { ...board, sequence: { ...board.sequence, steps: [{ kind: 'measure', id: 'ohms', title: 'R1', red: '1', black: '2', function: 'resistance', limits: { nominal: 120, tolerance: 0.02 }, parts: [], then: [] }] } })
    await page.locator('[data-testid="run-verdict"][data-verdict="pass"]').waitFor()
    await look(page, 'loose-part')
    expect(await page.getByTestId('to-repair').innerText()).toBe('back to the repair log')
    await page.getByTestId('to-repair').click()
    await page.getByRole('heading', { name: /^Repair log, .*LI-10$/ }).waitFor()
    await donorOfR1()
    expect(await page.getByTestId('donor-test').locator('option').allInnerTexts()).toContain('R1 from LI-2: pass')
    expect((await client.ask('read-repairs', { run })).run).toBe(run)
    expect(browser.violations).toEqual([])
  }, 240_000)
})
