/** With no meter connected, in a real browser: the figure is typed where the reading stands, and the keys still work. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { scan, typeByHand } from '../bench-tools/keys-sent'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('the bench without a meter', () => {
  it('takes typed values by keyboard alone, shows what it understood, and leaves the keys to the page', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByTestId('start-by-eye').waitFor()
    await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-80', byEye: true })
    const field = page.getByTestId('typed-value')
    await field.waitFor()
    /** On the page too, not only in the service: what is typed belongs to the step the hand sees. */
    const at = async (step: string): Promise<void> => {
      await page.locator(`[data-testid="step-row"][data-step="${step}"][data-state="now"]`).waitFor()
    }
    const type = (text: string): Promise<void> => typeByHand(page, text, true)
    await at('prepare/leads-apart/diode')
    await type('OL')
    await at('prepare/known-diode')
    await type('0,58')
    await page.getByText('write the decimal with a point').waitFor()
    await field.fill('')
    await typeByHand(page, '0.581')
    await page.getByText('= 0.581 V').waitFor()
    await page.waitForTimeout(100)
    await page.keyboard.press('Enter')
    await at('prepare/known-diode-reversed')
    await type('OL')
    await at('prepare/leads-apart/continuity')
    await type('OL')
    await at('prepare/leads-apart/resistance')
    await type('OL')
    await at('prepare/leads-joined')
    await type('0.2')
    await at('prepare/disconnect')
    await page.waitForTimeout(600)
    await page.keyboard.press('Space')
    await at('prepare/known-source')
    await type('1.562')
    await at('prepare/store/bulk')
    await type('0.001')
    await at('prepare/store/rail-5v')
    await type('0.000')
    await at('look')
    await page.waitForTimeout(600)
    await page.keyboard.press('Space')
    await at('links-off')
    await page.waitForTimeout(600)
    await page.keyboard.press('Space')
    await at('supply-pair')
    // A scanned code is no value and no command: the field stays as it is, and nothing is skipped.
    await scan(page, 'S123')
    await page.getByTestId('message').waitFor()
    expect(await field.inputValue()).toBe('')
    await type('5.50 k')
    await at('f1')
    expect((await client.ask('hello', {})).bench?.steps.find(({ id }) => id === 'supply-pair')).toMatchObject({ value: '5.50 kΩ', verdict: 'pass', evidence: 'typed' })
    // An empty field leaves S to the page.
    await page.keyboard.press('s')
    await page.getByRole('form', { name: 'Skip, because' }).waitFor()
    expect(await page.getByTestId('typed-value').evaluate((input) => parseFloat(getComputedStyle(input).fontSize))).toBeGreaterThanOrEqual(96)
    expect(await page.evaluate(() => document.documentElement.scrollHeight <= window.innerHeight)).toBe(true)
    expect(browser.violations).toEqual([])
    if (process.env['PICTURES'] !== undefined) await page.screenshot({ path: `${process.env['PICTURES']}/typed.png` })
  }, 60_000)
})
