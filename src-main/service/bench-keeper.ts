/** Keeps the run on the bench: gives core its inputs, stores the events that come out, and only then shows them. */
import { randomUUID } from 'node:crypto'
import type { BoardType } from '../../src-core/board/board-type'
import { faultInWords, faultText, parseFaults } from '../../src-core/circuit/faults'
import { drawFaults } from '../../src-core/circuit/draw-faults'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import type { Answer, CommandInput } from '../../src-core/contract'
import type { MeterDescription } from '../../src-core/meter/description'
import type { Meter } from '../../src-core/meter/instrument'
import type { Reading } from '../../src-core/meter/reading'
import { seconds, type Seconds } from '../../src-core/quantity/units'
import { refusalToStart } from '../../src-core/run/admission'
import { absorb, openBench, type Bench, type BenchContext, type FunctionFacts } from '../../src-core/run/bench'
import { closingBoardId, closingPlan, doubtNote, doubtsFrom } from '../../src-core/run/closing'
import { conduct, type BenchInput, type Conducted } from '../../src-core/run/conduct'
import type { RunEvent, RunEventBody } from '../../src-core/run/event'
import { makePlan } from '../../src-core/run/plan'
import { preparationSteps, sessionStepsDue } from '../../src-core/run/preparation'
import { benchView, figureOf, idleView, liveView } from '../../src-core/run/show'
import { rebuild } from '../../src-core/run/state'
import type { BenchView, LiveView } from '../../src-core/run/view'
import { Refusal, type Publish } from './dispatcher'
import type { LibraryBoard } from './library-files'
import type { Link } from './link/link'
import { quickened } from './practice/practice-meter'
import { startPracticeSession, type PracticeSession } from './practice/practice-session'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'

export type BenchKeeper = {
  take: (input: BenchInput) => void
  bench: () => BenchView | null
  live: () => LiveView
  /** The meter on the link, or the practice meter. */
  meter: () => Meter | null
  connected: (meter: Meter) => void
  disconnected: () => void
  meterEdited: (meter: Meter) => void
  start: (input: CommandInput<'start-run'>) => string
  startPractice: (input: CommandInput<'start-practice'>) => string
  startClosing: () => string
  nextBoard: (serialNumber: string) => string
  takeUp: (run: string) => void
  putAside: () => void
  close: () => void
}

type Surroundings = {
  runs: RunStore
  shop: ShopStore
  link: Link
  clock: () => Seconds
  session: string
  descriptionNamed: (name: string) => MeterDescription
  boards: () => LibraryBoard[]
  publish: Publish
  /** A command through the dispatcher, as a screen would send it. */
  press: (message: unknown) => Promise<Answer>
  runsChanged: () => void
  metersChanged: () => void
}

/** The live line goes out at most this often, unless something was recorded. */
const liveEverySeconds = 0.05
const agesEverySeconds = 30
const practiceDescription = 'Line meter A'
const practiceMeterId = 'practice'

const newPracticeMeter = (): Meter => ({
  id: practiceMeterId, name: 'Practice meter', description: practiceDescription, port: null, isolated: 'yes', accuracy: {}, air: [],
  leadCheck: null, diodeCheck: null, sourceCheck: null,
})

export const factsOf = (description: MeterDescription): BenchContext['facts'] =>
  Object.fromEntries(Object.values(description.functions).map(({ is, counts, lowestRange, conversionSeconds }): [string, FunctionFacts] =>
    [is, { counts, lowestRange, conversionSeconds: conversionSeconds === undefined ? null : seconds(conversionSeconds) }]))

export const createBenchKeeper = (around: Surroundings): BenchKeeper => {
  const { runs, shop, link, clock, session, publish } = around
  let bench: Bench | null = null
  let meter: Meter | null = null
  let practice: PracticeSession | null = null
  let practiceMeter = newPracticeMeter()
  let lastReading: Reading | null = null
  let liveDue: NodeJS.Timeout | null = null
  let liveSent = 0
  let agesSent = 0

  const nowMs = (): number => Date.now()

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

  const view = (): BenchView | null => {
    if (bench === null) return null
    const { board, ...run } = bench.run.started
    return benchView(bench, pictureOf(bench.context.plan.board, board.sha256), run.practice === undefined ? null : truth())
  }

  const live = (): LiveView => {
    if (bench !== null) return liveView({ ...bench, lastReading: bench.lastReading ?? lastReading }, clock())
    return idleView(lastReading === null ? null : { ...figureOf(lastReading.value, lastReading.unit, lastReading.resolution), function: lastReading.function, flags: lastReading.flags }, null)
  }

  const sendLive = (): void => {
    if (liveDue !== null) clearTimeout(liveDue)
    liveDue = null
    liveSent = clock()
    publish('live', live())
  }
  const liveSoon = (): void => {
    if (liveDue !== null) return
    const wait = liveSent + liveEverySeconds - clock()
    if (wait <= 0) sendLive()
    else liveDue = setTimeout(sendLive, wait * 1000)
  }

  const sendBench = (): void => {
    agesSent = clock()
    publish('bench', view())
    sendLive()
    practice?.look()
  }

  const stamp = (run: string, from: number, at: Seconds, bodies: readonly RunEventBody[]): RunEvent[] => {
    const utc = new Date(nowMs()).toISOString()
    return bodies.map((body, index) => ({ ...body, v: 1, run, seq: from + index, session, utc, at }))
  }

  const keepMeter = (next: Meter): void => {
    if (next.id === practiceMeterId) practiceMeter = next
    else {
      shop.saveMeter(next, new Date(nowMs()).toISOString())
      around.metersChanged()
    }
    meter = next
  }

  /** A miss at the closing check marks the runs since the meter was last known good. */
  const markDoubts = (before: Meter, done: Conducted, events: readonly RunEvent[]): void => {
    const missed = events.some((event) => event.kind === 'decided' && event.step === 'closing/known-source' && event.verdict !== 'pass')
    const since = [before.leadCheck?.utc, before.sourceCheck?.utc].filter((utc) => utc !== undefined).sort()[0]
    if (since === undefined) return
    for (const doubt of doubtsFrom(before, done.learned, missed)) {
      for (const row of runs.startedSince(before.id, since)) {
        const past = runs.events(row.run)
        const text = row.board === closingBoardId ? null : doubtNote(doubt, past)
        if (text !== null) runs.append(stamp(row.run, past.length + 1, clock(), [{ kind: 'noted', step: null, text }]))
      }
    }
  }

  const take = (input: BenchInput): void => {
    if (input.kind === 'reading') lastReading = input.reading
    if (bench === null) {
      if (input.kind === 'reading') liveSoon()
      return
    }
    const before = bench
    const done = conduct(before, input)
    if (done.events.length === 0) bench = done.bench
    else {
      const at = input.kind === 'reading' ? input.reading.at : input.at
      const events = stamp(before.run.started.run, before.run.events.length + 1, at, done.events)
      try {
        runs.append(events)
      } catch (error) {
        publish('message', { kind: 'problem', text: `Not recorded: the data folder could not be written (${error instanceof Error ? error.message : String(error)}). Make room, then measure this step again.` })
        return
      }
      bench = absorb(done.bench, events, at)
      if (before.run.started.board.id === closingBoardId) markDoubts(before.context.meter, done, events)
      if (done.events.some((event) => event.kind === 'ended' || event.kind === 'undone')) around.runsChanged()
    }
    if (done.learned !== null) keepMeter(done.bench.context.meter)
    for (const tone of done.tones) publish('tone', { tone })
    if (done.refused !== null) publish('message', { kind: 'note', text: done.refused })
    const asked = before.asksSameMeter !== bench.asksSameMeter
    if (done.events.length > 0 || asked || before.attempt !== bench.attempt || (input.kind === 'tick' && clock() - agesSent > agesEverySeconds)) sendBench()
    else if (input.kind === 'reading' || input.kind === 'press') liveSoon()
    else if (input.kind === 'tick' && clock() - liveSent > 0.2) sendLive()
  }

  /** The description the meter speaks by; the practice meter converts faster than its kind. */
  const spoken = (withMeter: Meter): MeterDescription => {
    const description = around.descriptionNamed(withMeter.description)
    return withMeter.id === practiceMeterId ? quickened(description) : description
  }

  const contextFor = (board: BoardType, withMeter: Meter): BenchContext => {
    const kit = shop.kit()
    return {
      plan: board.id === closingBoardId ? closingPlan(kit) : makePlan(board, preparationSteps(board, kit)), meter: withMeter, kit, rule: shop.rule(),
      facts: factsOf(spoken(withMeter)),
    }
  }

  const notWhileRunning = (): void => {
    if (bench?.run.status === 'running') throw new Refusal('A run is on the bench. End it, or put it aside, before another starts.')
  }

  const begin = (context: BenchContext, sha256: string, serialNumber: string, hidden: { seed: number; faults: string[] } | null): string => {
    const { board } = context.plan
    const run = randomUUID()
    const started = stamp(run, 1, clock(), [{
      kind: 'started', board: { id: board.id, revision: board.revision, sha256 }, sequence: { id: board.sequence.id, version: board.sequence.version },
      serialNumber, meter: context.meter, kit: context.kit, rule: context.rule,
      prepare: board.id === closingBoardId ? [] : sessionStepsDue(board, context.kit, context.meter, nowMs()),
      ...(hidden === null ? {} : { practice: hidden }),
    }])
    shop.keepBoard(sha256, board)
    runs.append(started)
    bench = openBench(context, rebuild(started), clock(), nowMs())
    around.runsChanged()
    sendBench()
    return run
  }

  const libraryBoard = (id: string, revision: string | null): LibraryBoard => {
    const found = around.boards().find(({ board }) => board.id === id && (revision === null || board.revision === revision))
    if (found === undefined) throw new Refusal(`There is no board type ${id}${revision === null ? '' : ` revision ${revision}`}. Choose one from the list.`)
    return found
  }

  const meterInUse = (): Meter => {
    if (meter === null || meter.id === practiceMeterId) throw new Refusal('No meter is connected. Connect one first, or practise without.')
    return meter
  }

  const practise = (board: BoardType, seed: number, faults: readonly string[]): void => {
    const parsed = parseFaults(board, faults)
    if ('problems' in parsed) throw new Refusal(parsed.problems.join(' '))
    practice?.stop()
    meter = practiceMeter
    practice = startPracticeSession({
      board, faults: parsed.faults, seed, description: quickened(around.descriptionNamed(practiceDescription)), link, clock, meter: practiceMeterId,
      view: () => ({ bench: view(), live: live() }), press: around.press,
    })
  }

  const startPractice = ({ board: id, seed, faults }: CommandInput<'start-practice'>): string => {
    notWhileRunning()
    const found = id === undefined ? around.boards()[0] : libraryBoard(id, null)
    if (found === undefined) throw new Refusal('There is no board type to practise on.')
    const drawn = seed ?? Math.floor(Math.random() * 2 ** 31)
    const hidden = faults ?? drawFaults(found.board, seededRandom(drawn)).map(faultText)
    bench = null
    practise(found.board, drawn, hidden)
    return begin(contextFor(found.board, practiceMeter), found.sha256, `practice ${drawn}`, { seed: drawn, faults: hidden })
  }

  const start = ({ board: id, revision, serialNumber }: CommandInput<'start-run'>): string => {
    notWhileRunning()
    const found = libraryBoard(id, revision)
    const using = meterInUse()
    const refusal = refusalToStart(found.board, using)
    if (refusal !== null) throw new Refusal(refusal)
    return begin(contextFor(found.board, using), found.sha256, serialNumber, null)
  }

  const stopPractice = (): void => {
    if (practice === null) return
    practice.stop()
    practice = null
    link.disconnect()
    if (meter?.id === practiceMeterId) meter = null
  }

  return {
    take, bench: view, live,
    meter: () => meter,
    connected: (next) => {
      practice?.stop()
      practice = null
      const sameAsBefore = bench !== null && bench.context.meter.id === next.id
      meter = next
      if (bench === null) return
      bench = { ...bench, context: { ...bench.context, meter: sameAsBefore ? { ...bench.context.meter, name: next.name, port: next.port } : next, facts: factsOf(around.descriptionNamed(next.description)) } }
      take({ kind: 'meter-back', at: clock() })
      if (!sameAsBefore && bench.asksSameMeter) take({ kind: 'press', press: 'other-meter', at: clock() })
    },
    disconnected: () => {
      if (practice !== null) stopPractice()
      meter = null
      lastReading = null
      if (bench !== null) take({ kind: 'meter-lost', at: clock() })
      else sendLive()
    },
    meterEdited: (next) => {
      if (meter?.id === next.id) meter = next
      if (bench?.context.meter.id === next.id) bench = { ...bench, context: { ...bench.context, meter: next } }
    },
    start, startPractice,
    startClosing: () => {
      notWhileRunning()
      const using = meterInUse()
      const plan = closingPlan(shop.kit())
      return begin(contextFor(plan.board, using), '0'.repeat(64), '', null)
    },
    nextBoard: (serialNumber) => {
      if (bench === null) throw new Refusal('There is no board on the bench to follow on from.')
      const { board, practice: hidden } = bench.run.started
      if (hidden !== undefined) return startPractice({ board: board.id })
      return start({ board: board.id, revision: board.revision, serialNumber })
    },
    takeUp: (run) => {
      notWhileRunning()
      const row = runs.find(run)
      if (row === null) throw new Refusal('That run is not in this data folder.')
      const state = rebuild(runs.events(run))
      const { board: { id, sha256 }, practice: hidden, meter: then } = state.started
      const board = id === closingBoardId ? closingPlan(shop.kit()).board : shop.board(sha256)
      if (board === null) throw new Refusal('The board file of that run is missing from the data folder.')
      bench = null
      if (hidden !== undefined && state.ended === null) practise(board, hidden.seed, hidden.faults)
      const using = hidden !== undefined ? practiceMeter : meter ?? shop.meters().find((each) => each.id === then?.id) ?? then
      if (using === null) throw new Refusal('That run was made without a meter.')
      bench = openBench(contextFor(board, using), state, clock(), nowMs())
      take({ kind: 'taken-up', at: clock() })
      if (hidden === undefined && meter === null) take({ kind: 'meter-lost', at: clock() })
      sendBench()
    },
    putAside: () => {
      if (bench?.run.status === 'running') take({ kind: 'press', press: 'pause', at: clock() })
      bench = null
      stopPractice()
      around.runsChanged()
      sendBench()
    },
    close: () => {
      practice?.stop()
      if (liveDue !== null) clearTimeout(liveDue)
    },
  }
}
