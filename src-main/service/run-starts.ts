/** Puts a run on the bench and takes it off: a board, a practice board, a run with no board, or one taken up again. */
import { randomUUID } from 'node:crypto'
import type { BoardType } from '../../src-core/board/board-type'
import { faultText, parseFaults } from '../../src-core/circuit/faults'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import type { CommandInput } from '../../src-core/contract'
import type { MeterDescription } from '../../src-core/meter/description'
import { isReadByEye, meterByEye } from '../../src-core/meter/by-eye'
import type { Meter } from '../../src-core/meter/instrument'
import { nextRevisionWords, practiceOffered } from '../../src-core/board/revisions'
import { boardAsked } from '../../src-core/practice/board-now'
import { hiddenFaults, isTaughtFirst } from '../../src-core/practice/hidden-faults'
import { handMisfit } from '../../src-core/practice/hand'
import { boardOfRun, planOfBoard } from '../../src-core/repair/again'
import type { FollowsRun } from '../../src-core/repair/entry'
import { refusalToPractise } from '../../src-core/practice/refusal'
import { meterLast } from '../../src-core/run/meter-of'
import { refusalToStart } from '../../src-core/run/admission'
import { openBench, type BenchContext } from '../../src-core/run/bench'
import { refusalToCompare } from '../../src-core/run/beside'
import { benchRunFile, benchRunPlan, benchRunPlanOf, refusalToBenchRun } from '../../src-core/run/bench-runs'
import { factsOf } from '../../src-core/run/facts-of'
import { nextBoardTooSoon, refusalOfNextBoard } from '../../src-core/run/next-board'
import { preparationSteps } from '../../src-core/run/preparation'
import { withWalks } from '../../src-core/run/walk'
import { startedBody, startWarnings } from '../../src-core/run/started'
import { rebuild } from '../../src-core/run/state'
import { Refusal } from './dispatcher'
import { boardNamed } from './board-named'
import type { LibraryBoard } from './library-files'
import { isPracticeMeter, newPracticeMeter, practiceDescription } from './practice/practice-kit'
import { quickened } from './practice/practice-meter'
import { startPracticeSession, type PracticeSession } from './practice/practice-session'
import type { FirstValues, GoodBoards, Hidden, RunStarts, StartSurroundings } from './run-starts-around'
import { sameUnitNote } from './same-unit'

const notRefused = (why: string | null): void => { if (why !== null) throw new Refusal(why) }

export const createRunStarts = ({ keeper, runs, shop, pictures, link, clock, boards, descriptionNamed, press, list, checksOf, identity, say, goodOf, report }: StartSurroundings): RunStarts => {
  let practice: PracticeSession | null = null
  /** Its checks hold from one practice board to the next. */
  let practiceMeter = newPracticeMeter()

  const spoken = (meter: Meter): MeterDescription => {
    const description = descriptionNamed(meter.description)
    return isPracticeMeter(meter) ? quickened(description) : description
  }

  /** A run taken up again keeps the kit and the rule it started with. */
  const contextFor = (board: BoardType, meter: Meter, kit = shop.kit(), rule = shop.rule(), { follows, first, walks, good, beside }: { follows?: FollowsRun; first?: FirstValues; beside?: true | undefined } & GoodBoards = {}): BenchContext => {
    const plan = benchRunPlan(board.id, kit, meter) ?? withWalks(planOfBoard(board, follows, (made) => preparationSteps(made, kit, beside)), walks, follows)
    if (beside === true) notRefused(refusalToCompare(plan))
    return { plan, ...(walks === undefined ? {} : { walks }), ...(good === undefined ? {} : { good }), ...(beside === undefined ? {} : { beside }), meter, kit, rule, facts: isReadByEye(meter) ? {} : factsOf(spoken(meter)), scatter: shop.scatter(meter.id), ...(first === undefined ? {} : { first }) }
  }

  const running = (): boolean => keeper.current()?.run.status === 'running'
  const notWhileRunning = (): void => {
    if (running()) throw new Refusal('A run is on the bench. End it, or put it aside, before another starts.')
  }

  const begin = (context: BenchContext, sha256: string, serialNumber: string, hidden: Hidden | null, opening: string | null = null, { board = context.plan.board, follows, aloneFor }: { board?: BoardType; follows?: FollowsRun; aloneFor?: string } = {}): string => {
    const run = randomUUID()
    const body = startedBody(context, { sha256, serialNumber, hidden, identity: identity().now, order: shop.settings().order, follows, aloneFor, utcMs: Date.now() })
    const started = keeper.stamp(run, 1, clock(), [body])
    const bench = openBench(context, rebuild(started), clock(), Date.now())
    const shown = boards().find((each) => each.sha256 === sha256)?.pictures ?? []
    for (const picture of shown) pictures.keep(picture)
    shop.keepBoard(sha256, board, shown)
    const notes = [opening, hidden === null && follows === undefined ? sameUnitNote(list, board.id, serialNumber) : null, ...startWarnings(body, new Date().toISOString(), checksOf)].filter((note) => note !== null)
    runs.append(started)
    keeper.put(bench)
    if (notes.length > 0) say(notes.join(' '))
    return run
  }

  /** Good boards are whole: they say nothing of one on which something is lifted or removed. */
  const goodFor = (board: BoardType, follows: FollowsRun | undefined, hidden: boolean, meter: Meter): GoodBoards => {
    const { walks, good } = goodOf(board, hidden, meter)
    return { walks, ...((follows?.state.length ?? 0) > 0 ? {} : { good }) }
  }

  const libraryBoard = (id: string, revision: string | null): LibraryBoard => boardNamed(boards(), id, revision)

  const meterInUse = (): Meter => {
    const meter = keeper.meter()
    if (meter === null || isPracticeMeter(meter)) throw new Refusal('No meter is connected. Connect one first, or practise without.')
    notRefused(identity().against)
    return meter
  }

  const stopPractice = (): void => {
    if (practice === null) return
    practice.stop()
    practice = null
    const meter = keeper.meter()
    if (isPracticeMeter(meter)) practiceMeter = meter
  }

  /** No simulated value may reach a run on a real board. */
  const leavePractice = (): void => {
    if (practice === null && !isPracticeMeter(keeper.meter())) return
    stopPractice()
    link.disconnect()
    keeper.useMeter(null)
    keeper.forgetReading()
  }

  /** @param board as its file has it. @param made the one the run makes, behind a repair. */
  const practise = (board: BoardType, { seed, faults, by = 'itself' }: Hidden, made = board): void => {
    notRefused(refusalToPractise(made, Object.values(descriptionNamed(practiceDescription).functions).map(({ is }) => is), by))
    const parsed = parseFaults(board, faults)
    if ('problems' in parsed) throw new Refusal(parsed.problems.join(' '))
    stopPractice()
    keeper.useMeter(practiceMeter)
    practice = startPracticeSession({
      report,
      by, board, seed, description: quickened(descriptionNamed(practiceDescription)), link, clock, meter: practiceMeter.id,
      view: () => ({ bench: keeper.onScreen(), live: keeper.live() }), press,
      now: () => {
        const bench = keeper.current()
        return bench === null ? { faults: parsed.faults, state: [], powered: false } : boardAsked(parsed.faults, bench)
      },
    })
  }

  const startPractice: RunStarts['startPractice'] = ({ board: id, revision, seed, faults, by, beside }) => {
    notWhileRunning()
    const found = id === undefined ? practiceOffered(boards()) : libraryBoard(id, revision ?? null)
    if (found === null) throw new Refusal('There is no board type to practise on.')
    const good = goodOf(found.board, true, practiceMeter)
    const drawn = seed ?? Math.floor(Math.random() * 2 ** 31)
    const hidden: Hidden = {
      seed: drawn, faults: faults ?? hiddenFaults(found.board, good.walks, seededRandom(drawn)).map(faultText), ...(by === undefined ? {} : { by }),
    }
    practise(found.board, hidden)
    return begin(contextFor(found.board, practiceMeter, undefined, undefined, { ...good, beside }), found.sha256, `practice ${drawn}`, hidden, faults === undefined && isTaughtFirst(found.board, good.walks) ? 'This practice board works: its walk is learned on it. The boards after it have a fault.' : null)
  }

  /** With no meter connected and the values to be typed. `then`: what the run before on this bench knows of that meter. */
  const startByEye = (found: LibraryBoard, serialNumber: string, beside: true | undefined, then: Meter = meterByEye, opening: string | null = null): string => {
    leavePractice()
    // A meter that is lost is not connected; what looks for it must not bring it back into a typed run.
    if (link.view().status === 'lost') {
      link.disconnect()
      keeper.useMeter(null)
    }
    if (keeper.meter() !== null) throw new Refusal('A meter is connected: it is read, not typed. Disconnect it first, or start with it.')
    return begin(contextFor(found.board, then, undefined, undefined, { ...goodOf(found.board, false, then), beside }), found.sha256, serialNumber, null, opening)
  }

  /** `opening`: the first thing said in the run. */
  const startRun = ({ board: id, revision, serialNumber, byEye, beside }: CommandInput<'start-run'>, opening: string | null): string => {
    notWhileRunning()
    const found = libraryBoard(id, revision)
    if (byEye === true) return startByEye(found, serialNumber, beside)
    const meter = meterInUse()
    notRefused(refusalToStart(found.board, meter))
    return begin(contextFor(found.board, meter, undefined, undefined, { ...goodOf(found.board, false, meter), beside }), found.sha256, serialNumber, null, opening)
  }

  const takeUp: RunStarts['takeUp'] = (run, first) => {
    notWhileRunning()
    if (runs.find(run) === null) throw new Refusal('That run is not in this data folder.')
    const state = rebuild(runs.events(run))
    const { board: { id, sha256 }, practice: hidden, meter: then, kit, rule, follows, walks, beside } = state.started
    const board = benchRunPlan(id, kit, then)?.board ?? shop.board(sha256)
    for (const picture of shop.boardPictures(sha256)) pictures.serve(picture)
    if (board === null) throw new Refusal('The board file of that run is missing from the data folder.')
    if (hidden === undefined) leavePractice()
    else if (state.ended === null) practise(board, hidden, boardOfRun(board, follows))
    const meter = hidden !== undefined ? practiceMeter : keeper.meter() ?? shop.meters().find((each) => each.id === then?.id) ?? then ?? meterByEye
    if (state.ended === null) notRefused(refusalToStart(board, meter))
    keeper.put(openBench(contextFor(board, meter, kit, rule, { walks, beside, ...(follows === undefined ? {} : { follows }), ...(first === undefined ? {} : { first }) }), state, clock(), Date.now()))
    keeper.take({ kind: 'taken-up', at: clock() })
    if (hidden !== undefined || state.ended !== null) return
    const connected = keeper.meter()
    const other = connected !== null && connected.id !== meterLast(state).id
    if (connected === null || other) keeper.take({ kind: 'meter-lost', at: clock() })
    if (connected !== null) keeper.take({ kind: 'meter-back', other, at: clock() })
  }

  return {
    startPractice, takeUp,
    startKept: ({ board, sha256, serialNumber, hidden, aloneFor, ...behind }) => {
      notWhileRunning()
      if (hidden === undefined) leavePractice()
      else practise(board, hidden, boardOfRun(board, behind.follows))
      const meter = keeper.meter() ?? meterByEye
      if (!isReadByEye(meter) && hidden === undefined) notRefused(identity().against)
      const context = contextFor(board, meter, undefined, undefined, { ...behind, ...goodFor(board, behind.follows, hidden !== undefined, meter) })
      notRefused(refusalToStart(context.plan.board, meter))
      return begin(context, sha256, serialNumber, hidden ?? null, null, { board, ...(behind.follows === undefined ? {} : { follows: behind.follows }), ...(aloneFor === undefined ? {} : { aloneFor }) })
    },
    start: (input) => startRun(input, null),
    startBenchRun: (which) => {
      notWhileRunning()
      const meter = meterInUse()
      notRefused(refusalToBenchRun(which, shop.kit(), new Date().toISOString(), { name: meter.name, identity: identity().now }))
      return begin(contextFor(benchRunPlanOf(which, shop.kit(), meter).board, meter), benchRunFile(which), '', null)
    },
    nextBoard: (serialNumber, other, type) => {
      const bench = keeper.current()
      if (bench === null) throw new Refusal('There is no board on the bench to follow on from.')
      notRefused(nextBoardTooSoon(bench, clock()) ?? refusalOfNextBoard(bench))
      const { board, practice: hidden, beside } = bench.run.started
      const { meter } = bench.context
      const next = { board: type ?? board.id, revision: other ?? board.revision }
      if (hidden !== undefined) return startPractice({ ...next, by: hidden.by, beside })
      const opening = nextRevisionWords(boards().map((each) => ({ id: each.board.id, revision: each.board.revision, name: each.board.name, board: each.board })), { id: next.board, revision: next.revision })
      if (isReadByEye(meter) && keeper.meter() === null) {
        notWhileRunning()
        return startByEye(libraryBoard(next.board, next.revision), serialNumber, beside, meter, opening)
      }
      return startRun({ ...next, serialNumber, beside }, opening)
    },
    putAside: () => {
      if (running()) keeper.take({ kind: 'press', press: 'pause', at: clock() })
      leavePractice()
      keeper.put(null)
    },
    beforeConnect: () => {
      if (keeper.current()?.run.started.practice !== undefined) {
        if (running()) keeper.take({ kind: 'press', press: 'pause', at: clock() })
        keeper.put(null)
      }
      leavePractice()
    },
    connected: (meter, because) => {
      keeper.useMeter(meter)
      const bench = keeper.current()
      if (bench === null) return
      const same = bench.context.meter.id === meter.id
      const next = same ? { ...bench.context.meter, name: meter.name, port: meter.port } : meter
      keeper.put({ ...bench, context: { ...bench.context, meter: next, facts: factsOf(spoken(meter)), scatter: shop.scatter(meter.id) } })
      if (!same) keeper.take({ kind: 'meter-lost', at: clock() })
      keeper.take({ kind: 'meter-back', other: !same, because, at: clock() })
    },
    disconnected: () => {
      stopPractice()
      keeper.useMeter(null)
      keeper.forgetReading()
      keeper.take({ kind: 'meter-lost', at: clock() })
    },
    readByEye: () => {
      const bench = keeper.current()
      if (bench === null) throw new Refusal('There is no run on the bench.')
      if (bench.run.started.practice !== undefined) throw new Refusal('This is a practice run: it has no meter of yours. Start a board without a meter on Start.')
      if (!bench.run.meterLost) throw new Refusal('The meter is there: it is read, not typed.')
      // What looks for the lost meter stops, so that it cannot come back into a typed run by itself.
      link.disconnect()
      keeper.useMeter(null)
      keeper.put({ ...bench, context: { ...bench.context, meter: meterByEye, facts: {}, scatter: [] } })
      keeper.take({ kind: 'meter-back', other: true, at: clock() })
    },
    meterEdited: (meter) => {
      if (keeper.meter()?.id === meter.id) keeper.useMeter(meter)
      const bench = keeper.current()
      if (bench?.context.meter.id === meter.id) keeper.put({ ...bench, context: { ...bench.context, meter } })
    },
    place: (hand) => {
      const present = practice?.userHand() ?? null
      const bench = keeper.current()
      if (practice === null || present === null || bench === null) throw new Refusal('Leads are placed on screen only in practice by hand. Start one on Start: “Practise by hand”.')
      notRefused(handMisfit(bench.context.plan.board, present.dial, hand))
      practice.place(hand)
      keeper.showAnew()
    },
    userHand: () => practice?.userHand() ?? null,
    look: () => { practice?.look() },
    close: () => { practice?.stop() },
  }
}
