/**
 * Debian's Chromium with a fresh profile and its background networking off. The daily tests take its headless shell, the same browser without
 * windows, where that is installed: an opening costs 2 s of processor time instead of 4.6. The long run takes the whole browser.
 */
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium, type BrowserContext, type Page } from 'playwright-core'
import { isLong } from './sampled'

const whole = '/usr/bin/chromium'
const shell = '/usr/bin/chromium-headless-shell'
const executablePath = !isLong && existsSync(shell) ? shell : whole
export const chromiumIsHere = existsSync(executablePath)

export type RealBrowser = { context: BrowserContext; page: (address: string) => Promise<Page>; violations: string[]; close: () => Promise<void> }

export const openBrowser = async (viewport = { width: 1280, height: 800 }, colorScheme: 'dark' | 'light' = 'dark'): Promise<RealBrowser> => {
  const profile = mkdtempSync(join(tmpdir(), 'probewright-profile-'))
  const context = await chromium.launchPersistentContext(profile, {
    executablePath, viewport, colorScheme,
    args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--disable-extensions'],
  })
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
      await context.close()
      rmSync(profile, { recursive: true, force: true, maxRetries: 5 })
    },
  }
}
