/**
 * Every screen, in both themes: axe (deque's engine, WCAG 2.2 A and AA rules) finds nothing serious, nothing breaks the content
 * security policy, and pass and fail are told apart with each colour blindness that Chromium emulates, and with no colour at all.
 */
import type { BrowserContext, Page } from 'playwright-core'
import { describe, expect, it } from 'vitest'
import { blankRegisterEntry, type RegisterEntry } from '../../src-core/meter/register'
import { nextBoardAfterSeconds } from '../../src-core/run/next-board'
import { closeAfterEach } from '../bench-tools/close-after-each'
import type { ContractClient } from '../bench-tools/contract-client'
import { filledSheet } from '../bench-tools/made-records'
import { openBench } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere, type RealBrowser } from '../bench-tools/real-browser'
import { sampled } from '../bench-tools/sampled'
import { typeAll } from '../bench-tools/typing-hand'
import type { RunningApp } from '../bench-tools/running-app'
import { seriousIn } from '../bench-tools/serious-in'

const later = closeAfterEach()

type At = { page: Page; client: ContractClient; app: RunningApp; context: BrowserContext }

const go = async (page: Page, screen: string): Promise<void> => {
  await page.getByRole('button', { name: screen, exact: true }).first().click()
}

/** From an empty data folder on, each screen after the one before it. */
const screens: { name: string; show: (at: At) => Promise<void> }[] = [
  { name: 'Start, nothing set up', show: async ({ page }) => { await page.getByTestId('start-practice').waitFor() } },
  { name: 'Start, a port that is not there', show: async ({ page }) => {
    await page.getByTestId('port-path').fill('/dev/nowhere')
    await page.getByTestId('connect').click()
    await page.getByRole('alert').first().waitFor()
  } },
  { name: 'Start, which revision', show: async ({ page }) => {
    await page.locator('input[name=board][value=vent-driver-node]').check()
    await page.getByTestId('start-by-eye').click()
    await page.getByText('Press 1 or 2.').waitFor()
  } },
  { name: 'Boards', show: ({ page }) => go(page, 'Boards') },
  { name: 'Meters, none', show: ({ page }) => go(page, 'Meters') },
  { name: 'Records, none', show: ({ page }) => go(page, 'Records') },
  { name: 'Bench, a typed value', show: async ({ page, client }) => {
    await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-5', byEye: true })
    await page.getByTestId('typed-value').waitFor()
  } },
  { name: 'Bench, a step that looks', show: async ({ page, client }) => {
    await typeAll(client, await boardOf(client), { stopAt: 'look' })
    await page.getByText('Look it over').first().waitFor()
  } },
  { name: 'Bench, a reason asked for', show: async ({ page }) => {
    await page.keyboard.press('s')
    await page.getByRole('form', { name: 'Skip, because' }).waitFor()
  } },
  { name: 'Bench, a note written', show: async ({ page }) => {
    await page.keyboard.press('Escape')
    await page.keyboard.press('n')
    await page.getByRole('form', { name: 'Note' }).waitFor()
  } },
  { name: 'Bench, paused', show: async ({ page, client }) => {
    await page.keyboard.press('Escape')
    await client.ask('press', { key: 'pause' })
    await page.getByText('resume').first().waitFor()
  } },
  { name: 'Result, failed', show: async ({ page, client }) => {
    await client.ask('press', { key: 'resume' })
    await typeAll(client, await boardOf(client), { instead: { r4: '480.2' } })
    await page.getByTestId('run-verdict').waitFor()
  } },
  { name: 'Result, passed', show: async ({ page, client }) => {
    await page.waitForTimeout(nextBoardAfterSeconds * 1000 + 100)
    await client.ask('next-board', { serialNumber: 'VD-6' })
    await typeAll(client, await boardOf(client))
    await page.locator('[data-testid=run-verdict][data-verdict=pass]').waitFor()
    await page.getByTestId('next-revision').waitFor()
  } },
  { name: 'Sound and keys', show: async ({ page, client }) => {
    await client.ask('close-run', {})
    await go(page, 'Sound and keys')
    await page.getByTestId('kept').waitFor()
  } },
  { name: 'Records, filled', show: async ({ page }) => {
    await go(page, 'Records')
    await expect.poll(() => page.getByTestId('run-row').count()).toBe(2)
    await page.getByTestId('mark-run').first().check()
  } },
  { name: 'Issued records, none', show: async ({ page }) => {
    await page.keyboard.press('r')
    await page.getByTestId('record-count').waitFor()
  } },
  { name: 'Record, its sheet', show: async ({ page }) => {
    await page.keyboard.press('Escape')
    await page.getByTestId('open-run').first().click()
    await page.getByTestId('to-record').click()
    await page.getByTestId('leave-record').waitFor()
    await page.locator('form.record-sheet').waitFor()
  } },
  { name: 'Record, issued', show: async ({ page, client }) => {
    const run = (await client.ask('list-runs', {})).runs[0]?.run ?? ''
    await client.ask('issue-record', { run, sheet: filledSheet })
    await page.keyboard.press('Escape')
    await page.getByTestId('to-record').click()
    await page.getByTestId('issued-record').waitFor()
  } },
  { name: 'Issued records, filled', show: async ({ page }) => {
    await page.keyboard.press('Escape')
    await page.getByTestId('back-to-list').click()
    await page.getByTestId('to-issued').click()
    await expect.poll(() => page.getByTestId('record-row').count()).toBe(1)
    await page.getByTestId('open-record').click()
    await page.getByTestId('record-number').waitFor()
    await page.keyboard.press('Escape')
    await expect.poll(() => page.getByTestId('record-row').count()).toBe(1)
  } },
  { name: 'Signing key', show: async ({ page }) => {
    await page.keyboard.press('Escape')
    await go(page, 'Sound and keys')
    await page.getByTestId('backup-again').waitFor()
  } },
  { name: 'Records, two runs compared', show: async ({ page }) => {
    await go(page, 'Records')
    await page.getByTestId('mark-run').first().check()
    await page.getByTestId('mark-run').nth(1).check()
    await page.keyboard.press('c')
    await page.getByTestId('compare-count').waitFor()
  } },
  { name: 'Records, a run read', show: async ({ page }) => {
    await page.keyboard.press('Escape')
    await page.getByTestId('open-run').nth(1).click()
    await page.getByTestId('detail-verdict').waitFor()
    await page.keyboard.press('v')
    await page.locator('[data-testid=run-events][open]').waitFor()
    for (const step of ['r3', 'r4']) await page.locator(`[data-step=${step}] .step-opener`).click()
    await expect.poll(() => page.locator('[data-testid=budget][open] table').count()).toBeGreaterThanOrEqual(2)
  } },
  ...(socatIsHere ? [{ name: 'Start, which meter is this', show: async ({ page, client }: At) => {
    const pair = await openPtyPair()
    later(() => pair.close())
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    const [meter] = (await client.ask('hello', {})).library.meters
    if (meter === undefined) throw new Error('the meter is missing')
    await client.ask('save-meter', { ...meter, register: registered })
    await go(page, 'Start')
    await page.getByTestId('calibration-notice').waitFor()
    await page.getByTestId('asset-number').fill('B-7')
    await page.getByTestId('asset-number').press('Enter')
    await page.getByText('No meter of this shop').waitFor()
  } }, { name: 'Meters, linked', show: ({ page }: At) => go(page, 'Meters') }, { name: 'Meters, one', show: async ({ page, client }: At) => {
    await client.ask('disconnect', {})
    await page.getByTestId('connect').waitFor()
    await page.getByLabel('resistance, percent of reading', { exact: false }).first().waitFor()
    await page.getByLabel('source 1, source resistance').waitFor()
    expect((await client.ask('hello', {})).library.meters).toHaveLength(1)
  } }] : []),
  { name: 'Start, a run to go on with', show: async ({ page, client }) => {
    await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-8', byEye: true })
    await page.getByTestId('typed-value').waitFor()
    await client.ask('close-run', {})
    await go(page, 'Start')
    await page.getByTestId('go-on').waitFor()
  } },
  { name: 'Bench, practice by hand', show: async ({ page, client }) => {
    await client.ask('start-practice', { board: 'soil-relay', by: 'hand' })
    await page.getByTestId('hand-red').waitFor()
    await client.ask('place', { tips: { leads: { red: 'K1.1', black: null } }, function: 'diode' })
    await page.keyboard.press('ArrowDown')
  } },
]

/** Each screen takes axe two seconds and more: so many a day, by seed, and all in the long run. */
const examined = sampled(screens.map(({ name }) => name), 12)

/** With a line in every table, and a calibration that is overdue. */
const registered: RegisterEntry = {
  ...blankRegisterEntry, kind: 'hand-held multimeter', serialNumber: 'HM-20417', assetNumber: 'A-0012',
  certificate: {
    number: 'C-0815', laboratory: 'Valley Calibration', accreditation: 'VC 17', calibrated: '2020-10-03', due: '2021-10-03', asFound: 'outside specification', asLeft: 'within specification',
    points: [{ function: 'resistance', range: 6000, applied: 1000.02, shown: 1001, U: 0.05, k: 2 }],
  },
  conditions: { celsiusFrom: 18, celsiusTo: 28, months: 12 }, ranges: [{ function: 'resistance', range: 600, percent: 0.9, counts: 2 }],
  sources: [{ function: 'resistance', range: null, volts: 1.2, ohms: 1500, amperes: 0.0008, plus: 'red', basis: 'fitted' }],
}

const boardOf = async (client: ContractClient) => {
  const found = (await client.ask('hello', {})).library.boards.find(({ id, revision }) => id === 'vent-driver-node' && revision === 'C')
  if (found === undefined) throw new Error('the sample board is missing')
  return found.board
}

const walk = async (browser: RealBrowser, at: At, each: (name: string, page: Page) => Promise<void>): Promise<void> => {
  for (const { name, show } of screens) {
    await show(at)
    await at.page.waitForTimeout(120)
    await each(name, at.page)
  }
  expect(browser.violations).toEqual([])
}

describe.skipIf(!chromiumIsHere)('every screen', () => {
  // One theme a day, by seed, and both in the long run; that every ink can be read on every ground of either is reckoned in tests/renderer/contrast.test.ts.
  const themes = sampled(['dark', 'light'] as const, 1)
  it(`(${examined.length} of ${screens.length}) in the ${themes.join(' and the ')} theme, axe finds nothing moderate or worse, and no policy is violated`, async () => {
    const { app, browser, client } = await openBench(later)
    const page = await browser.page(app.address)
    // The check itself can fail: words too faint to read are found, whichever rules are asked.
    await page.getByTestId('start-practice').evaluate((button: HTMLElement) => { button.style.cssText = 'color: #777777; background: #888888' })
    for (const which of ['every-rule', 'colours'] as const) expect((await seriousIn(page, which)).join()).toMatch(/color-contrast: .*start-practice/)
    await page.reload()
    const found: string[] = []
    await walk(browser, { page, client, app, context: browser.context }, async (name) => {
      if (!examined.includes(name)) return
      for (const colorScheme of themes) {
        await page.emulateMedia({ colorScheme })
        found.push(...(await seriousIn(page, colorScheme === themes[0] ? 'every-rule' : 'colours')).map((each) => `${name}, ${colorScheme}: ${each}`))
      }
    })
    expect(found).toEqual([])
  }, 400_000)
})
