/** Measuring elsewhere in a real browser: two places chosen by keyboard alone, and by mouse; the value stands in the strip, and the sequence goes on. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { pointerWords, watchHands } from '../bench-tools/hands-used'
import { look } from '../bench-tools/look'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { goOnByKeys } from '../bench-tools/keys-of-hand'
import { mistValve, putBoard } from '../bench-tools/small-board'
import { typeAll } from '../bench-tools/typing-hand'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('measuring elsewhere', () => {
  it('by keyboard alone, then by mouse; what makes no sense is said beside the choice', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await client.ask('start-practice', { board: mistValve.id, revision: mistValve.revision, by: 'hand', seed: 4, faults: ['R1:open'] })
    await page.getByTestId('prompt').waitFor()
    const now = (): string => client.last('bench')?.step?.id ?? ''
    await goOnByKeys(page, () => Promise.resolve(now() === 'r1'))
    const press = async (key: string): Promise<void> => { await page.keyboard.press(key); await page.waitForTimeout(200) }
    const used = await watchHands(page)
    await press('l')
    await press('m')
    const says = page.getByTestId('elsewhere-says')
    expect(await says.textContent()).toContain('red on J1.1')
    await press('Enter')
    expect(await page.getByTestId('elsewhere-red').textContent()).toContain('on J1.1')
    // The same point for both is refused in a sentence, and black is still to be placed.
    await press('Enter')
    await page.getByText('Both leads on J1.1 read only themselves').waitFor()
    await press('2')
    await press('ArrowUp')
    await press('Enter')
    expect(await says.textContent()).toContain('both are chosen')
    await press('d')
    expect(await page.getByTestId('elsewhere-dial').textContent()).toContain('diode test')
    await press('Enter')
    await client.until('bench', (bench) => bench?.step?.id === 'elsewhere:1')
    const { step } = client.last('bench') ?? {}
    expect([step?.function, step?.red?.testPoint, step?.black?.testPoint]).toEqual(['diode', 'J1.1', mistValve.testPoints.at(-1)?.id])
    await goOnByKeys(page, () => Promise.resolve(now() === 'r1'))
    const row = page.locator('[data-testid=step-row][data-step="elsewhere:1"]')
    expect([await row.getAttribute('data-verdict'), (await row.locator('.step-value').textContent())?.trim()]).toEqual(['not-judged', 'open'])
    expect((await used()).filter((word) => pointerWords.includes(word))).toEqual([])

    await press('l')
    await page.waitForTimeout(800)
    await page.getByTestId('act-elsewhere').click()
    await page.getByRole('button', { name: /^R1\.2: / }).click()
    // A second click on the same point is refused at once, and leaves the black lead to be placed.
    await page.getByRole('button', { name: /^R1\.2: / }).click()
    await says.getByText('Both leads on R1.2 read only themselves').waitFor()
    await page.getByRole('button', { name: /^J1\.2: / }).click()
    // A click keeps no focus: after another key, at which the browser would show it, Enter measures.
    await press('d')
    expect([await page.getByTestId('elsewhere-red').textContent(), await page.getByTestId('elsewhere-black').textContent()].join()).toMatch(/red on R1\.2.*black on J1\.2/)
    await press('Enter')
    await client.until('bench', (bench) => bench?.step?.id === 'elsewhere:2')
    expect([client.last('bench')?.step?.red?.testPoint, client.last('bench')?.step?.black?.testPoint]).toEqual(['R1.2', 'J1.2'])
    // A press within half a second of the change would be taken for the step before.
    await page.waitForTimeout(700)
    await press('ArrowLeft')
    await client.until('bench', (bench) => bench?.step?.id === 'r1')

    // Places reached with Tab: the arrows take the focus along, and with both chosen it is given up, so that Enter measures.
    await page.waitForTimeout(700)
    await press('m')
    const focused = (): Promise<string | null> => page.evaluate(() => document.activeElement?.getAttribute('data-point') ?? null)
    for (let k = 0; k < 40 && (await focused()) === null; k += 1) await page.keyboard.press('Tab')
    expect(await focused()).toBe('J1.1')
    await press('Enter')
    await press('ArrowDown')
    expect(await focused()).toBe('R1.2')
    await press('Enter')
    expect([await focused(), await says.textContent()]).toEqual([null, 'both are chosen'])
    await press('Enter')
    await client.until('bench', (bench) => bench?.step?.red?.testPoint === 'J1.1' && bench.step.black?.testPoint === 'R1.2' && bench.step.id.startsWith('elsewhere:'))
    expect(browser.violations).toEqual([])
  }, 150_000)

  it('takes what the diagnosis asks for of a part with a leg lifted, by one key, and any lifted leg by mouse', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const { run } = await client.ask('start-run', { board: mistValve.id, revision: mistValve.revision, serialNumber: 'MV-1', byEye: true })
    await typeAll(client, mistValve, { instead: { 'd1-reverse': '0.002' } })
    await client.ask('log-repair', { run, entry: { part: 'D1', pin: 'anode', action: 'lifted', to: null, fitted: null, by: 'M. Rhys', note: '', photographs: [] } })
    const again = await client.ask('measure-again', { run, purpose: 'whole' })
    await typeAll(client, mistValve, { stopAt: 'repair-cool' })
    await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
    await typeAll(client, mistValve, { stopAt: 'r1' })
    const page = await browser.page(app.address)
    await page.getByTestId('prompt').waitFor()
    const press = async (key: string): Promise<void> => { await page.keyboard.press(key); await page.waitForTimeout(200) }
    const asked = (await client.until('diagnosis', (view) => view?.run === again.run && view.next[0]?.alone !== undefined))?.next[0]
    await page.getByTestId('ask-why').click()
    await page.getByTestId('why').getByText(asked?.words ?? '?').waitFor()
    expect(await page.getByTestId('why').textContent()).toMatch(/What would tell most: .*the lifted anode of D1.* of what is still open, .*Key M offers it\./)
    await look(page, 'lifted-leg-why')
    // The typed value has the letters: the key is pressed outside its field.
    await page.getByTestId('act-elsewhere').click()
    expect(await page.getByTestId('elsewhere-says').textContent()).toContain('both are chosen')
    expect([await page.getByTestId('elsewhere-red').textContent(), await page.getByTestId('elsewhere-black').textContent()].join(' ')).toContain('on lifted anode of D1')
    await look(page, 'lifted-leg-preset')
    await press('Escape')

    await page.evaluate(() => { (document.activeElement as HTMLElement | null)?.blur() })
    await press('m')
    expect(await page.getByTestId('elsewhere-says').textContent()).toContain('both are chosen')
    await press('1')
    await page.getByRole('button', { name: /^lifted anode of D1: / }).click()
    await press('2')
    await page.getByRole('button', { name: /^R1\.2: / }).click()
    await page.getByTestId('elsewhere-measure').click()
    const at = await client.until('bench', (bench) => bench?.step?.id === 'elsewhere:1')
    expect([at?.step?.red?.testPoint, at?.step?.black?.testPoint, at?.step?.function]).toEqual(['~D1.anode', 'R1.2', asked?.alone?.function])
    await look(page, 'lifted-leg-step')
    expect(browser.violations).toEqual([])
  }, 150_000)

  it('says in words where a lead of the practising hand is on a lifted leg', async () => {
    const dataFolder = openDataFolder(later)
    putBoard(dataFolder, mistValve)
    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    const { run } = await client.ask('start-practice', { board: mistValve.id, revision: mistValve.revision, by: 'hand', seed: 4, faults: ['R1:open'] })
    await page.getByTestId('prompt').waitFor()
    await client.ask('end', { reason: 'repair first' })
    await client.ask('log-repair', { run, entry: { part: 'D1', pin: 'anode', action: 'lifted', to: null, fitted: null, by: 'M. Rhys', note: '', photographs: [] } })
    await client.ask('measure-again', { run, purpose: 'whole' })
    const now = (): string => client.last('bench')?.step?.id ?? ''
    await goOnByKeys(page, () => Promise.resolve(now() === 'repair-cool'))
    await client.ask('skip', { reason: 'cooled with air', step: 'repair-cool' })
    await goOnByKeys(page, () => Promise.resolve(now() === 'r1'))
    await page.keyboard.press('l')
    await page.waitForTimeout(800)
    await client.ask('measure-elsewhere', { red: '~D1.anode', black: 'R1.2', function: 'diode' })
    await client.until('bench', (bench) => bench?.step?.id === 'elsewhere:1')
    await page.waitForTimeout(700)
    await page.keyboard.press('a')
    await client.until('bench', (bench) => bench?.hand?.red === '~D1.anode')
    await expect.poll(() => page.getByTestId('hand-red').textContent()).not.toContain('red lifted')
    expect(await page.getByTestId('hand-red').textContent()).toMatch(/red on lifted anode of D1(, goes down next)?$/)
    expect(await page.locator('button[data-place="~D1.anode"]').getAttribute('aria-label')).not.toContain('~')
    await look(page, 'hand-on-leg')
    expect(browser.violations).toEqual([])
  }, 150_000)
})
