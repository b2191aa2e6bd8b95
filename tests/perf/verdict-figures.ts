/** verdict.*_ms: from the write of the last byte of the frame that decides to the first animation frame after step-verdict changes.
 * Which frame decided is read from the record afterwards: the last raw frame of the captured value. No two frames of a touch are alike. */
import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import type { RunEvent } from '../../src-core/run/event'
import { closeAfter } from '../bench-tools/closers'
import type { ContractClient } from '../bench-tools/contract-client'
import { openBench, openDataFolder } from '../bench-tools/opened'
import { openPtyPair } from '../bench-tools/pty-pair'
import { root } from '../bench-tools/running-app'
import { startScriptedHand } from '../bench-tools/scripted-hand'
import { capturedIn, storedEvents } from '../bench-tools/stored-run'
import { percentile } from './percentile'

const passes = 100
/** Frames of one touch at the most: with more the band would be left. */
const mostFrames = 25
const frameMs = 100
const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })

const centreOhms = 550
/** 550.0, 550.1, 549.9, 550.2 …: all unlike, without a trend, and within a band of 0.5 %. */
const frameOf = (turn: number): string => `RES ${(centreOhms + ((turn % 2 === 0 ? -1 : 1) * Math.ceil(turn / 2)) / 10).toFixed(1)} Ohm A\r\n`
const now = (): number => performance.timeOrigin + performance.now()

/** A board of our own with a hundred equal steps, in the user's folder. */
const writeBoard = (dataFolder: string): void => {
  const from = join(root, 'fixtures/boards/vent-driver-node')
  const to = join(dataFolder, 'boards', 'hundred-steps')
  mkdirSync(to, { recursive: true })
  cpSync(join(from, 'top.svg'), join(to, 'top.svg'))
  const board = JSON.parse(readFileSync(join(from, 'board.json'), 'utf8')) as { testPoints: { id: string }[]; [key: string]: unknown }
  const [red, black] = board.testPoints
  const steps = Array.from({ length: passes + 1 }, (_, index) => ({
    id: `step-${index}`, kind: 'measure', title: `step ${index}`, red: red?.id, black: black?.id, function: 'resistance', limits: { nominal: centreOhms, tolerance: 0.05 },
  }))
  writeFileSync(join(to, 'board.json'), JSON.stringify({ ...board, id: 'hundred-steps', disconnect: [], sequence: { id: 'bench', version: 1, steps } }))
}

type Touch = { step: string; /** Write time of each frame, ms since the epoch, by its raw hex. */ writes: Map<string, number>; paintedAt: number }

/** Lifts the leads, sets them down and holds them until the step is decided and painted. @throws Error when it is not. */
const touch = async (step: string, client: ContractClient, page: Page, write: (text: string) => void): Promise<Touch> => {
  for (let turn = 0; turn < 4; turn += 1) { write('RES OL MOhm A\r\n'); await pause(frameMs) }
  const painted = await page.evaluate(() => (window as unknown as { seen: number[] }).seen.length)
  const writes = new Map<string, number>()
  for (let turn = 0; client.last('bench')?.step?.id === step && turn < mostFrames; turn += 1) {
    const text = frameOf(turn)
    writes.set(Buffer.from(text, 'latin1').toString('hex'), now())
    write(text)
    await pause(frameMs)
  }
  const seen = await page.waitForFunction((before) => (window as unknown as { seen: number[] }).seen[before] ?? false, painted, { timeout: 5000 })
  return { step, writes, paintedAt: Number(await seen.jsonValue()) }
}

/** ms from the deciding write to the paint, of every touch. @throws Error when a step was not passed by its first touch. */
const latencies = (touches: readonly Touch[], events: readonly RunEvent[]): number[] => touches.map(({ step, writes, paintedAt }) => {
  const [captured, ...more] = capturedIn(events).filter((event) => event.step === step)
  if (captured === undefined || more.length > 0 || captured.verdict !== 'pass') throw new Error(`${step} was not passed by its first touch.`)
  const writtenAt = writes.get(captured.raw.at(-1) ?? '')
  if (writtenAt === undefined) throw new Error(`${step}: the frame that decided was not written in its touch.`)
  return paintedAt - writtenAt
})

export const verdictFigures = (): Promise<{ name: string; value: number; unit: string }[]> => closeAfter(async (later) => {
  const dataFolder = openDataFolder(later)
  writeBoard(dataFolder)
  const pair = await openPtyPair()
  later(() => pair.close())
  const { app, client, browser } = await openBench(later, { dataFolder })
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
  later(() => { hand.stop() })
  await client.until('bench', (bench) => bench?.step?.id === 'step-0', 90_000)
  hand.stop()
  const touches: Touch[] = []
  for (let index = 0; index < passes; index += 1) touches.push(await touch(`step-${index}`, client, page, pair.write))
  const run = client.last('bench')?.run ?? ''
  client.close()
  await app.close()
  const times = latencies(touches, storedEvents(dataFolder, run))
  return [
    { name: 'verdict.median_ms', value: Math.round(percentile(times, 0.5) * 10) / 10, unit: 'ms' },
    { name: 'verdict.p95_ms', value: Math.round(percentile(times, 0.95) * 10) / 10, unit: 'ms' },
  ]
})
