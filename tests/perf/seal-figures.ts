/**
 * Records of runs of 200 steps, issued by the service through its dispatcher. record.seal_blocked_ms: how long one issue held up the loop at
 * most, the median of all; record.seal_blocked_cpu_ms: the same in processor time of the loop's thread, so that other work on the machine is
 * left out; record.seal_s: from the question to the answer.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { CommandInput, CommandName, CommandOutput } from '../../src-core/contract'
import { openService } from '../../src-main/service/service'
import { openStoreFile } from '../../src-main/service/store/open-store'
import { openRunStore } from '../../src-main/service/store/run-store'
import { openShopStore } from '../../src-main/service/store/shop-store'
import { filledSheet, lengthened, runMade } from '../bench-tools/made-records'
import { root } from '../bench-tools/running-app'
import { longestBlock, type Block } from './blocked'
import { percentile } from './percentile'

const steps = 200
const rounds = 15

type Figure = { name: string; value: number; unit: string }

/** As the first argument of the bench script: fills the data folder named behind it with runs that have no record yet. */
export const fillLongCommand = 'fill-long-runs'

export const fillLongRuns = (folder: string, count: number, steps: number): void => {
  const database = openStoreFile(folder)
  const of = lengthened(steps)
  openShopStore(database).keepBoard(of.sha256, of.board, [])
  const runs = openRunStore(database)
  for (let seed = 1; seed <= count; seed += 1) runs.append(runMade({ of, seed }))
  database.close()
}

/** In a program of its own: the store's lock ends with it. */
const fillInAnotherProgram = (folder: string): void => {
  const { status } = spawnSync(process.execPath, [process.argv[1] ?? '', fillLongCommand, folder, String(rounds), String(steps)], { stdio: ['ignore', 'ignore', 'inherit'] })
  if (status !== 0) throw new Error(`The store could not be filled: the program that fills it ended with ${status}.`)
}

export const sealFigures = async (): Promise<Figure[]> => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-seal-'))
  try {
    fillInAnotherProgram(folder)
    const service = openService({
      dataFolder: folder, builtInFolder: join(root, 'fixtures'), pageFolder: join(root, 'out/renderer'), workerFile: join(root, 'out/main/worker.js'), version: '0',
      report: (error) => { throw error },
    })
    try {
      const ask = async <N extends CommandName>(command: N, input: CommandInput<N>): Promise<CommandOutput<N>> => {
        const answer = await service.dispatcher.dispatch({ id: 1, command, input })
        if ('error' in answer) throw new Error(answer.error)
        return answer.output as CommandOutput<N>
      }
      const { runs } = await ask('list-runs', {})
      const [blocks, times]: [Block[], number[]] = [[], []]
      for (const { run } of runs) {
        blocks.push(await longestBlock(async () => {
          const began = performance.now()
          await ask('issue-record', { run, sheet: filledSheet })
          times.push((performance.now() - began) / 1000)
        }))
      }
      if (blocks.length !== rounds) throw new Error(`${blocks.length} records were issued, not ${rounds}.`)
      const figure = (name: string, value: number, unit: string): Figure => ({ name, value: Number(value.toFixed(2)), unit })
      const [wall, cpu] = [blocks.map(({ wallMs }) => wallMs), blocks.map(({ cpuMs }) => cpuMs)]
      return [
        figure('record.seal_blocked_ms', percentile(wall, 0.5), 'ms'), figure('record.seal_blocked_cpu_ms', percentile(cpu, 0.5), 'ms'),
        figure('record.seal_blocked_cpu_worst_ms', Math.max(...cpu), 'ms'), figure('record.seal_s', percentile(times, 0.5), 's'),
      ]
    } finally {
      void service.close()
    }
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
