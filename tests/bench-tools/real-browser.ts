/**
 * Debian's Chromium, started once for all files of a test worker, with its background networking off and a fresh profile for each opening. The daily
 * tests take its headless shell, the same browser without windows, where that is installed; the long run takes the whole browser.
 */
import { existsSync } from 'node:fs'
import { type Browser, chromium, type BrowserContext, type Page } from 'playwright-core'
import { isLong } from './sampled'

const whole = '/usr/bin/chromium'
const shell = '/usr/bin/chromium-headless-shell'
const executablePath = !isLong && existsSync(shell) ? shell : whole
export const chromiumIsHere = existsSync(executablePath)

export type RealBrowser = { context: BrowserContext; page: (address: string) => Promise<Page>; violations: string[]; close: () => Promise<void> }

let started: Promise<Browser> | null = null
/** Ends with the process that started it; one that died is followed by another. */
const running = async (): Promise<Browser> => {
  started ??= chromium.launch({
    executablePath, args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--disable-extensions',
      // A camera that shows a test picture, and leave to use it: the headless shell has nobody to ask.
      '--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream'],
  })
  const browser = await started
  if (browser.isConnected()) return browser
  started = null
  return running()
}

export const openBrowser = async (viewport = { width: 1280, height: 800 }, colorScheme: 'dark' | 'light' = 'dark'): Promise<RealBrowser> => {
  const context = await (await running()).newContext({ viewport, colorScheme })
  context.setDefaultTimeout(60_000)
  /** What the content security policy refused, and what the page threw: any is a defect. */
  const violations: string[] = []
  await context.addInitScript(() => {
    document.addEventListener('securitypolicyviolation', (event) => { console.error(`CSP: ${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}`) })
  })
  return {
    context, violations,
    page: async (address) => {
      const page = await context.newPage()
      page.on('console', (message) => { if (message.type() === 'error') violations.push(message.text()) })
      page.on('pageerror', (error) => { violations.push(error.message) })
      await page.goto(address)
      return page
    },
    close: async () => {
      const browser = context.browser()
      await context.close()
      // A test worker keeps it for its next file; a script would not end while it runs.
      if (process.env.VITEST === undefined && browser?.contexts().length === 0) await browser.close()
    },
  }
}
