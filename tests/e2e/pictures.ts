/** npm run pictures: takes the README's pictures from the running app and draws the icon; with a folder named, every screen in both sizes and themes. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { closeAfter } from '../bench-tools/closers'
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
  const { app, browser, client } = await openBench(later, look)
  const picture = async (page: Page, name: string): Promise<void> => { await page.screenshot({ path: join(into, `${name}${look.name}.png`) }) }
  const page = await browser.page(app.address)
  await page.getByTestId('start-practice').waitFor()
  await picture(page, 'start')
  for (const screen of ['Boards', 'Meters', 'Records']) {
    await page.getByRole('link', { name: screen }).or(page.getByRole('button', { name: screen })).first().click()
    await page.waitForTimeout(150)
    await picture(page, screen.toLowerCase())
  }
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
