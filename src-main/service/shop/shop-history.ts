/** Carries out what a screen asks of what the shop has learnt: views, charts, exports. */
import type { BoardType } from '../../../src-core/board/board-type'
import type { ComputedLimits } from '../../../src-core/circuit/computed-limits'
import type { CommandInput, CommandOutput } from '../../../src-core/contract'
import type { Meter } from '../../../src-core/meter/instrument'
import { readsAlike } from '../../../src-core/meter/reads-alike'
import { unitOf } from '../../../src-core/meter/reading'
import { withoutDust } from '../../../src-core/quantity/plain-figures'
import { meterByEye } from '../../../src-core/meter/by-eye'
import { readByEye } from '../../../src-core/run/meter-of'
import { isBenchRun } from '../../../src-core/run/bench-runs'
import type { RunState } from '../../../src-core/run/state'
import { type Cell, safeText } from '../../../src-core/run/value-table'
import type { Chart } from '../../../src-core/shop/chart/chart'
import { partsChart, yieldChart } from '../../../src-core/shop/chart/charts'
import { svgText } from '../../../src-core/shop/chart/svg-text'
import type { StepValues } from '../../../src-core/shop/commands'
import { boardsIn, type FaultHistory } from '../../../src-core/shop/fault-history'
import { historyOf, learntViewOf, withoutCounts, type LearntView } from '../../../src-core/shop/learnt-view'
import { rebuild } from '../../../src-core/run/state'
import { mostGoodBoards, type GoodValue, type KnownGood } from '../../../src-core/run/good-values'
import { goodKnown, needsGoodBoards } from '../../../src-core/run/known-good'
import { hasWalk, titleInFile, walksKnown, type KnownWalks } from '../../../src-core/run/walk'
import { learnedValuesOf, type DigestValue } from '../../../src-core/shop/run-digest'
import { goodLimitsInWords, mostValues, oneABoard, stepValuesOf } from '../../../src-core/shop/step-values'
import type { Assets } from '../assets'
import { csvText } from '../csv'
import { mostBytes } from '../downloads'
import { Refusal, type Handlers } from '../dispatcher'
import type { RunReader } from '../run-reader'
import type { LearntStore, ValueRow } from '../store/learnt-store'
import type { RunStore } from '../store/run-store'
import { createTurns, nextTurn } from '../turns'
import { createLearning } from './learning'

type Commands = 'what-was-learnt' | 'learnt-values' | 'export-learnt' | 'learn-anew'
export type ShopHistory = {
  handlers: Pick<Handlers, Commands>
  /** A run may have ended, or have been opened again. */
  look: () => void
  settled: () => Promise<void>
  /** Which parts of its board type failed here on other units before this run; the same for as long as it lies on the bench. Null for practice, which draws faults as usual. */
  faultsFor: (run: RunState) => FaultHistory | null
  /** What good boards read at the points of its walks with this meter, or one that reads alike; undefined: none is known. @throws Refusal while runs are still to be learned of. */
  walksOf: (board: BoardType, practice: boolean, meter: Meter) => KnownWalks | undefined
  /** What good boards read at steps that have no limits of their own; undefined: none spoke, or it is practice. @throws Refusal as `walksOf`, where a step has no other limits. */
  goodOf: (board: BoardType, practice: boolean, meter: Meter) => KnownGood | undefined
  close: () => void
}

type Surroundings = {
  learnt: LearntStore; runs: Pick<RunStore, 'event' | 'events' | 'lastSeq' | 'practised' | 'follower'>; reader: RunReader; assets: Assets
  file: (sha256: string) => BoardType | null
  meters: () => Meter[]
  /** What the tolerances of the parts say of each step; null: not computed yet. */
  tolerances: (board: BoardType, sha256: string) => Readonly<Record<string, ComputedLimits>> | null
  changed: (due: number) => void; report: (error: unknown) => void
}
type Of = { board: string; revision: string }

const goodValueOf = ({ function: fn, value, U }: Pick<DigestValue, 'function' | 'value' | 'U'>): GoodValue => ({ function: fn, value: value ?? 'overload', U })

const valuesAtOnce = 100

export const createShopHistory = ({ learnt, runs, reader, assets, file, meters, tolerances, changed, report }: Surroundings): ShopHistory => {
  const learning = createLearning(learnt, { read: reader.read, lastSeq: runs.lastSeq, follower: runs.follower }, () => { changed(learnt.dueCount()) }, report)

  let told: { run: string; history: FaultHistory } | null = null

  const fileOf = ({ board, revision }: Of): { sha256: string; board: BoardType } | null => {
    const sha256 = learnt.fileOf(board, revision)
    const found = sha256 === null ? null : file(sha256)
    return sha256 === null || found === null ? null : { sha256, board: found }
  }
  const viewOf = ({ board, revision }: Of): LearntView => learntViewOf({
    board, revision, due: learnt.dueCount(), counts: learnt.counts(board, revision), steps: learnt.steps(board, revision), file: fileOf({ board, revision })?.board ?? null,
  })

  /** This run and those of the same unit before it. */
  const ofItsUnit = ({ run, follows }: RunState['started']): string[] => {
    const found = [run]
    for (let before = follows?.run; before !== undefined && !found.includes(before);) {
      found.push(before)
      const began = runs.event(before, 1)
      before = began?.kind === 'started' ? began.follows?.run : undefined
    }
    return found
  }

  /** The latest `most`, in the order they were taken. */
  const valuesOf = async ({ board, revision }: Of, step: string, most: number): Promise<ValueRow[]> => {
    const turn = createTurns()
    const found: ValueRow[] = []
    for (let before: ValueRow | null = null; ;) {
      const piece: ValueRow[] = learnt.values(board, revision, step, before, valuesAtOnce)
      found.push(...piece)
      before = piece.at(-1) ?? null
      if (piece.length < valuesAtOnce || found.length >= most) return found.slice(0, most).reverse()
      await turn()
    }
  }
  const stepOf = async (of: Of, step: string | undefined): Promise<StepValues> => {
    const kept = fileOf(of)
    const title = (kept === null || step === undefined ? null : titleInFile(kept.board, step)) ?? step ?? ''
    const computed = kept === null || step === undefined ? null : tolerances(kept.board, kept.sha256)?.[step] ?? null
    const values = step === undefined ? [] : await valuesOf(of, step, mostValues)
    await nextTurn()
    const limits = goodLimitsInWords(values, computed)
    await nextTurn()
    const made = stepValuesOf(title, values, learnt.steps(of.board, of.revision).filter((row) => row.step === step), limits)
    // Its answer is validated in a turn of its own.
    await nextTurn()
    if (made === null) throw new Refusal('No value of that step is kept yet. Choose another step.')
    return made
  }

  const chartOf = async ({ what, step, ...of }: Extract<CommandInput<'export-learnt'>, { as: 'svg' }>): Promise<Chart> => {
    switch (what) {
      case 'passed': return yieldChart(viewOf(of))
      case 'parts': return partsChart(viewOf(of))
      case 'values': case 'distribution': {
        const made = await stepOf(of, step)
        const chart = made[what]
        if (chart === null) throw new Refusal(`${made.withoutChart} Save its table (CSV) instead.`)
        return chart
      }
    }
  }

  const rowsOf = async ({ what, step, ...of }: Extract<CommandInput<'export-learnt'>, { as: 'csv' }>): Promise<Cell[][]> => {
    switch (what) {
      case 'steps': return [['step', 'title', 'judged', 'failed', 'failed_low', 'failed_high', 'values', 'open', 'mean', 'scatter', 'limits', 'cpk', 'cpk_low'],
        ...viewOf(of).steps.map((row) => [row.step, row.title, row.failed.of, row.failed.count, withoutDust(row.failed.low), withoutDust(row.failed.high), row.values, row.open, row.mean, row.scatter, row.limits, row.cpk, row.cpkLow])]
      case 'parts': return [['part', 'failed', 'boards', 'low', 'high', 'usual', 'learnt'],
        ...viewOf(of).parts.map(({ ref, share, usual, learnt: is }) => [ref, share.count, share.of, withoutDust(share.low), withoutDust(share.high), usual, is])]
      case 'values': return [['utc', 'run', 'serial_number', 'meter', 'value', 'unit', 'U', 'limit_low', 'limit_high', 'verdict', 'run_passed'],
        ...(await valuesOf(of, step ?? '', Infinity)).map((row) => [row.utc, row.run, row.serialNumber, row.meter, row.value ?? 'overload', unitOf[row.function], row.U, row.low, row.high, row.verdict, row.passed ? 'yes' : 'no'])]
    }
  }
  const textOf = async (asked: CommandInput<'export-learnt'>): Promise<string> =>
    (asked.as === 'svg' ? svgText(await chartOf(asked)) : csvText((await rowsOf(asked)).map((row) => row.map((cell) => (typeof cell === 'string' ? safeText(cell) : cell)))))

  const offer = (name: string, type: string, text: string): CommandOutput<'export-learnt'> => {
    const path = assets.offer({ name, type, bytes: Buffer.from(text, 'utf8') })
    if (path === null) throw new Refusal(`Exports that nobody has fetched fill the ${mostBytes / 2 ** 20} MB kept for them. Try again in five minutes.`)
    return { path, name }
  }
  const plain = (text: string): string => text.replace(/[^A-Za-z0-9]+/g, '-').slice(0, 40)

  /** The latest practice board with nothing hidden in it that was walked and passed: nothing of practice is among what the shop learns. */
  const practised = (board: BoardType): ((id: string) => GoodValue[]) => {
    const run = runs.practised(board.id, board.revision)
    const values = run === null ? [] : learnedValuesOf(rebuild(runs.events(run)))
    return (id) => values.filter(({ step }) => step === id).map(goodValueOf)
  }
  const measured = ({ id: board, revision }: BoardType, meter: Meter) => {
    const kept = meters()
    /** As the register has it now; null: the value came from one that its run did not begin with, and only its name is kept. */
    const meterBehind = ({ run, meter: name }: ValueRow): Pick<Meter, 'id' | 'register'> | null => {
      if (name === readByEye.name) return meterByEye
      const began = runs.event(run, 1)
      const own = began?.kind === 'started' && began.meter?.name === name ? began.meter : null
      return own === null ? null : kept.find(({ id }) => id === own.id) ?? own
    }
    const known = new Map<string, ReturnType<typeof meterBehind>>()
    const alike = (value: ValueRow): boolean => {
      const key = JSON.stringify([value.run, value.meter])
      const by = known.get(key) ?? meterBehind(value)
      known.set(key, by)
      return by !== null && readsAlike(by, meter, value.function)
    }
    return (id: string): GoodValue[] => oneABoard(learnt.goodValues(board, revision, id, mostGoodBoards).reverse().filter(alike)).map((value) => ({ ...goodValueOf(value), meter: value.meter === readByEye.name ? meterByEye.name : value.meter }))
  }

  const learnedOfAll = (since: string): void => {
    const due = learnt.dueCount()
    if (due > 0) throw new Refusal(`${due === 1 ? 'The run before is' : `${due} runs are`} still being learned of, and ${since}. Start it again in a moment.`)
  }

  return {
    walksOf: (board, practice, meter) => {
      if (!hasWalk(board)) return undefined
      if (!practice) learnedOfAll('this board has a walk that is judged by them')
      return walksKnown(board, practice ? practised(board) : measured(board, meter))
    },
    goodOf: (board, practice, meter) => {
      if (practice) return undefined
      if (needsGoodBoards(board)) learnedOfAll('this board has a step that is judged by them')
      return goodKnown(board, measured(board, meter))
    },
    look: learning.look, settled: learning.settled, close: learning.close,
    faultsFor: ({ started }) => {
      if (started.practice !== undefined || isBenchRun(started.board.id)) return null
      if (told?.run !== started.run) told = { run: started.run, history: historyOf(withoutCounts(learnt.counts(started.board.id, started.board.revision), ofItsUnit(started).flatMap(learnt.countsOf))) }
      return boardsIn(told.history) === 0 ? null : told.history
    },
    handlers: {
      'what-was-learnt': (of) => {
        const view = viewOf(of)
        return { learnt: view, passed: yieldChart(view), parts: partsChart(view) }
      },
      'learnt-values': ({ step, ...of }) => stepOf(of, step),
      'export-learnt': async (asked) => offer(
        `${['probewright', plain(asked.board), plain(asked.revision), ...(asked.step === undefined ? [] : [plain(asked.step)]), asked.what].join('_')}.${asked.as}`,
        asked.as === 'svg' ? 'image/svg+xml' : 'text/csv; charset=utf-8', await textOf(asked)),
      'learn-anew': () => {
        learnt.forgetAll()
        learning.look()
        changed(learnt.dueCount())
        return {}
      },
    },
  }
}
