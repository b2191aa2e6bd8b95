/** verdict.*_ms: from the write of the last byte of the frame that decides to the first animation frame after step-verdict changes. */
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openPtyPair } from '../bench-tools/pty-pair'
import { openBrowser } from '../bench-tools/real-browser'
import { root, startApp } from '../bench-tools/running-app'
import { openClient } from '../bench-tools/contract-client'
import { startScriptedHand } from '../bench-tools/scripted-hand'
import { percentile } from './percentile'

const passes = 100
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

/** A board of our own with a hundred equal steps, in the user's folder. */
const writeBoard = (dataFolder: string): void => {
  const from = join(root, 'fixtures/boards/vent-driver-node')
  const to = join(dataFolder, 'boards', 'hundred-steps')
  mkdirSync(to, { recursive: true })
  cpSync(join(from, 'top.svg'), join(to, 'top.svg'))
  const board = JSON.parse(readFileSync(join(from, 'board.json'), 'utf8')) as { testPoints: { id: string }[]; [key: string]: unknown }
  const [red, black] = board.testPoints
  const steps = Array.from({ length: passes + 1 }, (_, index) => ({
    id: `step-${index}`, kind: 'measure', title: `step ${index}`, red: red?.id, black: black?.id, function: 'resistance', limits: { nominal: 220, tolerance: 0.05 },
  }))
  writeFileSync(join(to, 'board.json'), JSON.stringify({ ...board, id: 'hundred-steps', energyStores: [], disconnect: [], sequence: { id: 'bench', version: 1, steps } }))
}

export const verdictFigures = async (): Promise<{ name: string; value: number; unit: string }[]> => {
  const dataFolder = mkdtempSync(join(tmpdir(), 'probewright-verdict-'))
  writeBoard(dataFolder)
  const pair = await openPtyPair()
  const browser = await openBrowser()
  try {
    const app = await startApp([], dataFolder)
    const client = await openClient(app.address)
    await client.ask('connect', { path: pair.appEnd, description: 'Line meter A' })
    await client.ask('start-run', { board: 'hundred-steps', revision: 'C', serialNumber: 'bench' })
    const page = await browser.page(app.address)
    await page.getByTestId('prompt').waitFor()
    // The page notes, in its own time, the first animation frame after the number of verdicts grew.
    await page.evaluate(() => {
      const seen: number[] = []
      Object.assign(window, { seen })
      let before = document.querySelectorAll('[data-testid="step-verdict"]').length
      let text = ''
      new MutationObserver(() => {
        const verdicts = [...document.querySelectorAll('[data-testid="step-verdict"]')]
        const now = verdicts.map((each) => each.textContent).join('|')
        if (now === text && verdicts.length === before) return
        before = verdicts.length
        text = now
        requestAnimationFrame(() => { seen.push(performance.timeOrigin + performance.now()) })
      }).observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true })
    })
    // The practice hand makes the preparation; the hundred touches are written by hand.
    const { library } = await client.ask('hello', {})
    const board = library.boards.find((each) => each.id === 'hundred-steps')?.board
    if (board === undefined) throw new Error(`The board of a hundred steps is not in the library: ${JSON.stringify(library.problems)}`)
    const hand = startScriptedHand({ board, faults: [], seed: 1, client, write: pair.write, press: (key) => { void client.ask('press', { key }) } })
    await client.until('bench', (bench) => bench?.step?.id === 'step-0', 90_000)
    hand.stop()
    const times: number[] = []
    let last = 0
    const write = (text: string): void => {
      last = performance.timeOrigin + performance.now()
      pair.write(text)
    }
    for (let index = 0; index < passes; index += 1) {
      const id = `step-${index}`
      for (let turn = 0; turn < 4; turn += 1) { write(`RES OL MOhm A\r\n`); await pause(100) }
      const painted = await page.evaluate(() => (window as unknown as { seen: number[] }).seen.length)
      let turn = 0
      while (client.last('bench')?.step?.id === id && turn < 60) {
        write(`RES ${(220 + (turn % 2) / 10).toFixed(1)} Ohm A\r\n`)
        turn += 1
        await pause(100)
      }
      const at = await page.evaluate((before) => (window as unknown as { seen: number[] }).seen[before] ?? null, painted)
      const verdict = client.last('bench')?.steps.find((step) => step.id === id)?.verdict
      if (at === null || verdict !== 'pass') throw new Error(`Step ${id} was ${verdict ?? 'not decided'} and ${at === null ? 'not painted' : 'painted'}.`)
      times.push(at - last)
    }
    client.close()
    await app.close()
    return [
      { name: 'verdict.median_ms', value: Math.round(percentile(times, 0.5) * 10) / 10, unit: 'ms' },
      { name: 'verdict.p95_ms', value: Math.round(percentile(times, 0.95) * 10) / 10, unit: 'ms' },
    ]
  } finally {
    await browser.close()
    await pair.close()
    rmSync(dataFolder, { recursive: true, force: true })
  }
}
