/** The service: carries out the contract. It stores what core decides before any screen sees it, and decides nothing itself. */
import { randomUUID } from 'node:crypto'
import { dirname, join, relative } from 'node:path'
import type { LibraryView, LinkView } from '../../src-core/contract'
import { boardWithLimits } from '../../src-core/circuit/computed-limits'
import { meterByEye } from '../../src-core/meter/by-eye'
import type { MeterDescription } from '../../src-core/meter/description'
import { tooCoarseSteps } from '../../src-core/metrology/adequacy'
import { seconds, type Seconds } from '../../src-core/quantity/units'
import { checkBoardId } from '../../src-core/run/check-run'
import { closingBoardId } from '../../src-core/run/closing'
import { computedOfBoard } from '../../src-core/run/computed-words'
import { conclusionsOf, proposalsOf } from '../../src-core/run/diagnosis-view'
import { fitBoardId } from '../../src-core/run/fit-run'
import { limitsRequestFor } from '../../src-core/run/limits-request'
import { bindingProblems } from '../../src-core/settings/key-bindings'
import { askedOfMeter } from '../../src-core/run/asked-of-meter'
import type { BenchInput } from '../../src-core/run/conduct'
import { askedByDial } from '../../src-core/run/facts-of'
import { openAssets, type Assets } from './assets'
import { createBenchKeeper } from './bench-keeper'
import { createDiagnosing } from './diagnosing'
import { createDispatcher, Refusal, type Dispatcher, type Handlers } from './dispatcher'
import { createExpecting } from './expecting'
import { createKeptPictures } from './kept-pictures'
import { openLibrary } from './library'
import { createLink } from './link/link'
import { cableAt } from './link/ports'
import { createPortRecogniser } from './link/recognise-port'
import { meterCommands } from './meter-commands'
import { createMeterIdentity } from './meter-identity'
import { checkHistory, settleChecksLeft } from './meter-checks'
import { openIssuing } from './record/open-issuing'
import { createPrinting } from './record/printing'
import { createRecords, runsViewOf } from './records'
import { createRepairs } from './repairs'
import { createRunStarts } from './run-starts'
import { isPracticeMeter } from './practice/practice-kit'
import { createShortestWays } from './practice/shortest-ways'
import { openShop } from './shop/open-shop'
import { openCheckStore } from './store/check-store'
import { openStoreFile } from './store/open-store'
import { createTeaching } from './teaching'
import { createThreads } from './threads'
import { openRunList } from './store/run-list'
import { openRunStore } from './store/run-store'
import { openShopStore } from './store/shop-store'

export type ServiceOptions = { dataFolder: string; builtInFolder: string; pageFolder: string; workerFile: string; version: string; report: (error: unknown) => void }
export type Service = {
  dispatcher: Dispatcher
  assets: Assets
  /** Everything is closed at once but a meter that is put back as it was found; null where none is. */
  close: () => Promise<void> | null
}

const tickMs = 100
/** The counts of readings and rejects are shown once a second. */
const ticksPerCount = 10

const clock = (): Seconds => seconds(performance.now() / 1000)

/** @throws Error in plain words when the data folder cannot be used. */
export const openService = (options: ServiceOptions): Service => {
  const database = openStoreFile(options.dataFolder)
  const runs = openRunStore(database)
  const list = openRunList(database)
  const shop = openShopStore(database)
  const checks = openCheckStore(database)
  settleChecksLeft(runs, checks, options.report)
  const assets = openAssets(options.pageFolder)
  const threads = createThreads(options.workerFile, options.report)
  const library = openLibrary({ builtIn: options.builtInFolder, data: options.dataFolder }, threads.quick, assets, () => { dispatcher.publish('library', libraryView()) }, options.report)

  const descriptionNamed = (name: string): MeterDescription => {
    const found = library.contents().descriptions.find(({ description }) => description.name === name)
    if (found === undefined) throw new Refusal(`There is no meter description “${name}”. Choose one from the list, or put its file into ${join(options.dataFolder, 'meters')}.`)
    return found.description
  }

  const link = createLink({
    reading: (reading) => { keeper.take({ kind: 'reading', reading }) },
    changed: () => {
      const { status } = link.view()
      dispatcher.publish('link', linkView())
      // A reading that is over must not look live.
      if (status === 'lost' || status === 'silent' || status === 'closed' || status === 'opening') keeper.forgetReading()
    },
    lost: () => {
      keeper.take({ kind: 'meter-lost', at: clock() })
      identity.lost()
    },
    back: () => { keeper.take({ kind: 'meter-back', other: false, at: clock() }) },
    away: () => { identity.lost() },
    identified: (reply) => { identity.identified(reply) },
    cannotSet: (which) => {
      const bench = keeper.current()
      if (bench !== null) keeper.put(askedByDial(bench, which))
    },
  }, clock)

  /** A meter that the app can set follows the step. */
  const setMeter = (): void => {
    const bench = keeper.current()
    link.want(bench === null ? null : askedOfMeter(bench, clock()))
  }

  const linkView = (): LinkView => {
    const view = link.view()
    return { ...view, meter: identity.meterOf(view.meter) }
  }
  let identityTold = ''
  const tellIdentity = (): void => {
    const view = identity.view()
    if (JSON.stringify(view) === identityTold) return
    identityTold = JSON.stringify(view)
    dispatcher.publish('identity', view)
  }
  const recogniser = createPortRecogniser(clock, (progress) => { dispatcher.publish('recognising', progress) })

  const boards = () => library.contents().boards
  const runsView = () => runsViewOf(list, keeper.current()?.run.started.run ?? null)
  const runsChanged = (): void => { dispatcher.publish('runs', runsView()); history.look() }

  const keeper = createBenchKeeper({
    runs, shop, checks, clock, boards, session: randomUUID(), runsChanged, report: options.report,
    publish: (event, payload) => { dispatcher.publish(event, payload) },
    metersChanged: () => { dispatcher.publish('meters', shop.meters()) },
    shown: () => {
      setMeter()
      starts.look()
      diagnosing.look(keeper.current())
      expecting.look(keeper.current())
    },
    userHand: () => starts.userHand(),
    shortestWay: (run, board, faults) => ways.of(run, board, faults),
  })
  const ways = createShortestWays(threads.long, () => { keeper.showAnew() }, options.report)
  const diagnosing = createDiagnosing(threads.long, {
    changed: (view, latest) => {
      dispatcher.publish('diagnosis', view)
      if (view !== null && latest) keeper.take({ kind: 'diagnosed', diagnosed: { proposed: proposalsOf(view), concludes: conclusionsOf(view) }, at: clock() })
    },
    proposed: (next) => { keeper.take({ kind: 'diagnosed', diagnosed: { proposed: [next], concludes: [] }, at: clock() }) },
  }, options.report, (run) => history.faultsFor(run))
  const expecting = createExpecting(threads.long, { tell: (answer) => { keeper.take({ ...answer, at: clock() }) }, settled: () => { dispatcher.publish('library', libraryView()) } }, options.report)
  const { limiting } = expecting
  const pictures = createKeptPictures(options.dataFolder, assets)
  const starts = createRunStarts({ keeper, runs, shop, link, pictures, clock, boards, descriptionNamed, list, checksOf: checks.of, identity: () => ({ now: identity.now(), against: identity.against() }), say: (text) => { dispatcher.publish('message', { kind: 'note', text }) }, press: (press) => dispatcher.dispatch(press), goodOf: (board, practice, meter) => ({ walks: history.walksOf(board, practice, meter), good: history.goodOf(board, practice, meter) }), report: options.report })

  const identity = createMeterIdentity({
    shop, cableAt, report: options.report,
    meter: () => (isPracticeMeter(keeper.meter()) ? null : keeper.meter()), use: keeper.useMeter,
    taken: (meter, because) => {
      starts.connected(meter, because)
      dispatcher.publish('link', linkView())
      dispatcher.publish('library', libraryView())
    },
    doubted: (because) => { keeper.take({ kind: 'meter-doubted', because, at: clock() }) },
    edited: (meter) => {
      starts.meterEdited(meter)
      dispatcher.publish('library', libraryView())
    },
    bench: () => {
      const bench = keeper.current()
      return bench === null || bench.run.started.practice !== undefined ? null : { meter: bench.context.meter, asks: bench.asksSameMeter }
    },
    away: () => link.view().status === 'lost',
    saySame: () => keeper.take({ kind: 'press', press: 'same-meter', at: clock() }),
    changed: tellIdentity,
  })

  const teaching = createTeaching({
    thread: threads.long, dataFolder: options.dataFolder, assets, clock, report: options.report,
    hindrance: () => {
      if (recogniser.underWay()) return 'The app is just recognising a meter. Stop that, then listen.'
      return ['closed', 'practice'].includes(link.view().status) ? null : 'A meter is connected. Disconnect it on Meters, then listen to the unknown one.'
    },
    names: () => library.contents().descriptions.map(({ description }) => description.name),
    publish: { teaching: (view) => { dispatcher.publish('teaching', view) }, heard: (heard) => { dispatcher.publish('heard', heard) } },
  })

  /** What ships with the app is named from the app's own folder. */
  const shownFile = (file: string, builtIn: boolean): string => (builtIn ? relative(dirname(options.builtInFolder), file) : file)

  const libraryView = (): LibraryView => {
    const { boards, descriptions, problems } = library.contents()
    const meter = keeper.meter()
    const description = descriptions.find((each) => each.description.name === meter?.description)?.description ?? null
    const kit = shop.kit()
    return {
      boards: boards.map(({ board, sha256, file, builtIn, pictures: [picture = null] }) => {
        const limits = limiting.known(limitsRequestFor(board, { sha256, meter: meter ?? meterByEye, kit, utcMs: Date.now() }))
        return {
          id: board.id, revision: board.revision, name: board.name, sha256, builtIn, file: shownFile(file, builtIn), board, picture, computed: computedOfBoard(board, limits),
          tooCoarse: meter === null || description === null ? [] : tooCoarseSteps(boardWithLimits(board, limits?.steps ?? {}), meter, description, shop.scatter(meter.id)),
        }
      }),
      descriptions: descriptions.map(({ description: { name, port }, file, builtIn }) => ({ name, file: shownFile(file, builtIn), builtIn, port })),
      meters: shop.meters(), kit, rule: shop.rule(), problems,
    }
  }

  /** Answers only once it stands on disk; else says why not. */
  const carriedOut = (input: BenchInput): Record<string, never> => {
    const why = keeper.take(input)
    if (why !== null) throw new Refusal(why)
    return {}
  }

  const showProgress = (progress: { done: number; of: number } | null): void => { dispatcher.publish('export', progress) }
  const recordsOfRuns = createRecords({ runs, list, shop, checks, assets, boards, ways, progress: showProgress })
  const history = openShop({ database, runs, shop, boards, assets, limiting, keeper, clock, starts: () => starts, records: () => issuing.handlers, say: (text) => { dispatcher.publish('message', { kind: 'note', text }) }, changed: (due) => { dispatcher.publish('learnt', { due }) }, report: options.report })
  const printing = createPrinting(join(dirname(options.workerFile), 'pages-worker.js'))
  const issuing = openIssuing({ dataFolder: options.dataFolder, version: options.version, thread: threads.quick, printing, database, runs, shop, checks, assets, boards, progress: showProgress })
  const repairs = createRepairs({ runs, list, shop, assets, pictures, boards, keeper, starts, printing, followed: history.followed })

  const handlers: Handlers = {
    'hello': () => ({ version: options.version, bench: keeper.view(), live: keeper.live(), link: linkView(), identity: identity.view(), library: libraryView(), runs: runsView(), settings: shop.settings(), teaching: teaching.view(), diagnosis: diagnosing.view() }),
    ...meterCommands({
      link, shop, starts, identity, recogniser, linkView, descriptionNamed, descriptions: () => library.contents().descriptions.map(({ description }) => description),
      stopTeaching: teaching.letGo, registerChanged: () => { dispatcher.publish('library', libraryView()) },
    }),
    ...teaching.handlers,
    'save-kit': (kit) => { shop.saveKit(kit); dispatcher.publish('library', libraryView()); return {} },
    'state-air': (air) => { shop.saveKit({ ...shop.kit(), air: { ...air, stated: new Date().toISOString() } }); dispatcher.publish('library', libraryView()); return {} },
    'save-rule': (rule) => { shop.saveRule(rule); dispatcher.publish('library', libraryView()); return {} },
    'save-settings': (settings) => {
      const [problem] = bindingProblems(settings.keys)
      if (problem !== undefined) throw new Refusal(problem)
      shop.saveSettings(settings)
      dispatcher.publish('settings', settings); return {}
    },
    'start-run': (input) => ({ run: starts.start(input) }),
    'start-practice': (input) => ({ run: starts.startPractice(input) }),
    ...recordsOfRuns, ...issuing.handlers, ...history.handlers, ...repairs.handlers,
    'stop-export': () => { recordsOfRuns['stop-export']({}); issuing.stopExport(); return {} },
    'place': (hand) => { starts.place(hand); return {} },
    'open-run': async ({ run }) => { starts.takeUp(run, await repairs.firstOf(run)); return {} },
    'close-run': () => { starts.putAside(); return {} },
    'next-board': ({ serialNumber, revision }) => ({ run: history.nextBoard(serialNumber, revision) }),
    'closing-check': () => ({ run: starts.startBenchRun(closingBoardId) }),
    'check-meter': () => ({ run: starts.startBenchRun(checkBoardId) }),
    'fit-source': () => ({ run: starts.startBenchRun(fitBoardId) }),
    'check-history': ({ meter }) => checkHistory({ runs, list, shop, checks }, meter, new Date().toISOString()),
    'press': ({ key }) => {
      const against = key === 'same-meter' ? identity.against() : null
      if (against !== null) throw new Refusal(against)
      carriedOut({ kind: 'press', press: key, at: clock() })
      if (key === 'same-meter' || key === 'other-meter') identity.answered(key === 'same-meter')
      return {}
    },
    'type-value': ({ text, step, touch }) => carriedOut({ kind: 'typed', text, step, touch, at: clock() }),
    'read-by-eye': () => { starts.readByEye(); return {} },
    'skip': ({ reason, step }) => carriedOut({ kind: 'skip', reason, step, at: clock() }),
    'note': ({ text, step }) => carriedOut({ kind: 'note', text, step, at: clock() }),
    'measure-elsewhere': ({ red, black, function: what }) => carriedOut({ kind: 'elsewhere', red, black, function: what, at: clock() }),
    'end': ({ reason }) => carriedOut({ kind: 'end', reason, at: clock() }),
  }
  const dispatcher = createDispatcher(handlers, options.report)

  let counted = 0
  let ticks = 0
  const ticking = setInterval(() => {
    setMeter()
    link.tick()
    teaching.tick()
    ticks += 1
    const { readings, rejects } = link.view()
    if (ticks % ticksPerCount === 0 && readings + rejects !== counted) {
      counted = readings + rejects
      dispatcher.publish('link', linkView())
    }
    keeper.take({ kind: 'tick', at: clock(), utcMs: Date.now() })
    tellIdentity()
  }, tickMs)

  return {
    dispatcher, assets,
    close: () => {
      clearInterval(ticking)
      for (const one of [identity, starts, ways, history, diagnosing, expecting, teaching, keeper]) one.close()
      void recogniser.stop()
      link.disconnect()
      library.close()
      threads.close()
      database.close()
      return link.isLeaving() ? link.released() : null
    },
  }
}
