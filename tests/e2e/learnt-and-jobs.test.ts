/** What the shop has learnt and its jobs, in a real browser: figures, charts and their files; a job opened, begun, split, paused and exported. */
import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { filledFolder } from '../bench-tools/filled-folder'
import { look } from '../bench-tools/look'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()

const saved = async (page: Page, testId: string): Promise<{ name: string; text: string }> => {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByTestId(testId).click()])
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), 'utf8') }
}

describe.skipIf(!chromiumIsHere)('the shop’s history and its jobs', () => {
  it('shows what was learnt, and a job from its first board to its export', async () => {
    const { app, browser, client } = await openBench(later, { dataFolder: filledFolder(later, 60, 7) })
    const page = await browser.page(app.address)
    const of = { board: 'vent-driver-node', revision: 'C' }
    await expect.poll(async () => (await client.ask('what-was-learnt', of)).learnt.due, { timeout: 60_000 }).toBe(0)
    const { learnt } = await client.ask('what-was-learnt', of)

    await page.getByRole('button', { name: 'Records' }).click()
    await page.getByTestId('to-learnt').click()
    await page.getByTestId('learnt-board').selectOption('vent-driver-node C')
    await page.getByTestId('chart-passed').waitFor()
    expect(await page.getByTestId('learnt-figures').textContent()).toContain(`Runs that ended${learnt.runs} `)
    await look(page, 'learnt')
    const passed = await saved(page, 'save-chart-passed')
    expect(passed.name).toBe('probewright_vent-driver-node_C_passed.svg')
    expect(passed.text).toContain('share that passed, month by month')
    const steps = await saved(page, 'save-steps')
    expect(steps.text.split('\r\n').filter((row) => row !== '').length).toBe(1 + learnt.steps.length)
    await page.getByTestId('open-values').nth(learnt.steps.findIndex((step) => step.values > 2)).click()
    await page.getByTestId('chart-values').waitFor()
    expect(await page.getByTestId('without-chart').count()).toBe(0)
    expect(await page.getByTestId('limits-from-boards').textContent()).toMatch(/good boards/)
    await look(page, 'step')
    const values = await saved(page, 'save-values')
    expect(values.name).toMatch(/_values\.csv$/)
    expect(values.text).toContain('"Bench meter"')

    // A step that always reads open draws nothing, and says why.
    await page.getByTestId('back-to-steps').click()
    const alwaysOpen = learnt.steps.findIndex((step) => step.values === 0 && step.open > 0)
    expect(alwaysOpen).toBeGreaterThanOrEqual(0)
    await page.getByTestId('open-values').nth(alwaysOpen).click()
    expect(await page.getByTestId('without-chart').textContent()).toBe('Every value was open or over range.')
    expect(await page.locator('.step-values .chart').count()).toBe(0)
    await expect(client.ask('export-learnt', { ...of, as: 'svg', what: 'values', step: learnt.steps[alwaysOpen]?.step ?? '' })).rejects.toThrow('Save its table (CSV) instead.')
    await look(page, 'step-open')

    await page.getByRole('button', { name: 'Jobs' }).click()
    await page.getByTestId('first-job').click()
    await page.getByTestId('job-name').fill('GC-2207')
    await page.getByTestId('job-customer').fill('Greenhouse Co-operative')
    await page.getByTestId('job-board').selectOption('vent-driver-node C')
    await page.getByTestId('job-serials').fill('GC-1\nGC-2\nGC-1')
    await page.getByTestId('job-save').click()
    expect(await page.getByRole('alert').textContent()).toContain('GC-1 stands there twice')
    await page.getByTestId('job-serials').fill('GC-1\nGC-2\nGC-3')
    await page.getByTestId('job-save').click()
    await expect.poll(() => page.getByTestId('job-unit').count()).toBe(3)
    await look(page, 'job')

    // The first board comes to the bench, and its run is the job's.
    await page.getByTestId('job-start').click()
    await page.getByTestId('prompt').waitFor()
    await client.ask('end', { reason: 'the customer called' })
    // What comes next is said, before any key.
    await expect.poll(() => page.getByTestId('job-line').textContent()).toMatch(/^Next in GC-2207: GC-2, .* rev C, board 2 of 3\.$/)
    expect(await page.getByTestId('serial-number').getAttribute('placeholder')).toBe('GC-2')
    await page.getByTestId('serial-number').fill('GC-7')
    expect(await page.getByTestId('job-line').textContent()).toBe('GC-7 does not wait in GC-2207: it would be started outside it.')
    await page.getByTestId('serial-number').fill('')
    await look(page, 'next-of-job')
    const { jobs } = await client.ask('list-jobs', {})
    expect(jobs).toMatchObject([{ name: 'GC-2207', done: 1, of: 3, paused: false }])
    const id = jobs[0]?.id ?? ''
    const view = await client.ask('read-job', { job: id })
    expect(view.units.map(({ serialNumber, state }) => [serialNumber, state])).toEqual([['GC-1', 'incomplete'], ['GC-2', 'waiting'], ['GC-3', 'waiting']])
    const sheet = await client.ask('record-sheet', { run: view.units[0]?.run ?? '' })
    expect(sheet.sheet).toMatchObject({ customer: 'Greenhouse Co-operative', job: 'GC-2207' })
    await client.ask('close-run', {})

    // Paused, nothing of it starts; split, its boards go on under another name; exported, the summary says how each stands.
    await client.ask('change-job', { job: id, paused: true })
    await expect(client.ask('start-of-job', { job: id, byEye: true })).rejects.toThrow(/GC-2207 is paused/)
    await client.ask('change-job', { job: id, paused: false })
    const other = await client.ask('split-job', { job: id, units: [view.units[2]?.unit ?? ''], name: 'GC-2207 b' })
    expect(other.units.map(({ serialNumber }) => serialNumber)).toEqual(['GC-3'])
    await page.getByRole('button', { name: 'Jobs' }).click()
    await expect.poll(() => page.getByTestId('job-entry').count()).toBe(2)
    await page.getByTestId('job-entry').filter({ hasText: '1 of 2' }).click()
    await expect.poll(() => page.getByTestId('job-words').textContent()).toMatch(/^GC-2207, Greenhouse Co-operative: 1 of 2 boards done/)
    const summary = await saved(page, 'job-export')
    expect(summary.name).toBe('probewright_job_GC-2207_summary.csv')
    expect(summary.text).toMatch(/"GC-1","incomplete"/)
    expect(summary.text).toMatch(/"GC-2","waiting"/)
    expect(browser.violations).toEqual([])
  })
})
