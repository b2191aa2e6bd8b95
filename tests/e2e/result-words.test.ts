/** What a failed practice run says at its end, and where it leads, in a real browser: likely faults in full, the repair log at the part in question; and Jobs with no job. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { look } from '../bench-tools/look'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()
describe.skipIf(!chromiumIsHere)('the end of a failed run', () => {
  it('tells the likely faults in full, and the repair log begins with the faulty part, its labels in one column', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await client.ask('start-practice', { seed: 3, faults: ['D5:leaky=400'] })
    await client.until('bench', (bench) => bench?.result != null, 240_000)
    const told = await client.until('diagnosis', (view) => view !== null && view.parts.some(({ report }) => report === 'faulty'), 120_000)
    await page.setViewportSize({ width: 1280, height: 800 })
    await page.locator('.likely-words').first().waitFor()
    const cut = () => page.locator('.likely-words').evaluateAll((all) => all.filter((one) => one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).display !== 'inline').map((one) => one.textContent))
    const first = page.locator('.likely-words').first()
    // However long the words are.
    await first.evaluate((one) => { one.textContent = `${one.textContent ?? ''} and the thyristor protector at the line input leaks from its first pin to ground (about 900 Ω)` })
    expect(await cut()).toEqual([])
    expect(await first.evaluate((one) => getComputedStyle(one).textOverflow)).not.toBe('ellipsis')
    await look(page, 'result')
    await page.setViewportSize({ width: 1280, height: 800 })
    await page.getByTestId('to-repair').click()
    await page.getByTestId('repair-part').waitFor()
    expect(await page.getByTestId('repair-part').inputValue()).toBe(told?.parts.find(({ report }) => report === 'faulty')?.ref)
    await look(page, 'repair-form')
    for (const width of [1280, 1920]) {
      await page.setViewportSize({ width, height: 1000 })
      const lefts = await page.evaluate(() => ['repair-part', 'repair-action', 'fitted-marking', 'repair-note', 'repair-by'].map((id) => Math.round(document.querySelector(`[data-testid="${id}"]`)?.getBoundingClientRect().left ?? -1)))
      expect([width, new Set(lefts).size]).toEqual([width, 1])
    }
    expect(browser.violations).toEqual([])
  })

  it('names all parts that read the same in its headline, and the repair log then begins with none of them', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await client.ask('start-practice', { seed: 3, faults: ['C9:short'] })
    await client.until('bench', (bench) => bench?.result != null, 240_000)
    const told = await client.until('diagnosis', (view) => view !== null && (view.likely[0]?.alike.length ?? 0) > 1, 120_000)
    expect(told?.parts.some(({ report }) => report === 'faulty')).toBe(false)
    const headline = page.locator('.likely-words').first()
    await headline.waitFor()
    expect(await headline.textContent()).toMatch(/^(C9|U1|U2), (C9|U1|U2) or (C9|U1|U2): one of them is shorted; in-circuit readings cannot say which$/)
    expect(await page.getByTestId('reads-the-same').textContent()).toBe(`${told?.likely[0]?.words ?? ''} (${told?.likely[0]?.chance ?? ''}).`)
    await look(page, 'result-group')
    await page.setViewportSize({ width: 1280, height: 800 })
    await page.getByTestId('to-repair').click()
    const part = page.getByTestId('repair-part')
    await part.waitFor()
    expect([await part.inputValue(), await part.locator('option').first().textContent()]).toEqual(['', 'choose the part'])
    await look(page, 'repair-choose')
    expect(browser.violations).toEqual([])
  })

  it('Jobs with no job offers only what can be done', async () => {
    const { app, browser } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByTestId('practise-by-hand').waitFor()
    await page.getByRole('button', { name: 'Jobs' }).or(page.getByRole('link', { name: 'Jobs' })).first().click()
    await page.getByTestId('first-job').waitFor()
    const keys = page.locator('.record-keys button')
    expect(await keys.evaluateAll((all) => all.map((one) => one.getAttribute('data-testid')))).toEqual(['job-new'])
    await look(page, 'jobs-empty')
    expect(browser.violations).toEqual([])
  })
})
