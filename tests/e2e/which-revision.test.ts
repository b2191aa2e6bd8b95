/** Which revision lies on the bench: asked wherever there is more than one, shown how to tell, and never taken for granted. */
import { describe, expect, it } from 'vitest'
import { nextBoardAfterSeconds } from '../../src-core/run/next-board'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { scan, typeByHand } from '../bench-tools/keys-sent'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('the question which revision lies on the bench', () => {
  it('stands in the way of a start, is answered by its key, and the run is of that revision', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await page.locator('input[name=board][value=vent-driver-node]').check()
    const question = page.getByTestId('which-revision')
    await question.waitFor()
    for (const words of ['R3, a flat resistor marked 220', 'L1, a square coil']) await question.getByText(words).waitFor()
    // Each shows the place on its own picture, and the ring lies over the part.
    const images = await question.locator('.close-up').evaluateAll((all) => all.map((one) => {
      const [box, ring, image] = [one.getBoundingClientRect(), one.querySelector('.look-here')?.getBoundingClientRect(), one.querySelector('img')]
      return { loaded: (image?.naturalWidth ?? 0) > 0, src: image?.src ?? '', inside: ring !== undefined && ring.left >= box.left && ring.right <= box.right && ring.top >= box.top && ring.bottom <= box.bottom }
    }))
    expect(images.map(({ loaded, inside }) => [loaded, inside])).toEqual([[true, true], [true, true]])
    expect(new Set(images.map(({ src }) => src)).size).toBe(2)
    expect(await question.locator('[aria-pressed="true"]').count()).toBe(0)

    await page.getByTestId('serial-number').fill('VD-12')
    await page.keyboard.press('Enter')
    await page.getByText('Press 1 or 2.').waitFor()
    expect((await client.ask('hello', {})).bench).toBeNull()
    await page.getByTestId('serial-number').fill('VD-12')
    await page.getByTestId('start-by-eye').click()
    await page.getByText('Press 1 or 2.').waitFor()
    expect((await client.ask('hello', {})).bench).toBeNull()
    await page.keyboard.press('2')
    const bench = await client.until('bench', (one) => one !== null)
    expect([bench?.board.id, bench?.board.revision, bench?.serialNumber]).toEqual(['vent-driver-node', 'D', 'VD-12'])
    expect(bench?.steps.map(({ id }) => id)).toContain('l1')
    expect(browser.violations).toEqual([])
  })

  it('is put for the next board too: Enter takes the same again, one key another, typed or scanned, and no digit of a serial number is lost', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    const next = page.getByTestId('next-revision')
    const end = async () => { await client.ask('end', { reason: 'put away' }); await next.waitFor(); await page.waitForTimeout(nextBoardAfterSeconds * 1000 + 100) }
    const started = async (serial: string) => (await client.until('bench', (one) => one?.serialNumber === serial && one.status === 'running'))?.board.revision
    await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-1', byEye: true })
    await page.getByTestId('typed-value').waitFor()
    await end()
    expect(await next.innerText()).toMatch(/rev C as before\? Beside terminal B lies R3.*↓\s*it is rev D/s)
    await typeByHand(page, '10', true)
    expect(await started('10')).toBe('C')
    await page.getByText('Taken for revision C.').waitFor()
    await end()
    await page.keyboard.press('ArrowDown')
    await page.getByText('rev D, not as before').waitFor()
    await scan(page, 'VD-12')
    expect(await started('VD-12')).toBe('D')
    await page.getByText('Taken for revision D. Beside terminal B lies L1').waitFor()
    await end()
    await page.getByTestId('serial-number').fill('VD-13')
    await page.getByTestId('serial-number').press('ArrowDown')
    await page.getByText('rev C, not as before').waitFor()
    await page.keyboard.press('Enter')
    expect(await started('VD-13')).toBe('C')
    expect(browser.violations).toEqual([])
  })

  it('a click answers it beforehand; for another board type it is asked anew, and for one with a single revision not at all', async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    await page.locator('input[name=board][value=vent-driver-node]').check()
    await page.getByTestId('revision-C').click()
    expect(await page.getByTestId('revision-C').getAttribute('aria-pressed')).toBe('true')
    await page.locator('input[name=board][value=soil-relay]').check()
    expect(await page.getByTestId('which-revision').count()).toBe(0)
    await page.locator('input[name=board][value=vent-driver-node]').check()
    expect(await page.getByTestId('which-revision').locator('[aria-pressed="true"]').count()).toBe(0)
    await page.getByTestId('revision-C').click()
    await page.getByTestId('start-by-eye').click()
    expect((await client.until('bench', (one) => one !== null))?.board.revision).toBe('C')
  })
})
