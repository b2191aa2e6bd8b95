/** The main job in a real browser: bytes through a pseudo-terminal drive a whole run to its verdict; so does the practice bench. */
import { afterEach, describe, expect, it } from 'vitest'
import { openClient, type ContractClient } from '../bench-tools/contract-client'
import { openPtyPair, socatIsHere, type PtyPair } from '../bench-tools/pty-pair'
import { chromiumIsHere, openBrowser, type RealBrowser } from '../bench-tools/real-browser'
import { startApp, type RunningApp } from '../bench-tools/running-app'
import { startScriptedHand } from '../bench-tools/scripted-hand'

const closers: (() => unknown)[] = []
const later = (close: () => unknown): void => { closers.unshift(close) }
afterEach(async () => { for (const close of closers.splice(0)) await close() })

const opened = async (): Promise<{ app: RunningApp; browser: RealBrowser; client: ContractClient }> => {
  const app = await startApp()
  later(() => app.close())
  const browser = await openBrowser()
  later(() => browser.close())
  const client = await openClient(app.address)
  later(() => { client.close() })
  return { app, browser, client }
}

describe.skipIf(!socatIsHere || !chromiumIsHere)('a whole run over a serial line', () => {
  it('finds the open resistor, with the keyboard alone after the start, and survives the cable being pulled in mid-touch', async () => {
    const pair: PtyPair = await openPtyPair()
    later(() => pair.close())
    const { app, browser, client } = await opened()
    const { library } = await client.ask('hello', {})
    const board = library.boards.find((each) => each.id === 'vent-driver-node')?.board
    if (board === undefined) throw new Error('the sample board is missing')
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill(pair.appEnd)
    await page.getByTestId('connect').click()
    await client.until('link', (link) => link.status === 'open')
    await page.getByTestId('serial-number').fill('VD-0417')
    await page.getByTestId('start-board').click()
    await page.getByTestId('prompt').waitFor()
    const hand = startScriptedHand({
      board, faults: ['R4:open'], seed: 4, client,
      write: (bytes) => { try { pair.write(bytes) } catch (error) { if (!String(error).includes('unplugged')) throw error } },
      press: (key) => { void page.keyboard.press(key === 'same-meter' || key === 'confirm' ? 'Space' : key === 'again' ? 'r' : 'Space') },
    })
    later(() => { hand.stop() })

    // In mid-touch of the first part's step the cable is pulled, and comes back.
    await client.until('bench', (bench) => bench?.step?.kind === 'measure' && !bench.step.id.startsWith('prepare/'), 120_000)
    await expect.poll(() => hand.placed() && client.last('live')?.wants === 'hold', { timeout: 20_000, interval: 10 }).toBe(true)
    const valuesBefore = client.last('bench')?.steps.filter((step) => step.value !== '').length
    hand.still(true)
    await pair.unplug()
    await client.until('link', (link) => link.status === 'lost', 10_000)
    await expect.poll(async () => page.getByTestId('state-line').textContent()).toContain('meter lost')
    expect(client.last('bench')?.steps.filter((step) => step.value !== '').length).toBe(valuesBefore)
    await pair.plugIn()
    await client.until('bench', (bench) => bench?.keys.some((key) => key.action === 'same-meter') === true, 20_000)
    expect(client.last('bench')?.steps.filter((step) => step.value !== '').length).toBe(valuesBefore)
    hand.still(false)

    await client.until('bench', (bench) => bench?.result !== null && bench?.result !== undefined, 200_000)
    await page.getByTestId('run-verdict').waitFor()
    const result = client.last('bench')?.result
    expect(result?.failed.flatMap((failed) => failed.parts)).toContain('R4')
    expect(await page.getByTestId('run-verdict').textContent()).toMatch(/fail|beyond repair/i)
    expect(await page.getByTestId('step-row').count()).toBeGreaterThan(8)
    // The proof that nothing came from the gap: every captured value has readings of its own.
    expect(browser.violations).toEqual([])
    await page.getByTestId('next-board').waitFor()
  }, 300_000)
})

describe.skipIf(!chromiumIsHere)('the practice bench', () => {
  it('plays a whole board by itself after one click, and tells the hidden fault at the end', async () => {
    const { app, browser, client } = await opened()
    const page = await browser.page(app.address)
    await page.getByTestId('start-practice').click()
    await page.getByTestId('prompt').waitFor()
    await page.getByTestId('run-verdict').waitFor({ timeout: 240_000 })
    const bench = client.last('bench')
    expect(bench?.practice).toBe(true)
    expect(bench?.result?.truth).toMatch(/Hidden in the practice board|no fault/)
    expect(browser.violations).toEqual([])
  }, 280_000)
})
