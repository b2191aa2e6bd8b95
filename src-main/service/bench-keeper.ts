/** Keeps the run on the bench: gives core its inputs, stores the events that come out, and only then shows them. */
import type { BoardType } from '../../src-core/board/board-type'
import { isReadByEye } from '../../src-core/meter/by-eye'
import type { Meter } from '../../src-core/meter/instrument'
import type { Reading } from '../../src-core/meter/reading'
import type { CheckResult } from '../../src-core/metrology/check-standards'
import { handViewOf } from '../../src-core/practice/hand-view'
import { truthInWords, type KnownWay } from '../../src-core/practice/truth'
import type { Seconds } from '../../src-core/quantity/units'
import { absorb, type Bench, isShownAnew } from '../../src-core/run/bench'
import { conduct, type BenchInput } from '../../src-core/run/conduct'
import type { Conducted } from '../../src-core/run/conducted'
import { checkBoardId, checksDecided } from '../../src-core/run/check-run'
import type { RunEvent, RunEventBody } from '../../src-core/run/event'
import { reduce } from '../../src-core/run/state'
import { usesFunction } from '../../src-core/run/plan'
import { figureOf, idleView, liveView } from '../../src-core/run/live'
import { benchView } from '../../src-core/run/show'
import type { BenchView, LiveView } from '../../src-core/run/view'
import type { Publish } from './dispatcher'
import { doubtNotes } from './doubt-notes'
import type { LibraryBoard } from './library-files'
import { createLiveLine } from './live-line'
import { isPracticeMeter } from './practice/practice-kit'
import type { UserHand } from './practice/practice-session'
import { keepFailuresLeft, reviewNote } from './meter-checks'
import type { CheckStore } from './store/check-store'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'

export type BenchKeeper = {
  /** Null, or why nothing came of it, in a sentence. */
  take: (input: BenchInput) => string | null
  current: () => Bench | null
  /** Another run on the bench, or none; says so to every screen. */
  put: (bench: Bench | null) => void
  view: () => BenchView | null
  /** As it was last shown: what a hand at the bench sees. */
  onScreen: () => BenchView | null
  live: () => LiveView
  /** The meter on the link, or the practice meter. */
  meter: () => Meter | null
  useMeter: (meter: Meter | null) => void
  /** The next number and the time on events of a run. */
  stamp: (run: string, from: number, at: Seconds, bodies: readonly RunEventBody[]) => RunEvent[]
  /** Facts about a run that is over, such as a repair: on disk first, then on the bench where it lies there. @throws Error when they are not stored. */
  add: (run: string, bodies: readonly RunEventBody[]) => void
  forgetReading: () => void
  /** Something beside the run changed that its view tells of. */
  showAnew: () => void
  close: () => void
}

export type KeeperSurroundings = {
  runs: RunStore
  shop: ShopStore
  checks: CheckStore
  clock: () => Seconds
  session: string
  boards: () => LibraryBoard[]
  publish: Publish
  /** A run came to the bench or left it, ended, or was opened again. */
  runsChanged: () => void
  metersChanged: () => void
  /** The bench was shown anew. */
  shown: () => void
  report: (error: unknown) => void
  /** The user's hand in manual practice, else null. */
  userHand: () => UserHand | null
  shortestWay: (run: string, board: BoardType, faults: readonly string[]) => KnownWay
}

const agesEverySeconds = 30
/** Facts about safety: a full disk must not make the app forget them. */
const mustNotBeLost: readonly RunEventBody['kind'][] = ['proof-lapsed', 'meter-lost', 'meter-back', 'paused', 'resumed']
const quietly = (bench: Bench): Conducted => ({ bench, events: [], tones: [], learned: null, refused: null })

export const createBenchKeeper = (around: KeeperSurroundings): BenchKeeper => {
  const { runs, shop, checks, clock, session, publish } = around
  let bench: Bench | null = null
  let meter: Meter | null = null
  let lastReading: Reading | null = null
  let onScreen: BenchView | null = null
  let agesSent = 0
  let lastProblem = ''

  const truth = (): string | null => {
    const hidden = bench?.run.started.practice
    if (bench === null || hidden === undefined) return null
    const { run, context: { plan: { board } } } = bench
    // Asked for at the run's start, so that it is there at its end.
    return truthInWords(run, board, hidden.by === 'hand' ? around.shortestWay(run.started.run, board, hidden.faults) : 'sought')
  }

  const pictureOf = (board: BoardType, sha256: string): BenchView['picture'] => {
    const asset = around.boards().find((each) => each.sha256 === sha256)?.pictures[0] ?? shop.boardPictures(sha256)[0]
    const [first] = board.pictures
    return asset === undefined || first === undefined ? null : { asset, width: first.width, height: first.height }
  }

  const view = (): BenchView | null => {
    if (bench === null) return null
    const { plan } = bench.context
    const { board } = plan
    const shown = benchView(bench, pictureOf(board, bench.run.started.board.sha256), truth())
    const user = bench.run.status === 'running' ? around.userHand() : null
    return user === null ? shown : { ...shown, hand: handViewOf(board, shown.step, user.hand, user.dial.filter((one) => usesFunction(plan, one))) }
  }

  const live = (): LiveView => {
    if (bench !== null) return liveView({ ...bench, lastReading: bench.lastReading ?? lastReading }, clock())
    return idleView(lastReading === null ? null : { ...figureOf(lastReading.value, lastReading.unit, lastReading.resolution), function: lastReading.function, flags: lastReading.flags }, null)
  }

  const line = createLiveLine(clock, live, (each) => { publish('live', each) })

  const show = (): void => {
    agesSent = clock()
    onScreen = view()
    publish('bench', onScreen)
    line.now()
    around.shown()
  }

  const stamp: BenchKeeper['stamp'] = (run, from, at, bodies) => {
    const utc = new Date().toISOString()
    return bodies.map((body, index) => ({ ...body, v: 1, run, seq: from + index, session, utc, at }))
  }

  /** What could not be written yet and must not be lost: while it is owed, nothing is captured. */
  let owed: { bench: Bench; bodies: readonly RunEventBody[]; at: Seconds } | null = null

  /** Doubts that a check casts on runs, as events of theirs; those on the run on the bench stand behind its own new events. */
  const doubtEvents = (before: Bench, done: Conducted, at: Seconds, after: number): RunEvent[] =>
    doubtNotes(runs, before.context.meter, done.learned, done.events).flatMap(({ run, text }) => {
      const last = run === before.run.started.run ? after : runs.lastSeq(run)
      return stamp(run, last + 1, at, [{ kind: 'noted', step: null, text }])
    })

  const checksMade = ({ run, context: { plan } }: Bench, own: readonly RunEvent[]): CheckResult[] =>
    // One that was put aside and taken up again is kept already.
    (plan.board.id === checkBoardId ? checksDecided(plan, own.reduce(reduce, run), own).filter(({ id }) => !checks.has(id)) : [])

  /** What a failed check says of the runs before it, as a note of its own run. */
  const reviewEvents = ({ run, context: { meter: { id } } }: Bench, made: readonly CheckResult[], at: Seconds, behind: number): RunEvent[] => {
    const text = made.length === 0 ? null : reviewNote(runs, checks.of(id), made)
    return text === null ? [] : stamp(run.started.run, run.events.length + behind + 1, at, [{ kind: 'noted', step: null, text }])
  }

  const saveLearned = (meterNow: Meter): void => {
    if (!isPracticeMeter(meterNow) && !isReadByEye(meterNow)) shop.saveMeter(meterNow, new Date().toISOString())
  }

  const saveScatter = ({ context: { meter: meterNow, scatter: known } }: Bench): void => {
    const { id } = meterNow
    if (known !== undefined && !isPracticeMeter(meterNow) && !isReadByEye({ id })) shop.keepScatter(id, known)
  }

  /** Events, doubt notes and what the meter taught: on disk together or not at all; then the bench moves on. */
  const record = (before: Bench, done: Conducted, at: Seconds): void => {
    const own = stamp(before.run.started.run, before.run.events.length + 1, at, done.events)
    const doubts = doubtEvents(before, done, at, before.run.events.length + own.length)
    const made = checksMade(before, own)
    const notes = [...doubts, ...reviewEvents(before, made, at, own.length + doubts.filter((event) => event.run === before.run.started.run).length)]
    const next = absorb(done.bench, [...own, ...notes.filter((event) => event.run === before.run.started.run)], at)
    runs.append([...own, ...notes], () => {
      for (const check of made) checks.add(check)
      if (done.learned !== null) saveLearned(done.bench.context.meter)
      if (next.context.scatter !== done.bench.context.scatter) saveScatter(next)
    })
    bench = next
    // A meter read by eye is none that the shop keeps.
    if (done.learned === null || isReadByEye(done.bench.context.meter)) return
    meter = done.bench.context.meter
    if (!isPracticeMeter(meter)) around.metersChanged()
  }

  const notWritten = (error: unknown): string => {
    const why = error instanceof Error ? error.message : String(error)
    const text = `Not recorded: ${why}. Make room in the data folder; nothing is recorded until then, and the step is still open.`
    if (text !== lastProblem) around.report(error)
    lastProblem = text
    publish('message', { kind: 'problem', text })
    return text
  }

  /** True when nothing is owed any more. */
  const payOwed = (): boolean => {
    if (owed === null) return true
    try {
      record(owed.bench, { ...quietly(owed.bench), events: [...owed.bodies] }, owed.at)
      owed = null
      show()
      return true
    } catch (error) {
      notWritten(error)
      return false
    }
  }

  const tell = (input: BenchInput, before: Bench, after: Bench, done: Conducted): void => {
    for (const tone of done.tones) publish('tone', { tone })
    if (done.events.some((event) => event.kind === 'ended' || event.kind === 'undone')) around.runsChanged()
    if (isShownAnew(before, after) || (input.kind === 'tick' && clock() - agesSent > agesEverySeconds)) show()
    else if (input.kind === 'tick') line.ifOlder(0.2)
    else line.soon()
  }

  const carryOut = (before: Bench, input: BenchInput): string | null => {
    const done = conduct(before, input)
    const at = input.kind === 'reading' ? input.reading.at : input.at
    if (done.events.length === 0) bench = done.bench
    else {
      try {
        record(before, done, at)
      } catch (error) {
        if (done.events.some((event) => mustNotBeLost.includes(event.kind))) owed = { bench: before, bodies: done.events, at }
        return notWritten(error)
      }
    }
    tell(input, before, bench ?? before, done)
    return done.refused
  }

  const take: BenchKeeper['take'] = (input) => {
    if (input.kind === 'reading') lastReading = input.reading
    if (bench === null) {
      if (input.kind === 'reading') line.soon()
      return input.kind === 'reading' || input.kind === 'tick' ? null : 'There is no run on the bench.'
    }
    if (owed !== null && (input.kind !== 'tick' || !payOwed())) return 'Not recorded: the data folder cannot be written. Make room in it first.'
    try {
      return carryOut(bench, input)
    } catch (error) {
      around.report(error)
      return 'Something failed inside the app; what was recorded before is safe.'
    }
  }

  return {
    take, view, live, stamp,
    onScreen: () => onScreen,
    current: () => bench,
    put: (next) => {
      const other = next?.run.started.run !== bench?.run.started.run
      if (other && bench !== null) keepFailuresLeft(checks, bench.run, around.report)
      bench = next
      owed = null
      show()
      if (other) around.runsChanged()
    },
    add: (run, bodies) => {
      if (bench?.run.started.run !== run) {
        runs.append(stamp(run, runs.lastSeq(run) + 1, clock(), bodies))
        return
      }
      record(bench, { ...quietly(bench), events: [...bodies] }, clock())
      show()
    },
    meter: () => meter,
    useMeter: (next) => { meter = next },
    forgetReading: () => {
      lastReading = null
      if (bench !== null) bench = { ...bench, lastReading: null }
      line.now()
    },
    showAnew: show,
    close: line.stop,
  }
}
