/** Records in a real browser, by keyboard alone: found, read, compared and exported, while another run lies on the bench. */
import { readFileSync } from 'node:fs'
import type { Download, Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { readingsFile } from '../../src-core/circuit/readings-file'
import { parseRunEvent } from '../../src-core/run/event'
import { nextBoardAfterSeconds } from '../../src-core/run/next-board'
import { rebuild } from '../../src-core/run/state'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { filledFolder } from '../bench-tools/filled-folder'
import { scan, typeByHand } from '../bench-tools/keys-sent'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()
/** As a hand presses: a key again within a tenth of a second is one that is held. */
const press = async (page: Page, ...keys: string[]): Promise<void> => {
  for (const key of keys) {
    await page.keyboard.press(key)
    await page.waitForTimeout(130)
  }
}
const textOf = async (download: Download): Promise<string> => readFileSync(await download.path(), 'utf8')
const exportAs = async (page: Page, key: string): Promise<{ name: string; text: string }> => {
  await press(page, 'x')
  await page.getByTestId('export-close').waitFor()
  const [download] = await Promise.all([page.waitForEvent('download'), press(page, key)])
  return { name: download.suggestedFilename(), text: await textOf(download) }
}

describe.skipIf(!chromiumIsHere)('Records', () => {
  it('finds, opens, compares and exports by keyboard alone, and the run on the bench stays there', async () => {
    const dataFolder = filledFolder(later, 160, 7)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    const onBench = (await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'ON-BENCH', byEye: true })).run
    await page.getByTestId('prompt').waitFor()
    await client.ask('press', { key: 'pause' })
    await page.getByRole('button', { name: /^Leave for the start screen/ }).click()
    await page.getByRole('button', { name: 'Records' }).click()
    await expect.poll(() => page.getByTestId('run-row').count()).toBe(50)
    expect(await page.getByTestId('run-count').textContent()).toBe('161 runs, newest first; the first 50 are shown')

    // The first arrow leaves the row that was marked from the start.
    expect(await page.locator('[data-testid="run-row"][aria-current]').evaluate((row) => (row as HTMLTableRowElement).sectionRowIndex)).toBe(0)
    await press(page, 'ArrowDown')
    expect(await page.evaluate(() => document.activeElement?.closest('tr')?.sectionRowIndex)).toBe(1)

    // A page more comes when the arrow reaches the end of the list.
    await page.getByTestId('open-run').nth(48).focus()
    await press(page, 'ArrowDown')
    await expect.poll(() => page.getByTestId('run-row').count()).toBe(100)

    // A scanned code finds its unit from anywhere on the screen.
    const { runs } = await client.ask('list-runs', { verdict: 'fail', practice: false, board: 'vent-driver-node', revision: 'C' })
    const wanted = runs.find(({ serialNumber }) => serialNumber !== '')
    if (wanted === undefined) throw new Error('no unit failed')
    await scan(page, wanted.serialNumber)
    await expect.poll(() => page.getByTestId('find-serial').inputValue()).toBe(wanted.serialNumber)
    await expect.poll(() => page.locator(`[data-run="${wanted.run}"]`).count()).toBe(1)
    await press(page, 'ArrowDown', 'Enter')
    await page.getByTestId('detail-verdict').waitFor()
    expect(await page.getByTestId('detail-verdict').getAttribute('data-verdict')).toBe('fail')
    const detail = await client.ask('read-run', { run: wanted.run })
    const rows = page.getByTestId('detail-step')
    expect(await rows.count()).toBe(detail.steps.length)
    expect(await page.getByTestId('detail-value').allTextContents()).toEqual(detail.steps.map((step) => step.values.find(({ standing }) => standing)?.words ?? step.done ?? ''))

    // What lies behind a value, down to the frames.
    await press(page, 'm')
    await page.getByTestId('show-frames').first().press('Enter')
    await expect.poll(() => page.getByTestId('frames').first().textContent()).toMatch(/RES .* 52 45 53 20/)
    await press(page, 'v')
    expect(await page.getByTestId('run-events').locator('li').count()).toBe(detail.events.length)

    const json = await exportAs(page, 'j')
    const events = (JSON.parse(json.text) as unknown[]).map(parseRunEvent)
    expect(rebuild(events).ended?.verdict).toBe('fail')
    expect(events[0]?.run).toBe(wanted.run)
    const readings = await exportAs(page, 'r')
    expect(readings.name).toMatch(/^probewright_vent-driver-node_C_VD-\d+_\d{8}-\d{4}Z\.readings\.json$/)
    expect(readingsFile.parse(JSON.parse(readings.text)).readings.length).toBeGreaterThan(5)

    // Two of one board type, marked from the list.
    await press(page, 'Escape')
    await expect.poll(() => page.getByTestId('run-row').count()).toBeGreaterThan(0)
    await press(page, 'm', 'a')
    await expect.poll(() => page.getByTestId('run-row').count()).toBeGreaterThan(40)
    await page.getByTestId('find-board').selectOption({ label: 'Vent driver node rev C' })
    await page.getByTestId('find-verdict').selectOption({ label: 'pass' })
    await expect.poll(async () => (await page.getByTestId('run-row').first().textContent())?.includes('pass')).toBe(true)
    await page.getByTestId('find-verdict').press('Tab')
    await page.getByTestId('open-run').first().focus()
    await press(page, 'm', 'c')
    await page.getByTestId('compare-count').waitFor()
    const flagged = page.locator('[data-testid="compared-step"][data-flagged="true"]')
    expect(await flagged.count()).toBeGreaterThan(0)
    // The flag is told by words too, not by colour alone.
    for (const words of await flagged.allTextContents()) expect(words).toMatch(/differ|open/)
    const table = await exportAs(page, 't')
    expect(table.name).toMatch(/^probewright_2-runs_.*\.csv$/)
    expect(table.text.split('\r\n').length).toBeGreaterThan(30)

    expect(client.last('bench')?.run).toBe(onBench)
    expect(client.last('bench')?.status).toBe('paused')
    expect(browser.violations).toEqual([])
  })

  it('says what belongs there while it is empty, and how to begin', async () => {
    const { app, browser } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByRole('button', { name: 'Records' }).click()
    await expect.poll(async () => page.locator('main').textContent()).toContain('There is none yet')
    await page.getByRole('button', { name: 'start a board' }).click()
    await page.getByTestId('start-board').waitFor()
  })

  it('says why it cannot be read, and tries again on demand (the first answers are turned into a refusal on their way)', async () => {
    const { app, browser } = await openBench(later)
    const page = await browser.context.newPage()
    let refusing = true
    await page.routeWebSocket(/contract/, (socket) => {
      const server = socket.connectToServer()
      const asked = new Set<number>()
      socket.onMessage((message) => {
        const { id, command } = JSON.parse(message.toString()) as { id: number; command: string }
        if (command === 'list-runs' && refusing) asked.add(id)
        server.send(message)
      })
      server.onMessage((message) => {
        const { id } = JSON.parse(message.toString()) as { id?: number }
        socket.send(id !== undefined && asked.has(id) ? JSON.stringify({ id, error: 'the disk could not be read.' }) : message)
      })
    })
    await page.goto(app.address)
    await page.getByRole('button', { name: 'Records' }).click()
    await expect.poll(async () => page.getByRole('alert').textContent()).toContain('The records could not be read: the disk could not be read.')
    refusing = false
    await page.getByTestId('read-again').click()
    await expect.poll(async () => page.locator('main').textContent()).toContain('There is none yet')
  })
})

describe.skipIf(!chromiumIsHere)('the next board of the same type', () => {
  it('starts with one key without a serial number, by a scanned code, or by a typed one; a unit met before is pointed out and nothing is blocked', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    const end = async (): Promise<void> => {
      await client.ask('end', { reason: 'test' })
      await page.getByTestId('run-verdict').waitFor()
      await page.waitForTimeout(nextBoardAfterSeconds * 1000 + 100)
    }
    const next = (before: string, serialNumber: string) => client.until('bench', (bench) => bench !== null && bench.run !== before && bench.serialNumber === serialNumber && bench.result === null)

    const { run } = await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-0417', byEye: true })
    await page.getByTestId('prompt').waitFor()
    expect(client.last('bench')?.run).toBe(run)

    await end()
    await press(page, 'Enter')
    await next(run, '')
    expect(client.all('message').filter(({ text }) => text.includes('measured'))).toEqual([])

    await end()
    await scan(page, 'VD-0417')
    const second = await next(run, 'VD-0417')
    await expect.poll(async () => page.getByTestId('message').textContent()).toMatch(/VD-0417 was measured on \d{4}-\d{2}-\d{2} \d{2}:\d{2}: incomplete\. This is another run of it\./)

    // A scanner whose code goes into the field itself.
    await end()
    await page.getByTestId('serial-number').focus()
    await scan(page, 'VD-0418')
    const third = await next(second?.run ?? '', 'VD-0418')

    // Typed by hand, without going to the field first.
    await end()
    await typeByHand(page, 'VD-0417')
    await expect.poll(() => page.getByTestId('serial-number').inputValue()).toBe('VD-0417')
    await expect.poll(async () => page.getByTestId('same-unit').textContent()).toMatch(/VD-0417 was measured 2 times, last on .*: incomplete\. Enter measures it again\./)
    await press(page, 'Enter')
    await next(third?.run ?? '', 'VD-0417')
    expect(browser.violations).toEqual([])
  })
})
