/** npm run pictures: takes the README's pictures from the running app and draws the icon; with a folder named, every screen in both sizes and themes. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { closeAfter } from '../bench-tools/closers'
import { filledFolder } from '../bench-tools/filled-folder'
import { openBench } from '../bench-tools/opened'
import { root } from '../bench-tools/running-app'
import { drawIcon } from './icon-picture'

type Look = { name: string; viewport: { width: number; height: number }; theme: 'dark' | 'light' }

const [folder] = process.argv.slice(2)
const into = folder ?? join(root, 'fixtures/pictures')
const looks: Look[] = folder === undefined
  ? [{ name: '', viewport: { width: 1280, height: 800 }, theme: 'dark' }]
  : [
      { name: '-1280-dark', viewport: { width: 1280, height: 800 }, theme: 'dark' }, { name: '-1280-light', viewport: { width: 1280, height: 800 }, theme: 'light' },
      { name: '-1920-dark', viewport: { width: 1920, height: 1080 }, theme: 'dark' }, { name: '-1920-light', viewport: { width: 1920, height: 1080 }, theme: 'light' },
    ]

const takeAll = (look: Look): Promise<void> => closeAfter(async (later) => {
  const { app, browser, client } = await openBench(later, { ...look, dataFolder: filledFolder(later, 24, 7) })
  const picture = async (page: Page, name: string): Promise<void> => { await page.screenshot({ path: join(into, `${name}${look.name}.png`) }) }
  const page = await browser.page(app.address)
  await page.getByTestId('start-practice').waitFor()
  await picture(page, 'start')
  await page.locator('input[name=board][value=vent-driver-node]').check()
  await page.getByTestId('start-by-eye').click()
  await page.waitForTimeout(200)
  await picture(page, 'which-revision')
  await page.keyboard.press('Escape')
  for (const screen of ['Boards', 'Meters', 'Sound and keys', 'Records']) {
    await page.getByRole('link', { name: screen }).or(page.getByRole('button', { name: screen })).first().click()
    await page.waitForTimeout(150)
    await picture(page, screen.toLowerCase().replaceAll(' ', '-'))
  }
  const marks = page.getByTestId('mark-run')
  const twins = await client.ask('list-runs', { board: 'vent-driver-node', practice: false })
  for (const run of twins.runs.slice(0, 2)) await page.locator(`[data-testid=run-row][data-run="${run.run}"]`).getByTestId('mark-run').check()
  if (await marks.count() > 1 && twins.runs.length > 1) {
    await page.keyboard.press('c')
    await page.getByTestId('compare-count').waitFor()
    await picture(page, 'compared')
    await page.keyboard.press('Escape')
  }
  await page.getByTestId('open-run').first().click()
  await page.getByTestId('detail-verdict').waitFor()
  await page.keyboard.press('Enter')
  await page.waitForTimeout(300)
  await picture(page, 'run-read')
  await client.ask('start-run', { board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-0417', byEye: true })
  await page.getByTestId('typed-value').waitFor()
  await page.waitForTimeout(300)
  await picture(page, 'typed-value')
  await client.ask('end', { reason: 'put aside' })
  await client.ask('close-run', {})
  await client.ask('start-practice', { board: 'soil-relay', revision: 'A', seed: 5, faults: ['K1:open'], by: 'hand' })
  await page.getByTestId('prompt').waitFor()
  await page.waitForTimeout(500)
  await picture(page, 'practice-by-hand')
  await client.ask('end', { reason: 'put aside' })
  await client.ask('close-run', {})
  await client.ask('start-practice', { board: 'vent-driver-node', seed: 11, faults: ['R4:open'] })
  await client.until('bench', (bench) => bench?.step?.id === 'prepare/known-diode')
  await page.waitForTimeout(700)
  await picture(page, 'bench-preparation')
  await client.until('bench', (bench) => bench?.steps.some((step) => step.verdict === 'fail') === true, 90_000)
  await client.until('live', (live) => live.wants === 'hold' && (live.beads?.have ?? 0) > 1, 60_000)
  await page.waitForTimeout(60)
  await picture(page, 'bench')
  await client.until('bench', (bench) => bench?.result !== null && bench?.result !== undefined, 120_000)
  await page.getByTestId('run-verdict').waitFor()
  await page.waitForTimeout(300)
  await picture(page, 'result')
})

const main = async (): Promise<void> => {
  mkdirSync(into, { recursive: true })
  for (const look of looks) await takeAll(look)
  if (folder === undefined) await drawIcon(join(root, 'src-main/desktop/icon.png'))
}

void main().catch((error: unknown) => {
  process.stderr.write(`${error instanceof Error ? error.stack ?? error.message : String(error)}\n`)
  process.exitCode = 1
})
