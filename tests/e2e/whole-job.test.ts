/** A customer's job in a real browser with a meter on a line: fault found, two parts replaced, a leg forgotten, measured again, power, closed, next board, exported. */
import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { type Fault, parseFaults } from '../../src-core/circuit/faults'
import { verify } from '../../src-core/record/verify'
import { attachedRecord } from '../../src-main/service/record/attached-record'
import { checks } from '../../src-main/service/record/signatures'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { lineInput } from '../bench-tools/lifted-board'
import { logRepair } from '../bench-tools/logged-repair'
import { look } from '../bench-tools/look'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { infoOf, popplerIsHere, textOf } from '../bench-tools/pdf-tools'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { startScriptedHand } from '../bench-tools/scripted-hand'
import { putBoard } from '../bench-tools/small-board'
import { provenValve as valve } from '../bench-tools/proven-valve'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()
const faultsOf = (...texts: string[]): Fault[] => {
  const parsed = parseFaults(valve, texts)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return parsed.faults
}

const savedBy = async (page: Page, testId: string): Promise<{ name: string; bytes: Buffer }> => {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByTestId(testId).click()])
  return { name: download.suggestedFilename(), bytes: readFileSync(await download.path()) }
}

describe.skipIf(!socatIsHere || !chromiumIsHere)('a job', () => {
  it('goes from the fault to the closed board, brings the next one by itself, and is exported with its records', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, valve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill(pair.appEnd)
    await page.getByTestId('connect').click()
    await client.until('link', (link) => link.status === 'open' || link.status === 'silent')
    await page.getByRole('button', { name: 'Jobs' }).click()
    await page.getByTestId('first-job').click()
    await page.getByTestId('job-name').fill('GC-2207')
    await page.getByTestId('job-customer').fill('Greenhouse Co-operative')
    await page.getByTestId('job-board').selectOption('mist-valve A')
    await page.getByTestId('job-serials').fill('MV-1\nMV-2\nMV-3')
    await page.getByTestId('job-save').click()
    await page.getByTestId('job-start').click()
    await page.getByTestId('prompt').waitFor()

    let faults = faultsOf('R1:open', 'D1:short')
    const hand = startScriptedHand({
      board: valve, faults: [], seed: 4, client, write: (bytes) => { pair.write(bytes) },
      press: (key) => { void page.keyboard.press(key === 'again' ? 'r' : 'Space').catch(() => undefined) },
      now: () => ({ faults, state: [], powered: client.last('bench')?.step?.id.startsWith('live-') === true }),
    })
    later(() => { hand.stop() })
    const result = async () => (await client.until('bench', (bench) => bench !== null && bench.result !== null, 120_000))?.result
    expect([...new Set((await result())?.failed.flatMap(({ parts }) => parts))].sort()).toEqual(['D1', 'R1', 'R2'])

    // The right parts are replaced, but a leg that was lifted on the way is forgotten.
    await page.getByTestId('to-repair').click()
    const log = (part: string, action: string, more: () => Promise<unknown>) => logRepair(page, part, action, more)
    const leg = () => page.getByTestId('repair-pin').selectOption('1')
    await log('R2', 'lifted', leg)
    await log('R1', 'replaced', () => page.getByTestId('fitted-marking').fill('220R'))
    await log('D1', 'replaced', () => page.getByTestId('fitted-marking').fill('A4'))
    faults = []
    expect(await page.getByTestId('close-refused').innerText()).toContain('pin 1 of R2 lifted')
    expect(await page.getByTestId('close-board').isDisabled()).toBe(true)
    expect(await page.getByTestId('again-prove-why').innerText()).toContain('pin 1 of R2 lifted')
    await look(page, 'repair')
    await log('R2', 'resoldered', leg)

    await page.getByTestId('again-affected').click()
    await client.until('bench', (bench) => bench?.step?.id === 'repair-cool', 60_000)
    await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
    await client.until('bench', (bench) => bench?.result?.verdict === 'pass', 120_000)

    // Supply first, then the cautions, power from a limited supply, what must be there then, and off.
    await page.getByTestId('to-repair').click()
    await look(page, 'before-power')
    await page.getByTestId('again-prove').click()
    // Nobody said that this meter's link is isolated: no power before that.
    await page.getByText(/is not known to be isolated/).waitFor()
    const [meter] = (await client.ask('hello', {})).library.meters
    if (meter === undefined) throw new Error('the meter is not kept')
    await client.ask('save-meter', { ...meter, isolated: 'yes' })
    await page.getByTestId('again-prove').click()
    await client.until('bench', (bench) => bench?.step?.id.startsWith('power-caution') === true, 120_000)
    await look(page, 'caution')
    await client.until('bench', (bench) => bench?.step?.id === 'live-valve', 120_000)
    const proved = await client.until('bench', (bench) => bench !== null && bench.result !== null, 120_000)
    expect(proved?.result?.verdict).toBe('pass')
    expect(proved?.steps.filter(({ id }) => !id.startsWith('prepare/')).map(({ id, verdict }) => [id, verdict])).toEqual([
      ['supply', 'pass'], ['power-caution-1', 'pass'], ['power-bare', 'pass'], ['power-up', 'pass'], ['live-valve', 'pass'], ['clicks', 'pass'], ['power-off', 'pass'],
    ])
    await page.getByTestId('to-repair').click()
    await page.getByTestId('close-because').fill('Surge on the valve cable.')
    await page.getByTestId('close-board').click()
    await page.locator('[data-testid="board-closed"][data-as="repaired"]').waitFor()
    await look(page, 'closed')
    const report = await savedBy(page, 'board-report')
    expect(report.name).toMatch(/^probewright_mist-valve_A_MV-1_.*\.report\.pdf$/)
    if (popplerIsHere) expect(textOf(report.bytes)).toMatch(/Repaired[\s\S]*Surge on the valve cable[\s\S]*R1[\s\S]*replaced/)

    // The next board is asked for; the one after it comes by itself once the leads are off a board that passed.
    await client.ask('close-run', {})
    await page.getByRole('button', { name: 'Jobs' }).click()
    await page.getByTestId('job-start').click()
    const second = await client.until('bench', (bench) => bench?.serialNumber === 'MV-2' && bench.result !== null, 120_000)
    expect(second?.result?.verdict).toBe('pass')
    await client.until('bench', (bench) => bench?.serialNumber === 'MV-3', 30_000)
    const third = await client.until('bench', (bench) => bench?.serialNumber === 'MV-3' && bench.result !== null, 120_000)
    expect(third?.result?.verdict).toBe('pass')
    hand.stop()

    const { jobs } = await client.ask('list-jobs', {})
    expect(jobs).toMatchObject([{ name: 'GC-2207', done: 3, of: 3 }])
    const { units } = await client.ask('read-job', { job: jobs[0]?.id ?? '' })
    for (const { run } of units) {
      const { sheet } = await client.ask('record-sheet', { run: run ?? '' })
      await client.ask('issue-record', { run: run ?? '', sheet: { ...sheet, issuer: 'Willow Lane Board Repair', place: 'Bench 2', technician: 'M. Rhys', authorisedBy: 'M. Okafor', conditionAsReceived: 'Dusty' } })
    }
    await client.ask('close-run', {})
    await page.getByRole('button', { name: 'Jobs' }).click()
    await expect.poll(() => page.getByTestId('job-words').textContent()).toMatch(/3 of 3 boards done/)
    await look(page, 'job-done')
    const files: { name: string; bytes: Buffer }[] = []
    page.on('download', (download) => { void download.path().then((path) => { files.push({ name: download.suggestedFilename(), bytes: readFileSync(path) }) }) })
    await page.getByTestId('job-export').click()
    await expect.poll(() => files.length, { timeout: 30_000 }).toBe(2)
    const [summary, records] = files.sort((a, b) => Number(b.name.includes('summary')) - Number(a.name.includes('summary')))
    expect(summary?.bytes.toString().split('\r\n').slice(1, 4).map((row) => /"(MV-\d)","(\w+)"/.exec(row)?.slice(1))).toEqual([['MV-1', 'pass'], ['MV-2', 'pass'], ['MV-3', 'pass']])
    expect(verify([{ name: 'records', text: Buffer.from(await attachedRecord(records?.bytes ?? Buffer.alloc(0)) ?? []).toString('utf8') }], [], checks)).toMatchObject({ verdict: 'key-unknown' })
    expect(records?.name).toMatch(/GC-2207.*\.pdf$/)
    expect(browser.violations).toEqual([])
  }, 400_000)

  it('closes a board beyond repair with the rule and the reading that said so, on one page', async () => {
    const dataFolder = openDataFolder(later)
    const board = lineInput([18_000, 31_000])
    putBoard(dataFolder, board)
    const { app, browser, client } = await openBench(later, { dataFolder })
    await client.ask('start-run', { board: board.id, revision: 'A', serialNumber: 'LI-4', byEye: true })
    const page = await browser.page(app.address)
    expect((await typeAll(client, board, { instead: { pair: '31.0' } })).result?.verdict).toBe('beyond-repair')
    await page.getByTestId('to-repair').click()
    // Nobody solders a lost board together again: that is no ground against closing it so.
    await page.getByTestId('close-as-beyond-repair').check()
    await page.getByTestId('close-by').fill('M. Rhys')
    await look(page, 'beyond-repair')
    await page.getByTestId('close-board').click()
    await page.locator('[data-testid="board-closed"][data-as="beyond-repair"]').waitFor()
    const { name, bytes } = await savedBy(page, 'board-report')
    expect(name).toMatch(/^probewright_line-input_A_LI-4_.*\.report\.pdf$/)
    if (popplerIsHere) {
      expect(infoOf(bytes)['Pages']).toBe('1')
      expect(textOf(bytes).replace(/\s+/g, ' ')).toMatch(/Beyond repair Input pair of U1 reads 30\.8 Ω: The input of U1 has taken the surge through its inner layer\..*The board is not whole the anode of D1 lifted/)
    }
    expect(browser.violations).toEqual([])
  })
})
