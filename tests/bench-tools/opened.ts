/** Opens what most tests need, app, client, browser, data folder, and sees to their closing. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Later } from './closers'
import { openClient, type ContractClient } from './contract-client'
import { openBrowser, type RealBrowser } from './real-browser'
import { startApp, type RunningApp } from './running-app'

export type OpenedApp = { app: RunningApp; client: ContractClient }
export type OpenedBench = OpenedApp & { browser: RealBrowser }

/** A data folder that outlives the apps started on it. */
export const openDataFolder = (later: Later): string => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-kept-'))
  later(() => { rmSync(folder, { recursive: true, force: true }) })
  return folder
}

/** @param setup options as `npm start --` takes them; without `dataFolder` the app has its own for as long as it runs. */
export const openApp = async (later: Later, setup: { options?: string[]; dataFolder?: string } = {}): Promise<OpenedApp> => {
  const app = await startApp(setup.options, setup.dataFolder)
  later(() => app.close())
  const client = await openClient(app.address)
  later(() => { client.close() })
  return { app, client }
}

export const openBench = async (
  later: Later, setup: { options?: string[]; dataFolder?: string; viewport?: { width: number; height: number }; theme?: 'dark' | 'light' } = {},
): Promise<OpenedBench> => {
  const opened = await openApp(later, setup)
  const browser = await openBrowser(setup.viewport, setup.theme)
  later(() => browser.close())
  return { ...opened, browser }
}
