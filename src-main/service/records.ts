/** Carries out what the Records screen asks for: lists, one run, two runs side by side, and exports. */
import type { RunsView } from '../../src-core/contract'
import { compareRuns } from '../../src-core/run/compare'
import { framesOf, planOfRun, runDetailOf, truthOf } from '../../src-core/run/detail'
import { exportName, type ExportKind } from '../../src-core/run/export-name'
import { runToGoOn } from '../../src-core/run/run-list'
import { readingsOf } from '../../src-core/run/readings-of'
import { tableColumns, tableRows } from '../../src-core/run/value-table'
import type { Assets } from './assets'
import { csvText } from './csv'
import { mostBytes } from './downloads'
import { Refusal, type Handlers } from './dispatcher'
import { createExporting, type Progress } from './exporting'
import type { LibraryBoard } from './library-files'
import type { ShortestWays } from './practice/shortest-ways'
import { isUnderReview } from './record/run-meters'
import { createRunReader } from './run-reader'
import type { RunList } from './store/run-list'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'
import type { CheckStore } from './store/check-store'
import { createTurns, type Turn } from './turns'

type Commands = 'list-runs' | 'boards-with-runs' | 'read-run' | 'read-truth' | 'read-frames' | 'compare-runs' | 'export-run' | 'stop-export' | 'measured-before'
export type Records = Pick<Handlers, Commands>

const rowsAPage = 50
/** The run on the bench is the only one that may stand before the run to go on with. */
const unfinishedLookedAt = 2

export const runsViewOf = (list: RunList, onBench: string | null): RunsView => ({ goOn: runToGoOn(list.unfinished(unfinishedLookedAt), onBench), latest: list.latest() })

const types: Record<ExportKind, string> = { csv: 'text/csv; charset=utf-8', json: 'application/json', readings: 'application/json' }

type Surroundings = { runs: RunStore; list: RunList; shop: ShopStore; checks: CheckStore; assets: Assets; boards: () => readonly LibraryBoard[]; ways: Pick<ShortestWays, 'known' | 'find'>; progress: (progress: Progress | null) => void }

export const createRecords = ({ runs, list, shop, checks, assets, boards, ways, progress }: Surroundings): Records => {
  const exporting = createExporting(progress)
  const { pieces: piecesOfRun, read } = createRunReader(runs, shop, boards)

  async function* csvOf(wanted: readonly string[], turn: Turn): AsyncGenerator<string> {
    yield csvText([tableColumns])
    for (const run of wanted) {
      const rows = tableRows(await read(run, turn))
      await turn()
      yield csvText(rows)
    }
  }

  async function* jsonOf(wanted: readonly string[]): AsyncGenerator<string> {
    let opening = '[\n'
    for (const run of wanted) {
      for (const piece of piecesOfRun(run)) {
        yield `${opening}${piece.join(',\n')}`
        opening = ',\n'
      }
    }
    yield '\n]\n'
  }

  async function* readingsText(wanted: readonly string[]): AsyncGenerator<string> {
    const [run, ...more] = wanted
    if (run === undefined || more.length > 0) throw new Refusal('A readings file is of one board: choose one run.')
    const { state, board } = await read(run)
    const plan = planOfRun(state, board)
    if (plan === null) throw new Refusal('The board file of that run is missing from the data folder, so it is not known where its values were measured.')
    const file = readingsOf(state, plan)
    if (file.readings.length === 0) throw new Refusal('This run has no value of a part yet, so there is nothing for a readings file.')
    yield `${JSON.stringify(file, null, 2)}\n`
  }

  /** The text in pieces, about one for each run. */
  const piecesOf = (wanted: readonly string[], as: ExportKind, turn: Turn): AsyncGenerator<string> => {
    switch (as) {
      case 'csv': return csvOf(wanted, turn)
      case 'json': return jsonOf(wanted)
      case 'readings': return readingsText(wanted)
    }
  }

  return {
    'list-runs': ({ after, ...filter }) => list.page(filter, after ?? null, rowsAPage),
    'boards-with-runs': () => ({ boards: list.boards() }),
    'read-run': async ({ run }) => {
      const turn = createTurns()
      const { state, board } = await read(run, turn)
      const detail = runDetailOf(state, board, ways.known(run), isUnderReview(checks, state))
      // Its answer is validated in a turn of its own.
      await turn()
      return detail
    },
    'read-truth': async ({ run }) => {
      const { state, board } = await read(run)
      const { practice } = state.started
      const sought = board !== null && state.ended !== null && practice?.by === 'hand'
      return { truth: truthOf(state, board, sought ? await ways.find(run, board, practice.faults) : 'sought') }
    },
    'read-frames': ({ run, seq }) => {
      const frames = framesOf(runs.event(run, seq))
      if (frames === null) throw new Refusal(`Event ${seq} of that run holds no measured value.`)
      return { frames }
    },
    'compare-runs': async ({ first, second }) => {
      const turn = createTurns()
      const compared = compareRuns(await read(first, turn), await read(second, turn))
      if ('refused' in compared) throw new Refusal(compared.refused)
      await turn()
      return compared.comparison
    },
    'export-run': async ({ runs: asked, as }) => {
      const wanted = [...new Set(asked)]
      const turn = createTurns()
      const bytes = await exporting.make(wanted.length, piecesOf(wanted, as, turn), turn)
      const first = runs.event(wanted[0] ?? '', 1)
      const name = exportName(first?.kind === 'started' ? first : null, wanted.length, as)
      const path = assets.offer({ name, type: types[as], bytes })
      if (path === null) throw new Refusal(`Exports that nobody has fetched fill the ${mostBytes / 2 ** 20} MB kept for them. Try again in five minutes.`)
      return { name, path }
    },
    'stop-export': () => {
      exporting.stop()
      return {}
    },
    'measured-before': ({ board, serialNumber }) => (serialNumber === '' ? { last: null, times: 0 } : list.measuredBefore(board, serialNumber)),
  }
}
