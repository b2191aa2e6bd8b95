/** Keeps the run on the bench: gives core its inputs, stores the events that come out, and only then shows them. */
import type { BoardType } from '../../src-core/board/board-type'
import { faultInWords, parseFaults } from '../../src-core/circuit/faults'
import type { Meter } from '../../src-core/meter/instrument'
import type { Reading } from '../../src-core/meter/reading'
import type { Seconds } from '../../src-core/quantity/units'
import { absorb, type Bench } from '../../src-core/run/bench'
import { conduct, type BenchInput, type Conducted } from '../../src-core/run/conduct'
import type { RunEvent, RunEventBody } from '../../src-core/run/event'
import { benchView, figureOf, idleView, liveView } from '../../src-core/run/show'
import type { BenchView, LiveView } from '../../src-core/run/view'
import type { Publish } from './dispatcher'
import { doubtNotes } from './doubt-notes'
import type { LibraryBoard } from './library-files'
import { createLiveLine } from './live-line'
import { isPracticeMeter } from './practice/practice-kit'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'

export type BenchKeeper = {
  take: (input: BenchInput) => void
  current: () => Bench | null
  /** Another run on the bench, or none; says so to every screen. */
  put: (bench: Bench | null) => void
  view: () => BenchView | null
  live: () => LiveView
  /** The meter on the link, or the practice meter. */
  meter: () => Meter | null
  useMeter: (meter: Meter | null) => void
  /** The next number and the time on events of a run. */
  stamp: (run: string, from: number, at: Seconds, bodies: readonly RunEventBody[]) => RunEvent[]
  forgetReading: () => void
  close: () => void
}

export type KeeperSurroundings = {
  runs: RunStore
  shop: ShopStore
  clock: () => Seconds
  session: string
  boards: () => LibraryBoard[]
  publish: Publish
  runsChanged: () => void
  metersChanged: () => void
  /** The bench was shown anew. */
  shown: () => void
  report: (error: unknown) => void
}

const agesEverySeconds = 30

export const createBenchKeeper = (around: KeeperSurroundings): BenchKeeper => {
  const { runs, shop, clock, session, publish } = around
  let bench: Bench | null = null
  let meter: Meter | null = null
  let lastReading: Reading | null = null
  let agesSent = 0
  let lastProblem = ''

  const truth = (): string | null => {
    const hidden = bench?.run.started.practice?.faults
    if (bench === null || hidden === undefined) return null
    const parsed = parseFaults(bench.context.plan.board, hidden)
    const words = 'faults' in parsed ? parsed.faults.map(faultInWords) : hidden
    return words.length === 0 ? 'The practice board had no fault.' : `Hidden in the practice board: ${words.join('; ')}.`
  }

  const pictureOf = (board: BoardType, sha256: string): BenchView['picture'] => {
    const found = around.boards().find((each) => each.sha256 === sha256)
    const [first] = board.pictures
    return found === undefined || found.picture === null || first === undefined ? null : { asset: found.picture, width: first.width, height: first.height }
  }

  const view = (): BenchView | null =>
    bench === null ? null : benchView(bench, pictureOf(bench.context.plan.board, bench.run.started.board.sha256), truth())

  const live = (): LiveView => {
    if (bench !== null) return liveView({ ...bench, lastReading: bench.lastReading ?? lastReading }, clock())
    return idleView(lastReading === null ? null : { ...figureOf(lastReading.value, lastReading.unit, lastReading.resolution), function: lastReading.function, flags: lastReading.flags }, null)
  }

  const line = createLiveLine(clock, live, (each) => { publish('live', each) })

  const show = (): void => {
    agesSent = clock()
    publish('bench', view())
    line.now()
    around.shown()
  }

  const stamp: BenchKeeper['stamp'] = (run, from, at, bodies) => {
    const utc = new Date().toISOString()
    return bodies.map((body, index) => ({ ...body, v: 1, run, seq: from + index, session, utc, at }))
  }

  const keepMeter = (next: Meter): void => {
    meter = next
    if (isPracticeMeter(next)) return
    shop.saveMeter(next, new Date().toISOString())
    around.metersChanged()
  }

  /** On disk first; then the bench moves on. @throws Error when the events are not on disk. */
  const record = (conducted: Bench, bodies: readonly RunEventBody[], at: Seconds): RunEvent[] => {
    const events = stamp(conducted.run.started.run, conducted.run.events.length + 1, at, bodies)
    runs.append(events)
    bench = absorb(conducted, events, at)
    return events
  }

  const noteDoubts = (before: Meter, done: Conducted, events: readonly RunEvent[], at: Seconds): void => {
    for (const { run, text } of doubtNotes(runs, before, done.learned, events)) {
      const note: RunEventBody = { kind: 'noted', step: null, text }
      if (bench?.run.started.run === run) record(bench, [note], at)
      else runs.append(stamp(run, runs.events(run).length + 1, at, [note]))
    }
  }

  const carryOut = (before: Bench, input: BenchInput): void => {
    const done = conduct(before, input)
    const at = input.kind === 'reading' ? input.reading.at : input.at
    if (done.events.length === 0) bench = done.bench
    else {
      const events = record(done.bench, done.events, at)
      noteDoubts(before.context.meter, done, events, at)
      if (done.events.some((event) => event.kind === 'ended' || event.kind === 'undone')) around.runsChanged()
    }
    if (done.learned !== null) keepMeter(done.bench.context.meter)
    for (const tone of done.tones) publish('tone', { tone })
    if (done.refused !== null) publish('message', { kind: 'note', text: done.refused })
    const after = bench ?? before
    const moved = done.events.length > 0 || before.asksSameMeter !== after.asksSameMeter || before.attempt !== after.attempt
    if (moved || (input.kind === 'tick' && clock() - agesSent > agesEverySeconds)) show()
    else if (input.kind === 'tick') line.ifOlder(0.2)
    else line.soon()
  }

  const take = (input: BenchInput): void => {
    if (input.kind === 'reading') lastReading = input.reading
    if (bench === null) {
      if (input.kind === 'reading') line.soon()
      return
    }
    try {
      carryOut(bench, input)
    } catch (error) {
      // Most often a full disk. What was not written was not shown, and the bench stands where it stood.
      const why = error instanceof Error ? error.message : String(error)
      const text = `Not recorded: ${why}. Make room in the data folder; the step is still open.`
      if (text !== lastProblem) around.report(error)
      lastProblem = text
      publish('message', { kind: 'problem', text })
    }
  }

  return {
    take, view, live, stamp,
    current: () => bench,
    put: (next) => {
      bench = next
      show()
    },
    meter: () => meter,
    useMeter: (next) => { meter = next },
    forgetReading: () => {
      lastReading = null
      line.now()
    },
    close: line.stop,
  }
}
