/** Two meters that are in no list are taught in a real browser, from what their displays show and nothing else. */
import AxeBuilder from '@axe-core/playwright'
import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { meterFunction, type MeterFunction } from '../../src-core/meter/reading'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { sampled } from '../bench-tools/sampled'
import { digitsOn, lineMeter, mirrorMeter, shownText, type Display, type Range, type UnknownMeter } from '../core/meter/teach/unknown-meters'
import { randomDisplay } from '../core/meter/teach/taught'

const later = closeAfterEach()
const frameMs = 45
const mostDisplays = 60

type ScriptedMeter = { meter: UnknownMeter; set: (display: Display) => void; rangesOf: (is: MeterFunction) => readonly Range[] }

/** Sends what its display shows, as a meter does: again and again. */
const startMeter = (meter: UnknownMeter, write: (bytes: Uint8Array) => void): ScriptedMeter => {
  let bytes: Uint8Array | null = null
  const sending = setInterval(() => { if (bytes !== null) write(bytes) }, frameMs)
  later(() => { clearInterval(sending) })
  return { meter, set: (display) => { bytes = meter.encode(display) }, rangesOf: (is) => meter.ranges[is] ?? [] }
}

type Asked = { kind: string; function: string; suggestion: string; count: number }

/** What the screen asks for, once the last display is worked out. */
const asked = async (page: Page): Promise<Asked> => {
  const box = page.getByTestId('teach-ask').and(page.locator('[data-busy="false"]'))
  await box.waitFor({ timeout: 20_000 })
  const of = async (name: string): Promise<string> => (await box.getAttribute(`data-${name}`)) ?? ''
  return { kind: await of('kind'), function: await of('function'), suggestion: await of('suggestion'), count: Number(await of('count')) }
}

/** Types what the display shows; pressed again for as long as the app says that the new figure has not arrived. */
const typeIn = async (page: Page, display: Display, before: number): Promise<void> => {
  await page.getByTestId('teach-function').selectOption(display.function)
  await page.getByTestId('teach-mark').selectOption(display.range.mark)
  await page.getByTestId('teach-text').fill(shownText(display))
  await expect.poll(async () => {
    if ((await asked(page)).count > before) return true
    if (await page.getByTestId('teach-shown').isEnabled()) await page.getByTestId('teach-shown').click()
    return false
  }, { timeout: 20_000, interval: 120 }).toBe(true)
}

const teachIt = async (page: Page, meter: ScriptedMeter): Promise<number> => {
  const at = new Map<string, number>()
  for (let turn = 0; turn < mostDisplays * 2; turn += 1) {
    const ask = await asked(page)
    if (ask.kind === 'enough') return ask.count
    const is = meterFunction.parse(ask.function)
    const next = (at.get(is) ?? 0) + (ask.kind === 'range' ? 1 : 0)
    const range = meter.rangesOf(is)[next]
    if (range === undefined) {
      await page.getByTestId('teach-cannot').click()
      await expect.poll(async () => { const now = await asked(page); return `${now.kind} ${now.function}` }, { timeout: 20_000 }).not.toBe(`${ask.kind} ${ask.function}`)
      continue
    }
    at.set(is, next)
    const display: Display = { function: is, range, digits: digitsOn(meter.meter, ask.suggestion.replace(/[-.]/g, ''), range.decimals), negative: ask.suggestion.startsWith('-'), overload: ask.kind === 'overload' }
    meter.set(display)
    await typeIn(page, display, ask.count)
  }
  throw new Error('the app never had enough')
}

const factors: Record<string, number> = { n: 1e-9, µ: 1e-6, m: 1e-3, k: 1e3, M: 1e6 }

const kinds: [string, UnknownMeter][] = [['a meter that sends lines', lineMeter(seededRandom(4))], ['a meter that sends a picture of its display', mirrorMeter(seededRandom(102))]]

describe.skipIf(!chromiumIsHere || !socatIsHere)('teaching, in a browser', () => {
  test.each(sampled(kinds, 1))('%s is taught from displays alone, kept, and read', async (_, whole) => {
    const meter: UnknownMeter = { ...whole, ranges: { ...whole.ranges, 'dc-voltage': whole.ranges['dc-voltage']?.slice(0, 2) } }
    delete meter.ranges.capacitance
    const cable = await openPtyPair()
    later(() => cable.close())
    const dataFolder = openDataFolder(later)
    const { app, client, browser } = await openBench(later, { dataFolder })
    const scripted = startMeter(meter, cable.write)
    const page = await browser.page(app.address)
    await page.getByTestId('port-path').fill(cable.appEnd)
    await page.getByTestId('teach').click()
    // What was typed on Connect is not asked for again.
    expect(await page.getByTestId('teach-path').inputValue()).toBe(cable.appEnd)
    await page.getByTestId('teach-name').fill('Drawer meter')
    await page.getByTestId('teach-counts').fill(String(meter.counts))
    await page.getByTestId('teach-has-continuity').uncheck()
    await page.getByTestId('teach-listen').click()

    const taught = await teachIt(page, scripted)
    expect(taught).toBeLessThan(mostDisplays)
    const random = seededRandom(5)
    for (let k = 0; k < 2; k += 1) {
      const display = { ...randomDisplay(meter, random), overload: false }
      const { count } = await asked(page)
      scripted.set(display)
      await typeIn(page, display, count)
      expect(await page.getByTestId('teach-trial').textContent()).toContain('read the same')
    }
    await page.getByTestId('keep').click()
    await page.getByTestId('kept').waitFor()
    const file = join(dataFolder, 'meters', 'drawer-meter.json')
    expect(existsSync(file)).toBe(true)
    expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({ schema: 'probewright/meter-description/1', name: 'Drawer meter' })
    // Never over another of that name.
    await expect(client.ask('save-description', { name: 'Drawer meter' })).rejects.toThrow('already')

    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme })
      const { violations } = await new AxeBuilder({ page }).setLegacyMode(true).withTags(['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa']).analyze()
      expect(violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([])
    }
    await page.getByTestId('connect-taught').click()
    await client.until('link', ({ status, description }) => status === 'open' && description === 'Drawer meter')
    for (let k = 0; k < 6; k += 1) {
      const display = { ...randomDisplay(meter, random), overload: false }
      scripted.set(display)
      const { mark } = display.range
      const value = Number(shownText(display)) * (mark.length > 1 ? factors[mark[0] ?? ''] ?? 1 : 1)
      await client.until('live', ({ reading }) => {
        if (reading === null || reading.function !== display.function) return false
        const prefix = reading.unit.length > 1 ? factors[reading.unit[0] ?? ''] ?? 1 : 1
        return Math.abs(Number(reading.figure.replace('−', '-')) * prefix - value) <= Math.abs(value) * 1e-9
      })
    }
    expect(browser.violations).toEqual([])
  })
})
