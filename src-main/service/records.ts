/** Carries out what the Records screen asks for: lists, one run, two runs side by side, and exports. */
import type { BoardType } from '../../src-core/board/board-type'
import type { RunsView } from '../../src-core/contract'
import { compareRuns, type RunWithBoard } from '../../src-core/run/compare'
import { framesOf, planOfRun, runDetailOf } from '../../src-core/run/detail'
import { parseRunEvent, type RunEvent } from '../../src-core/run/event'
import { exportName, type ExportKind } from '../../src-core/run/export-name'
import { runToGoOn } from '../../src-core/run/run-list'
import { rebuild } from '../../src-core/run/state'
import { readingsOf } from '../../src-core/run/readings-of'
import { tableColumns, tableRows } from '../../src-core/run/value-table'
import type { Assets } from './assets'
import { csvText } from './csv'
import { Refusal, type Handlers } from './dispatcher'
import type { RunList } from './store/run-list'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'

type Commands = 'list-runs' | 'boards-with-runs' | 'read-run' | 'read-frames' | 'compare-runs' | 'export-run' | 'measured-before'
export type Records = Pick<Handlers, Commands>

const rowsAPage = 50
const eventsAPiece = 20
const boardsHeld = 20
/** The run on the bench is the only one that may stand before the run to go on with. */
const unfinishedLookedAt = 2

export const runsViewOf = (list: RunList, onBench: string | null): RunsView => ({ goOn: runToGoOn(list.unfinished(unfinishedLookedAt), onBench), latest: list.latest() })

/** Between the pieces of a long piece of work the serial line is served. */
const nextTurn = (): Promise<void> => new Promise((resolve) => { setImmediate(resolve) })

const types: Record<ExportKind, string> = { csv: 'text/csv; charset=utf-8', json: 'application/json', readings: 'application/json' }

export const createRecords = ({ runs, list, shop, assets }: { runs: RunStore; list: RunList; shop: ShopStore; assets: Assets }): Records => {
  /** A board file kept under its SHA-256 never changes. */
  const boards = new Map<string, BoardType | null>()
  const boardOf = (sha256: string): BoardType | null => {
    const board = boards.get(sha256) ?? shop.board(sha256)
    boards.set(sha256, board)
    for (const old of [...boards.keys()].slice(0, -boardsHeld)) boards.delete(old)
    return board
  }

  const bodiesOf = (run: string): string[] => {
    const bodies = runs.bodies(run)
    if (bodies.length === 0) throw new Refusal('That run is not in this data folder.')
    return bodies
  }

  const read = async (run: string): Promise<RunWithBoard> => {
    const bodies = bodiesOf(run)
    const events: RunEvent[] = []
    for (let at = 0; at < bodies.length; at += eventsAPiece) {
      events.push(...bodies.slice(at, at + eventsAPiece).map((body) => parseRunEvent(JSON.parse(body))))
      await nextTurn()
    }
    const state = rebuild(events)
    await nextTurn()
    return { state, board: boardOf(state.started.board.sha256) }
  }

  const csvOf = async (wanted: readonly string[]): Promise<string> => {
    const parts = [csvText([tableColumns])]
    for (const run of wanted) {
      parts.push(csvText(tableRows(await read(run))))
      await nextTurn()
    }
    return parts.join('')
  }

  const jsonOf = async (wanted: readonly string[]): Promise<string> => {
    const bodies: string[] = []
    for (const run of wanted) {
      bodies.push(...bodiesOf(run))
      await nextTurn()
    }
    return `[\n${bodies.join(',\n')}\n]\n`
  }

  const readingsText = async (wanted: readonly string[]): Promise<string> => {
    const [run, ...more] = wanted
    if (run === undefined || more.length > 0) throw new Refusal('A readings file is of one board: choose one run.')
    const { state, board } = await read(run)
    const plan = planOfRun(state, board)
    if (plan === null) throw new Refusal('The board file of that run is missing from the data folder, so it is not known where its values were measured.')
    const file = readingsOf(state, plan)
    if (file.readings.length === 0) throw new Refusal('This run has no value of a part yet, so there is nothing for a readings file.')
    return `${JSON.stringify(file, null, 2)}\n`
  }

  const textOf = (wanted: readonly string[], as: ExportKind): Promise<string> => {
    switch (as) {
      case 'csv': return csvOf(wanted)
      case 'json': return jsonOf(wanted)
      case 'readings': return readingsText(wanted)
    }
  }

  return {
    'list-runs': ({ after, ...filter }) => list.page(filter, after ?? null, rowsAPage),
    'boards-with-runs': () => ({ boards: list.boards() }),
    'read-run': async ({ run }) => {
      const { state, board } = await read(run)
      return runDetailOf(state, board)
    },
    'read-frames': ({ run, seq }) => {
      const frames = framesOf(runs.event(run, seq))
      if (frames === null) throw new Refusal(`Event ${seq} of that run holds no measured value.`)
      return { frames }
    },
    'compare-runs': async ({ first, second }) => {
      const compared = compareRuns(await read(first), await read(second))
      if ('refused' in compared) throw new Refusal(compared.refused)
      return compared.comparison
    },
    'export-run': async ({ runs: asked, as }) => {
      const wanted = [...new Set(asked)]
      const text = await textOf(wanted, as)
      const started = wanted.flatMap((run) => {
        const first = runs.event(run, 1)
        return first?.kind === 'started' ? [first] : []
      })
      const name = exportName(started, as)
      return { name, path: assets.offer({ name, type: types[as], bytes: Buffer.from(text, 'utf8') }) }
    },
    'measured-before': ({ board, serialNumber }) => (serialNumber === '' ? { last: null, times: 0 } : list.measuredBefore(board, serialNumber)),
  }
}
