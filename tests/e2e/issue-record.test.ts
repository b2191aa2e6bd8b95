/** A record from the result screen, and its correction from Records, in a real browser: the sheet, the number, the file that is saved. */
import AxeBuilder from '@axe-core/playwright'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { recordSchema } from '../../src-core/record/schema'
import { verify } from '../../src-core/record/verify'
import { attachedRecord } from '../../src-main/service/record/attached-record'
import { checks } from '../../src-main/service/record/signatures'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('issuing a record', () => {
  it('asks what only people know, says number and hash, saves a file that verifies, and is corrected by a new one', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    await client.ask('start-run', { board: mistValve.id, revision: 'A', serialNumber: 'MV-0417', byEye: true })
    await typeAll(client, mistValve)
    const page = await browser.page(app.address)
    await page.getByTestId('to-record').click()
    await page.getByTestId('issue-record').click()
    await page.getByRole('alert').getByText('The sheet does not say').waitFor()
    const answers = { issuer: 'Willow Lane Board Repair', place: 'Bench 2', technician: 'A. Finch', authorisedBy: 'M. Okafor', customer: 'Greenhouse Co-operative', job: 'GC-2207', condition: 'Dusty' }
    for (const [name, text] of Object.entries(answers)) await page.getByTestId(`sheet-${name}`).fill(text)
    await page.getByTestId('sheet-received').fill('2026-03-12')
    if (process.env.SHOT !== undefined) await page.screenshot({ path: `${process.env.SHOT}/sheet.png` })
    // At a usual width the two figures of the air stand side by side, and what is long has the whole width.
    const boxOf = async (words: string): Promise<{ x: number; y: number; width: number; height: number }> => await page.getByLabel(words).boundingBox() ?? { x: NaN, y: NaN, width: NaN, height: NaN }
    const [warm, damp, shop, bench, state] = [await boxOf('Temperature'), await boxOf('Humidity'), await boxOf('Issued by'), await boxOf('Place of the test'), await boxOf('Condition as received')]
    expect([damp.y, damp.x > warm.x + warm.width]).toEqual([warm.y, true])
    expect(shop.width).toBeGreaterThan(1.9 * bench.width)
    expect(state.height).toBeGreaterThan(2 * bench.height - 20)
    expect((await new AxeBuilder({ page }).setLegacyMode(true).analyze()).violations.map(({ id }) => id)).toEqual([])
    await page.getByTestId('issue-record').click()
    const number = await page.getByTestId('record-number').textContent() ?? ''
    expect(number).toMatch(/^[0-9A-F]{8}-000001$/)
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByTestId('save-record').click()])
    expect(download.suggestedFilename()).toBe(`probewright_record_${number}_mist-valve_MV-0417.json`)
    const text = readFileSync(await download.path(), 'utf8')
    expect(recordSchema.parse(JSON.parse(text)).record).toMatchObject({ number, item: { serialNumber: 'MV-0417', conditionAsReceived: 'Dusty' }, dates: { received: '2026-03-12' } })
    expect(verify([{ name: 'saved', text }], [], checks).verdict).toBe('key-unknown')
    await page.getByTestId('paper').selectOption('letter')
    const [printed] = await Promise.all([page.waitForEvent('download'), page.getByTestId('save-record-pdf').click()])
    expect(printed.suggestedFilename()).toBe(`probewright_record_${number}_mist-valve_MV-0417.pdf`)
    const pdf = readFileSync(await printed.path())
    expect(Buffer.from(await attachedRecord(pdf) ?? []).toString('utf8')).toBe(text)
    expect(pdf.includes('/MediaBox [0 0 612 792]')).toBe(true)
    const [table] = await Promise.all([page.waitForEvent('download'), page.getByTestId('save-job-csv').click()])
    expect(readFileSync(await table.path(), 'utf8')).toContain(`"${number}"`)
    if (process.env.SHOT !== undefined) await page.screenshot({ path: `${process.env.SHOT}/issued.png` })
    expect((await new AxeBuilder({ page }).setLegacyMode(true).analyze()).violations.map(({ id }) => id)).toEqual([])
    // Back on the result the keys are the bench's again.
    await page.keyboard.press('Escape')
    await page.getByTestId('run-verdict').waitFor()

    await page.getByTestId('close-run').click()
    await page.getByRole('button', { name: 'Records', exact: true }).click()
    await page.locator('[data-testid="run-row"][aria-current]').waitFor()
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Enter')
    await page.getByTestId('detail-verdict').waitFor()
    await page.keyboard.press('i')
    await page.getByTestId('correct-record').click()
    // It begins with what the record says, and is called off without leaving: by its key from within a field, or by its button.
    expect([await page.getByTestId('sheet-condition').inputValue(), await page.getByTestId('sheet-received').inputValue()]).toEqual(['Dusty', '2026-03-12'])
    await page.getByTestId('correct-because').press('Escape')
    await page.getByTestId('correct-record').click()
    expect(await page.getByTestId('call-off').textContent()).toBe('Esccall off the correction')
    await page.getByTestId('call-off').click()
    await page.getByTestId('leave-record').waitFor()
    expect(await page.getByTestId('correct-because').count()).toBe(0)
    await page.getByTestId('correct-record').click()
    await page.getByTestId('correct-because').fill('The condition was wrong.')
    await page.getByTestId('sheet-condition').fill('Dusty\nand wet')
    await page.getByTestId('issue-record').click()
    await page.getByText(`was replaced by ${number.slice(0, 8)}-000002`).waitFor()
    // The one that stands comes first.
    expect(await page.getByTestId('record-number').allTextContents()).toEqual([`${number.slice(0, 8)}-000002`, number])
    if (process.env.SHOT !== undefined) await page.screenshot({ path: `${process.env.SHOT}/corrected.png` })
    expect((await new AxeBuilder({ page }).setLegacyMode(true).analyze()).violations.map(({ id }) => id)).toEqual([])
    // The paper that was chosen last is offered again.
    expect(await page.getByTestId('paper').first().inputValue()).toBe('letter')
    expect(browser.violations).toEqual([])
  })

  it('is offered greyed, with its reason, where the run is one of practice', async () => {
    const { app, browser, client } = await openBench(later)
    await client.ask('start-practice', { board: 'vent-driver-node', seed: 1, by: 'hand' })
    await client.ask('end', { reason: 'enough' })
    await client.ask('close-run', {})
    const page = await browser.page(app.address)
    await page.getByRole('button', { name: 'Records', exact: true }).click()
    await page.getByTestId('open-run').first().click()
    await page.getByTestId('detail-verdict').waitFor()
    expect(await page.getByTestId('to-record').isDisabled()).toBe(true)
    expect(await page.getByTestId('to-record').getAttribute('title')).toMatch(/^This is a practice run: its values are simulated/)
    // Its key says so too, and opens nothing.
    await page.keyboard.press('i')
    await page.getByText('This is a practice run: its values are simulated').waitFor()
    expect(await page.getByTestId('detail-verdict').count()).toBe(1)
  })
})
