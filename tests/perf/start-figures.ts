/** start.first_screen_ms: from spawning `npm start` of a built app to the first contentful paint in a Chromium already running. */
import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openBrowser } from '../bench-tools/real-browser'
import { percentile } from './percentile'

const starts = 10

const oneStart = async (browser: Awaited<ReturnType<typeof openBrowser>>): Promise<number> => {
  const data = mkdtempSync(join(tmpdir(), 'probewright-start-'))
  const page = await browser.context.newPage()
  const spawned = performance.timeOrigin + performance.now()
  const child = spawn('npm', ['start', '--silent', '--', '--no-open', '--port', '0', '--data', data], { stdio: ['ignore', 'pipe', 'inherit'], detached: true })
  const gone = new Promise((resolve) => { child.once('exit', resolve) })
  try {
    const address = await new Promise<string>((resolve, reject) => {
      let said = ''
      child.stdout.on('data', (chunk: Buffer) => {
        said += chunk.toString()
        const line = said.split('\n').find((each) => /^http:\/\/127\.0\.0\.1:\d+\/#\S+$/.test(each))
        if (line !== undefined) resolve(line)
      })
      child.once('exit', () => { reject(new Error('npm start ended before it gave its address')) })
    })
    await page.goto(address)
    const paint = await page.evaluate(() => new Promise<number>((resolve) => {
      new PerformanceObserver((list) => {
        const [first] = list.getEntriesByName('first-contentful-paint')
        if (first !== undefined) resolve(performance.timeOrigin + first.startTime)
      }).observe({ type: 'paint', buffered: true })
    }))
    return paint - spawned
  } finally {
    if (child.pid !== undefined) process.kill(-child.pid, 'SIGTERM')
    await gone
    await page.close()
    rmSync(data, { recursive: true, force: true })
  }
}

export const startFigures = async (): Promise<{ name: string; value: number; unit: string }[]> => {
  const browser = await openBrowser()
  try {
    const times: number[] = []
    for (let turn = 0; turn < starts; turn += 1) times.push(await oneStart(browser))
    return [{ name: 'start.first_screen_ms', value: Math.round(percentile(times, 0.5)), unit: 'ms' }]
  } finally {
    await browser.close()
  }
}
