/** Carries out the repair log: reads the runs of one unit, stores what is logged, starts the runs behind a repair, keeps photographs. */
import { createHash } from 'node:crypto'
import type { BoardType } from '../../src-core/board/board-type'
import { hiddenAfter } from '../../src-core/practice/board-now'
import { planOfRun } from '../../src-core/run/detail'
import type { RunEventBody } from '../../src-core/run/event'
import type { History } from '../../src-core/repair/cleared'
import { refusalToClose, closingGround } from '../../src-core/repair/close'
import { donorBoard, donorName, refusalOfDonorTest } from '../../src-core/repair/donor'
import { photographType, type RepairEntry } from '../../src-core/repair/entry'
import { followsOf, keptBeside, refusalBeside, refusalToFollow } from '../../src-core/repair/follow'
import { refusalOfDonor, refusalOfEntry, refusalToLog, stateAfterRepairs, entriesOf } from '../../src-core/repair/log'
import { reportPages } from '../../src-core/repair/report'
import { firstValuesOf, repairViewOf } from '../../src-core/repair/show'
import { judgeSubstitute } from '../../src-core/repair/substitute'
import type { RepairView } from '../../src-core/repair/view'
import { exportName } from '../../src-core/run/export-name'
import { pictureOf, type Assets } from './assets'
import type { BenchKeeper } from './bench-keeper'
import { Refusal, type Handlers } from './dispatcher'
import type { KeptPictures } from './kept-pictures'
import type { LibraryBoard } from './library-files'
import type { Printing } from './record/printing'
import { createRunReader } from './run-reader'
import type { FirstValues, RunStarts } from './run-starts-around'
import { localTime } from './same-unit'
import type { RunList } from './store/run-list'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'

type Commands = 'read-repairs' | 'log-repair' | 'strike-repair' | 'judge-substitute' | 'keep-photograph' | 'measure-again' | 'test-donor' | 'close-board' | 'board-report'
export type Repairs = { handlers: Pick<Handlers, Commands>; /** What the steps of this run's unit came to first. */ firstOf: (run: string) => Promise<FirstValues | undefined> }

type Surroundings = {
  runs: RunStore; list: RunList; shop: ShopStore; assets: Assets; pictures: KeptPictures; boards: () => readonly LibraryBoard[]
  printing: Pick<Printing, 'print'>; keeper: Pick<BenchKeeper, 'add'>; starts: Pick<RunStarts, 'startKept'>
  /** A run was begun behind another one of the same unit. */
  followed: (run: string, before: string) => void
}

/** No unit is measured more often than this in one go of work. */
const mostRuns = 60
const donorsShown = 20

const notRefused = (why: string | null): void => { if (why !== null) throw new Refusal(why) }

export const createRepairs = ({ runs, list, shop, assets, pictures, boards, keeper, starts, printing, followed }: Surroundings): Repairs => {
  const { read } = createRunReader(runs, shop, boards)

  const lastOf = (run: string): string => {
    let last = run
    for (let more = runs.follower(last), count = 0; more !== null && count < mostRuns; more = runs.follower(last), count += 1) last = more
    return last
  }

  /** The runs of the unit up to this one, the first one first. */
  const before = async (run: string): Promise<{ board: BoardType; history: History }> => {
    const found: { state: History[number]['state']; plan: History[number]['plan'] }[] = []
    let file: BoardType | null = null
    for (let at: string | undefined = run; at !== undefined && found.length < mostRuns;) {
      const { state, board } = await read(at)
      const plan = planOfRun(state, board)
      if (plan === null || board === null) throw new Refusal('The board file of this run is missing from the data folder, so its parts are not known.')
      file ??= board
      found.unshift({ state, plan })
      at = state.started.follows?.run
    }
    if (file === null) throw new Refusal('That run is not in this data folder.')
    return { board: file, history: found }
  }
  const unitOf = (run: string) => before(lastOf(run))

  const donorsOf = async (board: BoardType): Promise<RepairView['donors']> => {
    const [part] = board.parts
    return part === undefined ? [] : (await list.page({ board: donorBoard(board, part).id }, null, donorsShown)).runs.map(({ run, serialNumber, verdict }) =>
      ({ run, words: `${serialNumber}: ${verdict === null ? 'not ended' : verdict.replace('-', ' ')}`, passed: verdict === 'pass' }))
  }

  const viewOf = async (run: string): Promise<RepairView> => {
    const { board, history } = await unitOf(run)
    const view = repairViewOf(board, history, await donorsOf(board))
    if (view === null) throw new Refusal('That run is not in this data folder.')
    await pictures.serveAll([...view.before, ...view.entries].flatMap(({ photographs }) => photographs.map(({ asset }) => asset)))
    return view
  }

  /** Stores what `make` decides, unless the run grew while it was read: then it is read again. */
  const addTo = async (run: string, make: (unit: { board: BoardType; history: History; latest: History[number] }) => RunEventBody): Promise<RepairView> => {
    for (let tries = 0; ; tries += 1) {
      const { board, history } = await unitOf(run)
      const latest = history.at(-1)
      if (latest === undefined) throw new Refusal('That run is not in this data folder.')
      const { run: last } = latest.state.started
      if (runs.lastSeq(last) !== latest.state.events.length && tries < 5) continue
      keeper.add(last, [make({ board, history, latest })])
      return viewOf(last)
    }
  }

  const partNamed = (board: BoardType, ref: string) => {
    const part = board.parts.find((each) => each.ref === ref)
    if (part === undefined) throw new Refusal(`${ref} is not a part of ${board.name}. Choose one from the list.`)
    return part
  }

  const photographsKept = ({ photographs }: RepairEntry): void => {
    for (const { sha256, type } of photographs) if (!pictures.isKept(`/pictures/${sha256}.${type}`)) throw new Refusal('A photograph of this entry is not in the data folder. Choose it again, then log the repair.')
  }

  return {
    firstOf: async (run) => {
      const after = runs.event(run, 1)
      return after?.kind !== 'started' || after.follows === undefined ? undefined : firstValuesOf((await before(after.follows.run)).history)
    },
    handlers: {
      'read-repairs': ({ run }) => viewOf(run),
      'log-repair': ({ run, entry }) => addTo(run, ({ board, history, latest: { state, plan } }) => {
        notRefused(refusalToLog(state, plan) ?? refusalOfEntry(board, stateAfterRepairs(plan, state), entry))
        photographsKept(entry)
        const test = entry.fitted?.origin.kind === 'donor' && entry.fitted.origin.test !== null ? runs.find(entry.fitted.origin.test) : null
        notRefused(refusalOfDonor(board, entry, test, history.flatMap(({ state: each }) => entriesOf(each))))
        const judged = entry.fitted === null || entry.fitted.same ? [] : judgeSubstitute(partNamed(board, entry.part), entry.fitted.figures)
        return { kind: 'repaired', entry: entry.fitted === null ? entry : { ...entry, fitted: { ...entry.fitted, judged } } }
      }),
      'strike-repair': ({ run, entry, because }) => addTo(run, ({ latest: { state, plan } }) => {
        notRefused(refusalToLog(state, plan))
        if (!entriesOf(state).some(({ seq }) => seq === entry)) throw new Refusal('That entry is not in the log of the last run, or was struck out before.')
        return { kind: 'struck', entry, because }
      }),
      'judge-substitute': async ({ run, part, figures }) => ({ judged: judgeSubstitute(partNamed((await unitOf(run)).board, part), figures) }),
      'keep-photograph': ({ base64 }) => {
        const bytes = Buffer.from(base64, 'base64')
        const type = photographType(bytes)
        if (type === null) throw new Refusal('That is no photograph: choose a JPEG or a PNG.')
        const picture = pictureOf(`photograph.${type}`, bytes)
        assets.keepServing(picture)
        pictures.keep(picture.path)
        return { sha256: createHash('sha256').update(bytes).digest('hex'), type }
      },
      'measure-again': async ({ run, purpose, beside }) => {
        const { board, history } = await unitOf(run)
        notRefused(refusalToFollow(board, history, purpose))
        const alone = refusalBeside(board, history, purpose)
        if (beside === true) notRefused(alone)
        const { started } = history.at(-1)?.state ?? (() => { throw new Refusal('That run is not in this data folder.') })()
        const { practice } = started
        const hidden = practice === undefined ? undefined : hiddenAfter(board, practice, entriesOf(history.at(-1)?.state ?? { events: [] }).map(({ entry }) => entry))
        const behind = starts.startKept({
          board, ...(hidden === undefined ? {} : { hidden }), ...(alone === null && (beside ?? keptBeside(history)) ? { beside: true as const } : {}),
          sha256: started.board.sha256, serialNumber: started.serialNumber, follows: followsOf(board, history, purpose), first: firstValuesOf(history),
        })
        followed(behind, started.run)
        return { run: behind }
      },
      'test-donor': async ({ run, part: ref, donor }) => {
        const { board, history } = await unitOf(run)
        const part = partNamed(board, ref)
        notRefused(refusalOfDonorTest(part, history.at(-1)?.state.started.practice !== undefined))
        const loose = donorBoard(board, part)
        return { run: starts.startKept({ board: loose, sha256: createHash('sha256').update(JSON.stringify(loose)).digest('hex'), serialNumber: donorName(ref, donor), aloneFor: run }) }
      },
      'close-board': ({ run, as, because, by }) => addTo(run, ({ board, history, latest: { state, plan } }) => {
        notRefused(refusalToLog(state, plan) ?? refusalToClose(board, history, as))
        const words = [closingGround(history, as), because.trim()].filter((each) => each !== '').join(' ')
        if (words === '') throw new Refusal('Say why: the board is closed without having passed.')
        return { kind: 'closed', as, because: words.slice(0, 2000), by }
      }),
      'board-report': async ({ run }) => {
        const { board } = await unitOf(run)
        const view = await viewOf(run)
        const sections = reportPages(board, view, localTime)
        if (view.closed === null) throw new Refusal('The board is not closed yet: close it, then have its page.')
        const bytes = await printing.print({ sections, paper: shop.paper(), utc: view.closed.utc })
        const started = runs.event(lastOf(run), 1)
        const name = exportName(started?.kind === 'started' ? started : null, 1, 'report')
        const path = assets.offer({ name, type: 'application/pdf', bytes })
        if (path === null) throw new Refusal('Exports that nobody has fetched fill the room kept for them. Try again in five minutes.')
        return { path, name }
      },
    },
  }
}
