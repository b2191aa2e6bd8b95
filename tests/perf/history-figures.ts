/**
 * What the shop has learnt, with 20,000 runs of 40 steps in the store, asked of the service through its dispatcher. history.open_ms: the view of a
 * board type; history.chart_ms: the values of one of its steps with both charts; p95 of each. history.blocked_cpu_ms: how long one such question held
 * up the loop at most in processor time, the median. history.append_ratio: p95 of storing a captured value in that store against an empty one;
 * history.kb_per_run: the file, over its runs; history.learnt_kb_per_run: what of it was learnt.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { commands, type CommandInput, type CommandName, type CommandOutput } from '../../src-core/contract'
import type { RunEvent } from '../../src-core/run/event'
import { rebuild } from '../../src-core/run/state'
import { digestOf } from '../../src-core/shop/run-digest'
import { openService } from '../../src-main/service/service'
import { openLearntStore } from '../../src-main/service/store/learnt-store'
import { openStoreFile } from '../../src-main/service/store/open-store'
import { openRunStore } from '../../src-main/service/store/run-store'
import { openShopStore } from '../../src-main/service/store/shop-store'
import { historyBoards, madeHistory } from '../bench-tools/made-history'
import { root } from '../bench-tools/running-app'
import { longestBlock, type Block } from './blocked'
import { percentile } from './percentile'

const runsInStore = Number(process.env.RUNS ?? 20_000)
const questions = 200
const appendedRuns = 40

/** As the first argument of the bench script: fills the data folder named behind it. */
export const fillHistoryCommand = 'fill-history'

/** Through the store as the app writes it; what is learnt of a run is taken in as the app does behind its end. */
export const fillHistory = (folder: string, count: number, seed: number): void => {
  const database = openStoreFile(folder)
  database.exec('PRAGMA synchronous = OFF')
  const shop = openShopStore(database)
  for (const { board, sha256 } of historyBoards) shop.keepBoard(sha256, board, [])
  const [runs, learnt] = [openRunStore(database), openLearntStore(database)]
  for (const { events, file } of madeHistory(count, seed)) {
    runs.append(events)
    const state = rebuild(events)
    learnt.take(state.started.run, digestOf(state, file.board))
  }
  database.exec('PRAGMA wal_checkpoint(TRUNCATE)')
  database.close()
}

const inAnotherProgram = (...args: string[]): string => {
  const { status, stdout } = spawnSync(process.execPath, [process.argv[1] ?? '', ...args], { stdio: ['ignore', 'pipe', 'inherit'], encoding: 'utf8' })
  if (status !== 0) throw new Error(`The program for ${args[0]} ended with ${status}.`)
  return stdout
}

/** As the first argument of the bench script: stores the events of a few runs one by one in both data folders, by turns; prints both p95. */
export const appendCommand = 'append-history'

export const appendHistory = (filled: string, empty: string, seed: number): void => {
  const stores = [filled, empty].map((folder) => {
    const database = openStoreFile(folder)
    const shop = openShopStore(database)
    for (const { board, sha256 } of historyBoards) shop.keepBoard(sha256, board, [])
    return { runs: openRunStore(database), times: [] as number[] }
  })
  for (const { events } of madeHistory(appendedRuns, seed)) {
    const [first, ...rest] = events
    if (first === undefined) continue
    for (const { runs } of stores) runs.append([first])
    for (let at = 0; at + 1 < rest.length; at += 2) {
      const pair = rest.slice(at, at + 2) as RunEvent[]
      for (const { runs, times } of at % 4 === 0 ? stores : [...stores].reverse()) {
        const began = performance.now()
        runs.append(pair)
        times.push(performance.now() - began)
      }
    }
  }
  process.stdout.write(JSON.stringify(stores.map(({ times }) => percentile(times, 0.95))))
}

type Figure = { name: string; value: number; unit: string }
const figure = (name: string, value: number, unit: string): Figure => ({ name, value: Number(value.toFixed(2)), unit })

/** As the first argument of the bench script: asks the service of a filled data folder; prints the figures. */
export const askCommand = 'ask-history'

export const askHistory = async (folder: string, count: number, seed: number): Promise<void> => {
  const service = openService({
    dataFolder: folder, builtInFolder: join(root, 'fixtures'), pageFolder: join(root, 'out/renderer'), workerFile: join(root, 'out/main/worker.js'), version: '0',
    report: (error) => { throw error },
  })
  try {
    const timed = async <N extends CommandName>(times: number[], command: N, input: CommandInput<N>): Promise<CommandOutput<N>> => {
      const began = performance.now()
      const answer = await service.dispatcher.dispatch({ id: 1, command, input })
      times.push(performance.now() - began)
      if ('error' in answer) throw new Error(answer.error)
      return commands[command].output.parse(answer.output) as CommandOutput<N>
    }
    const random = seededRandom(seed)
    const of = (): { board: string; revision: string } => {
      const { board: { id, revision } } = historyBoards[Math.floor(random() ** 1.7 * historyBoards.length)] ?? historyBoards[0] ?? { board: { id: '', revision: '' } }
      return { board: id, revision }
    }
    const [opened, charted]: [number[], number[]] = [[], []]
    const blocks: Block[] = []
    let counted = 0
    for (const { board: { id, revision } } of historyBoards) counted += (await timed(opened, 'what-was-learnt', { board: id, revision })).learnt.runs
    if (counted !== count) throw new Error(`${counted} runs were learnt, ${count} were stored.`)
    for (let asked = 0; asked < questions; asked += 1) {
      const one = of()
      const { learnt } = await timed(opened, 'what-was-learnt', one)
      const step = learnt.steps[Math.floor(random() * learnt.steps.length)]?.step ?? ''
      blocks.push(await longestBlock(() => timed(charted, 'learnt-values', { ...one, step })))
    }
    const cpu = blocks.map(({ cpuMs }) => cpuMs)
    process.stdout.write(JSON.stringify([
      figure('history.open_ms', percentile(opened, 0.95), 'ms'), figure('history.chart_ms', percentile(charted, 0.95), 'ms'), figure('history.blocked_cpu_ms', percentile(cpu, 0.5), 'ms'),
    ]))
  } finally {
    await service.close()
  }
}

const kilobytes = (folder: string): number => statSync(join(folder, 'probewright.sqlite')).size / 1000

export const historyFigures = (seed: number): Figure[] => {
  const [folder, empty] = [mkdtempSync(join(tmpdir(), 'probewright-history-')), mkdtempSync(join(tmpdir(), 'probewright-empty-'))]
  try {
    inAnotherProgram(fillHistoryCommand, folder, String(runsInStore), String(seed))
    const perRun = kilobytes(folder) / runsInStore
    const learnt = Number(inAnotherProgram(learntSizeCommand, folder)) / 1000 / runsInStore
    const figures = JSON.parse(inAnotherProgram(askCommand, folder, String(runsInStore), String(seed))) as Figure[]
    const [filledMs = NaN, emptyMs = NaN] = JSON.parse(inAnotherProgram(appendCommand, folder, empty, String(seed + 1))) as number[]
    return [...figures, figure('history.append_ratio', filledMs / emptyMs, ''), figure('history.kb_per_run', perRun, 'kB'), figure('history.learnt_kb_per_run', learnt, 'kB')]
  } finally {
    for (const one of [folder, empty]) rmSync(one, { recursive: true, force: true })
  }
}

/** As the first argument of the bench script: the bytes of what was learnt in a data folder. */
export const learntSizeCommand = 'learnt-size'

export const learntSize = (folder: string): void => {
  const database = openStoreFile(folder)
  const sum = ['learnt_value', 'learnt_run', 'learnt_count', 'learnt_step'].reduce((bytes, table) => {
    const columns = database.prepare(`SELECT name FROM pragma_table_info('${table}')`).all().map(({ name }) => `coalesce(length(CAST("${String(name)}" AS BLOB)), 0) + 1`)
    return bytes + Number(database.prepare(`SELECT sum(${columns.join(' + ')}) bytes FROM ${table}`).get()?.bytes ?? 0)
  }, 0)
  process.stdout.write(String(sum))
  database.close()
}
