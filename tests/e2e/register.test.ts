/** The meter register on screen: every part is typed, kept and comes back as it was; and which meter it is takes one press or one scan. */
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { scan } from '../bench-tools/keys-sent'
import { openBench } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()

const connected = async () => {
  const pair = await openPtyPair()
  later(() => pair.close())
  const opened = await openBench(later)
  await opened.client.ask('connect', { path: pair.appEnd, description: 'Line meter A', name: 'Bench 1' })
  const page = await opened.browser.page(opened.app.address)
  await page.getByTestId('which-meter').waitFor()
  const meter = async () => {
    const found = (await opened.client.ask('hello', {})).library.meters[0]
    if (found === undefined) throw new Error('the meter is missing')
    return found
  }
  return { ...opened, pair, page, meter }
}

describe.skipIf(!chromiumIsHere || !socatIsHere)('the register of a meter', () => {
  it('is typed part by part, says what is wrong, and stands after the page is opened again', async () => {
    const { page, meter, client, browser } = await connected()
    await page.getByRole('button', { name: 'Meters', exact: true }).first().click()
    const part = (name: string) => page.getByRole('region', { name, exact: true })
    const keep = async (name: string, words: string): Promise<void> => {
      await part(name).getByRole('button', { name: words }).click()
      await part(name).getByText('Kept.').waitFor()
    }
    await part('The meter').getByLabel('Asset number').fill('A-0011')
    await part('The meter').getByLabel('Kind').fill('hand-held multimeter')
    await keep('The meter', 'Keep this meter')

    const calibration = part('Calibration')
    for (const [label, value] of [['Certificate', 'C-0815'], ['Laboratory', 'Valley Calibration'], ['Calibrated on', '2026-01-10'], ['Due on', '2025-01-10']] as const) {
      await calibration.getByLabel(label, { exact: true }).fill(value)
    }
    await calibration.getByLabel('As left').selectOption('within specification')
    await calibration.getByRole('button', { name: 'Keep the certificate' }).click()
    await calibration.getByText('lies before the day of calibration').waitFor()
    await calibration.getByLabel('Due on').fill('2027-01-10')
    await calibration.getByText('Points it covers').click()
    await calibration.getByRole('button', { name: 'Add a point' }).click()
    for (const [cell, value] of [['full scale', '6 k'], ['applied', '1.00002 k'], ['shown', '1.001 k'], ['U', '0']] as const) await calibration.getByLabel(`point 1, ${cell}`, { exact: true }).fill(value)
    await calibration.getByRole('button', { name: 'Keep the certificate' }).click()
    await calibration.getByText('Point 1, U must be above 0; it is “0”.').waitFor()
    await calibration.getByLabel('point 1, U', { exact: true }).fill('50 mΩ')
    await keep('Calibration', 'Keep the certificate')

    const accuracy = part('Accuracy')
    await accuracy.getByRole('button', { name: 'Add a range' }).click()
    for (const [cell, value] of [['full scale', '6 kΩ'], ['percent of reading', '0.5'], ['counts', '2']] as const) await accuracy.getByLabel(`range 1, ${cell}`).fill(value)
    await accuracy.getByLabel('for', { exact: false }).last().fill('12')
    await accuracy.getByRole('button', { name: 'Keep its accuracy' }).click()
    await accuracy.getByText('Temperature from is missing.').waitFor()
    await accuracy.getByLabel('Stated from').fill('18')
    await accuracy.getByLabel('to °C', { exact: true }).fill('28')
    await keep('Accuracy', 'Keep its accuracy')

    const sources = part('Source at the leads')
    await sources.getByRole('button', { name: 'Add a source' }).click()
    for (const [cell, value] of [['open-circuit voltage', '1.2'], ['source resistance', '1.5 k']] as const) await sources.getByLabel(`source 1, ${cell}`).fill(value)
    await keep('Source at the leads', 'Keep its sources')

    expect((await meter()).register).toEqual({
      kind: 'hand-held multimeter', serialNumber: '', assetNumber: 'A-0011', cable: null, identification: null,
      certificate: {
        number: 'C-0815', laboratory: 'Valley Calibration', accreditation: '', calibrated: '2026-01-10', due: '2027-01-10', asFound: 'not stated', asLeft: 'within specification',
        points: [{ function: 'resistance', range: 6000, applied: 1000.02, shown: 1001, U: 0.05, k: 2 }],
      },
      conditions: { celsiusFrom: 18, celsiusTo: 28, months: 12 }, ranges: [{ function: 'resistance', range: 6000, percent: 0.5, counts: 2 }],
      sources: [{ function: 'resistance', range: null, volts: 1.2, ohms: 1500, amperes: null, plus: 'red', basis: 'entered' }],
    })

    await page.reload()
    await page.getByRole('button', { name: 'Meters', exact: true }).first().click()
    expect(await calibration.getByLabel('point 1, applied').inputValue()).toBe('1.00002 kΩ')
    expect(await sources.getByLabel('source 1, source resistance').inputValue()).toBe('1.5 kΩ')
    await calibration.getByText('Calibrated on 2026-01-10, due on 2027-01-10.').waitFor()
    // At 200 % zoom its tables scroll within themselves, and the page is not wider than the window.
    await page.setViewportSize({ width: 640, height: 400 })
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
    await page.setViewportSize({ width: 1280, height: 800 })
    await accuracy.getByRole('button', { name: 'Take out range 1' }).click()
    await keep('Accuracy', 'Keep its accuracy')
    expect((await meter()).register.ranges).toEqual([])
    expect((await client.ask('hello', {})).identity?.identity).toBe('assumed')
    expect(browser.violations).toEqual([])
  })

  it('on Start one press says which meter it is, and so does its label scanned where a serial number is awaited', async () => {
    const { page, meter, client, pair } = await connected()
    const own = await meter()
    await client.ask('save-meter', { ...own, register: { ...own.register, assetNumber: 'A-0011' } })
    await page.getByTestId('confirm-meter').click()
    await page.getByTestId('meter-known').getByText('Confirmed: this is Bench 1.').waitFor()

    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', meter: own.id })
    await page.getByTestId('which-meter').waitFor()
    await page.getByTestId('serial-number').focus()
    await scan(page, 'A-0011')
    await page.getByTestId('meter-known').waitFor()
    expect(await page.getByTestId('serial-number').inputValue()).toBe('')
    expect((await client.ask('hello', {})).bench).toBeNull()

    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', meter: own.id })
    await page.getByTestId('asset-number').fill('B-7')
    await page.getByTestId('asset-number').press('Enter')
    await page.getByText('No meter of this shop has the asset number “B-7”').waitFor()
    expect((await client.ask('hello', {})).identity?.identity).toBe('assumed')
  })
})
