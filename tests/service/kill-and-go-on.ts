/** Kills an automatic run again and again, and looks whether every value that a screen was shown is still there. */
import type { EventPayload } from '../../src-core/contract'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import { closeAfter } from '../bench-tools/closers'
import type { ContractClient } from '../bench-tools/contract-client'
import { openApp, openDataFolder } from '../bench-tools/opened'

/** `shown`: values that screens were shown before a kill; `lost`: those of them that were gone when the run was taken up. */
export type KillReport = { kills: number; shown: number; lost: string[]; finished: number; stuck: string[]; truth: string | null }

type Bench = NonNullable<EventPayload<'bench'>>

/** When to kill: between two times after the start, s, or as soon as the bench shows something. */
export type KillMoment = { seconds: [number, number] } | { asSoonAs: (bench: Bench) => boolean }

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

/** The run as it is shown when it is taken up again; null when the app does not have it any more. */
const takenUp = async (client: ContractClient, run: string): Promise<Bench | null> => {
  const { runs } = await client.ask('list-runs', {})
  if (runs.every((each) => each.run !== run)) return null
  await client.ask('open-run', { run })
  return client.until('bench', (bench) => bench?.run === run)
}

const comes = async (client: ContractClient, moment: KillMoment, random: () => number): Promise<void> => {
  if ('seconds' in moment) {
    const [soonest, latest] = moment.seconds
    await pause(1000 * (soonest + random() * (latest - soonest)))
  } else await client.until('bench', (bench) => bench !== null && moment.asSoonAs(bench), 60_000)
}

/** After the last kill the run is taken up once more and goes on to its verdict. A run that ended before its kill is followed by another. */
export const killAndGoOn = (kills: number, seed: number, moment: KillMoment): Promise<KillReport> => closeAfter(async (later) => {
  const random = seededRandom(seed)
  const dataFolder = openDataFolder(later)
  const report: KillReport = { kills: 0, shown: 0, lost: [], finished: 0, stuck: [], truth: null }
  let run: string | null = null
  /** The newest picture of the run that any screen was shown before the kill. */
  let shown: string[] = []

  /** Takes the run up, or starts the next where it has ended, and notes what is missing. */
  const goOn = async (client: ContractClient): Promise<Bench> => {
    const before = run === null ? null : await takenUp(client, run)
    if (run !== null) report.lost.push(...(before === null ? [`the run ${run}`] : missingFrom(shown, valuesOf(before))).map((what) => `${what} (kill ${report.kills})`))
    if (before !== null && before.result === null) return before
    if (before !== null) report.finished += 1
    shown = []
    const next = (await client.ask('start-practice', { seed: seed + report.kills })).run
    run = next
    const bench = await client.until('bench', (each) => each?.run === next)
    if (bench === null) throw new Error('The run that was started is not on the bench.')
    return bench
  }

  while (report.kills < kills) {
    await closeAfter(async (soon) => {
      const { app, client } = await openApp(soon, { dataFolder })
      const before = valuesOf(await goOn(client)).length
      await comes(client, moment, random)
      await app.kill()
      await pause(20)
      const last = client.last('bench')
      if (last === null || last === undefined) throw new Error('The run was on no screen when the app was killed.')
      shown = valuesOf(last)
      report.shown += Math.max(0, shown.length - before)
      report.kills += 1
    })
  }

  const { client } = await openApp(later, { dataFolder })
  const taken = await goOn(client)
  try {
    const ended = await client.until('bench', (bench) => bench?.run === taken.run && bench.result !== null, 180_000)
    report.finished += 1
    report.truth = ended?.result?.truth ?? null
    report.lost.push(...missingFrom(shown, ended === null ? [] : valuesOf(ended)).map((what) => `${what} (at the end)`))
  } catch (error) {
    report.stuck.push(error instanceof Error ? error.message : String(error))
  }
  return report
})
