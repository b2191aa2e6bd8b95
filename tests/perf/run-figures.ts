/**
 * With 20,000 runs in the store, asked of the service through its dispatcher, validated both ways. runs.list_p95_ms: how long a list takes.
 * runs.blocked_ms: how long the loop was held up at most by one question (list, board types, one run, two runs, exports), the median of all
 * of them; a timer of 1 ms sees it. runs.blocked_cpu_ms: the same in processor time of this program, so that other work on the machine,
 * which a clock on the wall sees too, is left out.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { commands, type CommandInput, type CommandName, type CommandOutput } from '../../src-core/contract'
import { openService, type Service } from '../../src-main/service/service'
import { openStoreFile } from '../../src-main/service/store/open-store'
import { openRunStore } from '../../src-main/service/store/run-store'
import { openShopStore } from '../../src-main/service/store/shop-store'
import { madeRuns, productsMade } from '../bench-tools/made-runs'
import { root } from '../bench-tools/running-app'
import { longestBlock, type Block } from './blocked'
import { percentile } from './percentile'

const runsInStore = 20_000
const runsAWrite = 200
const questions = 400
/** How far down a technician scrolls at the most, in pages of the list. */
const deepestPage = 40

/** As the first argument of the bench script: fills the data folder named behind it. */
export const fillCommand = 'fill-store'

/** In a program of its own: the store's lock ends with it. */
const fillInAnotherProgram = (folder: string, seed: number): void => {
  const { status } = spawnSync(process.execPath, [process.argv[1] ?? '', fillCommand, folder, String(runsInStore), String(seed)], { stdio: ['ignore', 'ignore', 'inherit'] })
  if (status !== 0) throw new Error(`The store could not be filled: the program that fills it ended with ${status}.`)
}

type Figure = { name: string; value: number; unit: string }
const figure = (name: string, value: number): Figure => ({ name, value: Number(value.toFixed(2)), unit: 'ms' })

type Question = CommandInput<'list-runs'>

/** Through the store as the app writes it, some runs to a transaction. */
export const fillStore = (folder: string, count: number, seed: number): void => {
  const database = openStoreFile(folder)
  const shop = openShopStore(database)
  for (const { board, sha256 } of productsMade) shop.keepBoard(sha256, board, [])
  const runs = openRunStore(database)
  let batch: Parameters<typeof runs.append>[0][number][] = []
  let held = 0
  for (const events of madeRuns(count, seed)) {
    batch.push(...events)
    held += 1
    if (held < runsAWrite) continue
    runs.append(batch)
    batch = []
    held = 0
  }
  if (batch.length > 0) runs.append(batch)
  database.close()
}

/** What is asked at a bench: nothing, a board, a unit by a part of its number, a week, a verdict, and any of these together. */
const questionsOf = (random: () => number): Question => {
  const day = Date.UTC(2023, 0, 2) + Math.floor(random() * 1095) * 86_400_000
  const of = productsMade[Math.floor(random() * productsMade.length)] ?? productsMade[0]
  const verdicts = ['pass', 'fail', 'beyond-repair', 'incomplete', 'not-ended'] as const
  return {
    ...(random() < 0.4 && of !== undefined ? { board: of.board.id, ...(random() < 0.5 ? { revision: of.board.revision } : {}) } : {}),
    ...(random() < 0.35 ? { serialNumber: random() < 0.3 ? 'zz' : String(Math.floor(random() * 10 ** (1 + Math.floor(random() * 4)))) } : {}),
    ...(random() < 0.25 ? { from: new Date(day).toISOString(), to: new Date(day + (1 + Math.floor(random() * 90)) * 86_400_000).toISOString() } : {}),
    ...(random() < 0.4 ? { verdict: verdicts[Math.floor(random() * verdicts.length)] ?? 'fail' } : {}),
    ...(random() < 0.25 ? { practice: random() < 0.3 } : {}),
  }
}

const exportedAtOnce = 40
const blockRounds = 30

const blockedFigures = async (service: Service, random: () => number): Promise<Figure[]> => {
  const ask = async <N extends CommandName>(command: N, input: CommandInput<N>): Promise<CommandOutput<N>> => {
    const answer = await service.dispatcher.dispatch({ id: 1, command, input })
    if ('error' in answer) throw new Error(answer.error)
    return answer.output as CommandOutput<N>
  }
  const of = { board: 'vent-driver-node', revision: 'C' }
  const { runs } = await ask('list-runs', { ...of, verdict: 'pass' })
  const anyRun = (): string => runs[Math.floor(random() * runs.length)]?.run ?? ''
  const asked: (() => Promise<unknown>)[] = [
    () => ask('list-runs', questionsOf(random)), () => ask('list-runs', { board: 'soil-relay' }), () => ask('list-runs', { serialNumber: '77' }), () => ask('boards-with-runs', {}),
    () => ask('hello', {}), () => ask('read-run', { run: anyRun() }), () => ask('compare-runs', { first: runs[0]?.run ?? '', second: runs[1 + Math.floor(random() * (runs.length - 1))]?.run ?? '' }),
    () => ask('export-run', { runs: runs.slice(0, exportedAtOnce).map(({ run }) => run), as: 'csv' }), () => ask('export-run', { runs: runs.slice(0, exportedAtOnce).map(({ run }) => run), as: 'json' }),
  ]
  const blocks: Block[] = []
  for (let round = 0; round < blockRounds; round += 1) for (const question of asked) blocks.push(await longestBlock(question))
  const [wall, cpu] = [blocks.map(({ wallMs }) => wallMs), blocks.map(({ cpuMs }) => cpuMs)]
  return [
    figure('runs.blocked_ms', percentile(wall, 0.5)), figure('runs.blocked_p95_ms', percentile(wall, 0.95)),
    figure('runs.blocked_cpu_ms', percentile(cpu, 0.5)), figure('runs.blocked_cpu_p95_ms', percentile(cpu, 0.95)), figure('runs.blocked_cpu_worst_ms', Math.max(...cpu)),
  ]
}

export const runFigures = async (seed: number): Promise<Figure[]> => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-runs-'))
  try {
    fillInAnotherProgram(folder, seed)
    const service = openService({
      dataFolder: folder, builtInFolder: join(root, 'fixtures'), pageFolder: join(root, 'out/renderer'), workerFile: join(root, 'out/main/worker.js'), version: '0',
      report: (error) => { throw error },
    })
    try {
      const times: number[] = []
      const ask = async (input: Question): Promise<CommandOutput<'list-runs'>> => {
        const began = performance.now()
        const answer = await service.dispatcher.dispatch({ id: 1, command: 'list-runs', input })
        times.push(performance.now() - began)
        if ('error' in answer) throw new Error(answer.error)
        return commands['list-runs'].output.parse(answer.output)
      }
      const everything = await ask({})
      if (everything.total !== runsInStore) throw new Error(`${everything.total} runs are listed, ${runsInStore} were stored.`)
      const random = seededRandom(seed)
      while (times.length < questions) {
        const question = questionsOf(random)
        let page = await ask(question)
        // Two in three look at the first page; the others scroll on.
        for (let deep = random() < 2 / 3 ? 0 : Math.floor(random() * deepestPage); deep > 0 && page.next !== null; deep -= 1) page = await ask({ ...question, after: page.next })
      }
      return [figure('runs.list_p95_ms', percentile(times, 0.95)), figure('runs.list_max_ms', Math.max(...times)), ...await blockedFigures(service, random)]
    } finally {
      service.close()
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
