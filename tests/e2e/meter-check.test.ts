/** The Meters screen shows a meter’s checks: its state in words, a chart told by shape and table, the runs under review, and the way to the next check. */
import { spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { AxeBuilder } from '@axe-core/playwright'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { closeAfter } from '../bench-tools/closers'
import { openApp, openBench, openDataFolder } from '../bench-tools/opened'
import { openPtyPair, socatIsHere } from '../bench-tools/pty-pair'
import { chromiumIsHere } from '../bench-tools/real-browser'
import { root } from '../bench-tools/running-app'
import type { CheckResult } from '../../src-core/metrology/check-standards'
import { certificate, checkOf, standards } from '../core/metrology/standards'

const later = closeAfterEach()

/** Written by a program of its own, so that the file's lock ends with it. */
const writeChecks = (folder: string, checks: readonly CheckResult[]): void => {
  const script = `
    const { DatabaseSync } = await import('@photostructure/sqlite')
    const database = new DatabaseSync(${JSON.stringify(join(folder, 'probewright.sqlite'))})
    const write = database.prepare('INSERT INTO check_result (id, meter, utc, body) VALUES (?, ?, ?, ?)')
    for (const check of JSON.parse(process.argv[1])) write.run(check.id, check.meter, check.utc, JSON.stringify(check))
    database.close()`
  const ended = spawnSync(process.execPath, ['--input-type=module', '-e', script, JSON.stringify(checks)], { encoding: 'utf8', cwd: root })
  if (ended.status !== 0) throw new Error(ended.stderr)
}

const hours = (before: number): string => new Date(Date.now() - before * 3_600_000).toISOString()
const lasting = { calibrated: '2026-01-01', due: '2099-01-01' }

describe.skipIf(!chromiumIsHere || !socatIsHere)('the checks of a meter on screen', () => {
  it('state, chart, table and runs under review; the next check begins with a press', async () => {
    const pair = await openPtyPair()
    later(() => pair.close())
    const dataFolder = openDataFolder(later)
    const meter = await closeAfter(async (before) => {
      const { client } = await openApp(before, { dataFolder })
      await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', name: 'Bench meter' })
      const { library: { kit, meters: [own], boards: [board] } } = await client.ask('hello', {})
      if (own === undefined || board === undefined || standards.resistor === null || standards.diode === null) throw new Error('no meter, board or standard')
      await client.ask('save-kit', { ...kit, checkStandards: { resistor: { ...standards.resistor, ...lasting }, diode: { ...standards.diode, ...lasting } } })
      await client.ask('save-meter', { ...own, register: { ...own.register, certificate: { ...certificate, ...lasting } } })
      await client.ask('start-run', { board: board.id, revision: board.revision, serialNumber: 'VD-31' })
      await client.ask('end', { reason: 'only begun' })
      return own.id
    })
    const resistors = [470.2, 469.6, 470.9, 471.2, 470.1, 480.4].map((ohms, index) => checkOf('resistor', ohms, hours(index === 5 ? -0.001 : 60 - 10 * index), 1.9, standards, meter))
    const diodes = [0.601, 0.599, 0.604, 0.602].map((volts, index) => checkOf('diode', volts, hours(40 - 10 * index), 0.01, standards, meter))
    writeChecks(dataFolder, [...resistors, ...diodes])

    const { app, browser, client } = await openBench(later, { dataFolder })
    const page = await browser.page(app.address)
    await page.getByRole('button', { name: 'Meters' }).click()
    const card = page.getByTestId('check-card')
    await card.getByTestId('traceability').waitFor()
    expect(await card.getByTestId('traceability').innerText()).toMatch(/Not traceable: Check resistor CR-1 failed on .*480\.4 Ω, should be 470\.0 Ω ± 1\.9 Ω\. Values of this meter are not traceable until a good check\./)
    const charts = card.getByTestId('control-chart')
    expect(await charts.count()).toBe(2)
    expect(await charts.first().locator('svg').getAttribute('aria-label')).toBe('Check resistor CR-1: 6 checks, 1 failed. The table below has every value.')
    expect([await charts.first().locator('circle').count(), await charts.first().locator('.check-failed').textContent()]).toEqual([5, 'failed'])
    await charts.first().locator('summary').click()
    expect(await charts.first().locator('tbody tr').first().innerText()).toMatch(/480\.4 Ω\s+470\.0 Ω ± 1\.9 Ω\s+5\.47\s+failed/)
    expect(await card.getByTestId('under-review').innerText()).toMatch(/Under review: 1 run[\s\S]*VD-31/)
    expect(await card.getByTestId('check-meter').isDisabled()).toBe(true)
    const { violations } = await new AxeBuilder({ page }).setLegacyMode(true).include('[data-testid="check-card"]').include('[data-testid="check-standards"]').include('[data-testid="source-fit-card"]').analyze()
    expect(violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([])

    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A', meter })
    await client.ask('confirm-meter', { meter })
    await card.getByTestId('check-meter').click()
    const bench = await client.until('bench', (each) => each !== null)
    expect(bench?.board.name).toBe('Check of the meter')
    await page.getByTestId('prompt').waitFor()
    expect(browser.violations).toEqual([])
  })
})
