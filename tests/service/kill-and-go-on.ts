/** Kills an automatic run again and again, and looks whether every value that a screen was shown is still there. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { EventPayload } from '../../src-core/contract'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { openClient } from '../bench-tools/contract-client'
import { startApp } from '../bench-tools/running-app'

export type KillReport = { kills: number; shown: number; lost: string[]; finished: number; stuck: string[]; truth: string | null }

type Bench = NonNullable<EventPayload<'bench'>>

const pause = (ms: number): Promise<void> => new Promise((resolve) => { setTimeout(resolve, ms) })
const valuesOf = (bench: Bench): string[] => bench.steps.flatMap((step) => [...(step.value === '' ? [] : [step.value]), ...step.earlier].map((value) => `${step.id} = ${value}`))

/** Multiset difference: what was shown and is no longer there. */
const missingFrom = (shown: readonly string[], there: readonly string[]): string[] => {
  const left = [...there]
  return shown.filter((value) => {
    const at = left.indexOf(value)
    if (at >= 0) left.splice(at, 1)
    return at < 0
  })
}

/** @param seconds shortest and longest time between start and kill. */
export const killAndGoOn = async (kills: number, seed: number, seconds: [number, number]): Promise<KillReport> => {
  const random = seededRandom(seed)
  const dataFolder = mkdtempSync(join(tmpdir(), 'probewright-kill-'))
  const report: KillReport = { kills: 0, shown: 0, lost: [], finished: 0, stuck: [], truth: null }
  let run: string | null = null
  /** The newest picture of the run that any screen was shown before the kill. */
  let shown: string[] = []
  try {
    while (report.kills < kills) {
      const app = await startApp([], dataFolder)
      const client = await openClient(app.address)
      const { runs } = await client.ask('hello', {})
      const entry = runs.find((each) => each.run === run)
      if (run !== null && entry === undefined) report.lost.push(`the run ${run}`)
      if (entry !== undefined && entry.verdict === null) await client.ask('open-run', { run: entry.run })
      else {
        if (entry !== undefined) report.finished += 1
        run = (await client.ask('start-practice', { seed: seed + report.kills })).run
        shown = []
      }
      const current = run
      const bench = await client.until('bench', (each) => each?.run === current)
      const lost = bench === null ? shown : missingFrom(shown, valuesOf(bench))
      report.lost.push(...lost.map((value) => `${value} (kill ${report.kills})`))
      const before = bench === null ? 0 : valuesOf(bench).length
      await pause(1000 * (seconds[0] + random() * (seconds[1] - seconds[0])))
      await app.kill()
      await pause(20)
      client.close()
      const last = client.last('bench')
      if (last !== null && last !== undefined) {
        shown = valuesOf(last)
        report.shown = Math.max(report.shown, 0) + Math.max(0, shown.length - before)
      }
      report.kills += 1
    }
    // And the run goes on, to its verdict.
    const app = await startApp([], dataFolder)
    const client = await openClient(app.address)
    const { runs } = await client.ask('hello', {})
    const entry = runs.find((each) => each.run === run)
    if (entry !== undefined && entry.verdict === null) {
      await client.ask('open-run', { run: entry.run })
      try {
        await client.until('bench', (each) => each?.result !== null && each?.result !== undefined, 180_000)
        report.finished += 1
      } catch (error) {
        report.stuck.push(error instanceof Error ? error.message : String(error))
      }
      const last = client.last('bench')
      report.truth = last?.result?.truth ?? null
      report.lost.push(...(last === null || last === undefined ? shown : missingFrom(shown, valuesOf(last))))
    } else if (entry !== undefined) report.finished += 1
    client.close()
    await app.close()
  } finally {
    rmSync(dataFolder, { recursive: true, force: true })
  }
  return report
}
