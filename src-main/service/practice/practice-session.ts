/** A practice bench in motion: the simulated meter sends its bytes into the link, and a simulated hand follows the screen, or the user's. */
import type { BoardType } from '../../../src-core/board/board-type'
import type { Answer } from '../../../src-core/contract'
import type { MeterDescription } from '../../../src-core/meter/description'
import type { MeterFunction } from '../../../src-core/meter/reading'
import { underLeads, type BoardNow } from '../../../src-core/practice/board-now'
import type { Hand } from '../../../src-core/practice/hand'
import type { Seconds } from '../../../src-core/quantity/units'
import type { BenchView, LiveView } from '../../../src-core/run/view'
import type { Link } from '../link/link'
import { inTheAir, sameTips } from '../../../src-core/practice/hand'
import { misplacedInWords } from '../../../src-core/practice/touches'
import { createPracticeMeter } from './practice-meter'
import { technician, technicianAtRest, wantedTips } from './technician'

export type PracticeSession = {
  /** The bench changed: the hand looks at once rather than at its next turn. */
  look: () => void
  /** The user's hand and the dial it turns; null where the simulated one plays. */
  userHand: () => UserHand | null
  /** Leads and dial as the user has them from now on. @throws Error for a place or a function that is not there; the hand stays as it was. */
  place: (hand: Hand) => void
  stop: () => void
}
export type UserHand = { hand: Hand; dial: MeterFunction[] }

type Setup = {
  board: BoardType
  /** As it lies there now. */
  now: () => BoardNow
  seed: number
  description: MeterDescription
  link: Link
  clock: () => Seconds
  meter: string
  by: 'itself' | 'hand'
  view: () => { bench: BenchView | null; live: LiveView }
  /** Keys go through the contract, as a screen's do. */
  press: (message: unknown) => Promise<Answer>
  report: (error: unknown) => void
}

const turnMs = 25

/** @throws Error when the simulated meter cannot speak this description. */
export const startPracticeSession = (setup: Setup): PracticeSession => {
  const { clock, link } = setup
  const meter = createPracticeMeter({ board: setup.board, faults: setup.now().faults, seed: setup.seed, description: setup.description, startsAt: clock() })
  meter.setBoard(setup.now(), clock())
  let hand = technicianAtRest(clock())
  let feed: ((bytes: Uint8Array) => void) | null = null

  /** Titles of the steps that took a value while the leads were not where they were asked for. */
  const misplaced = new Set<string>()
  let seen: BenchView | null = null
  let lies = setup.now()

  const valuesOf = (bench: BenchView | null, step: string): string => {
    const row = bench?.steps.find(({ id }) => id === step)
    return row === undefined ? '' : JSON.stringify([row.value, row.earlier, row.verdict])
  }
  /** A step whose values changed since the last look took one with the leads as they are now. */
  const noteMisplaced = (bench: BenchView | null): void => {
    const step = seen?.step ?? null
    if (step?.kind === 'measure' && step.fixture !== 'leads-apart' && seen?.run === bench?.run && valuesOf(seen, step.id) !== valuesOf(bench, step.id)
      && !sameTips(meter.hand().tips, wantedTips(step))) misplaced.add(step.title)
    seen = bench
    if (bench?.result === null || bench === null || misplaced.size === 0) return
    const text = misplacedInWords([...misplaced])
    misplaced.clear()
    void setup.press({ id: 0, command: 'note', input: { text } })
  }

  /** The user's hand does what the user does; at the end of the run the leads come off. */
  const rest = (bench: BenchView | null): void => {
    if ((bench === null || bench.result !== null) && meter.hand().tips !== 'lifted') meter.setHand({ ...meter.hand(), tips: 'lifted' }, clock())
  }

  const look = (): void => {
    // What a step does to the board, its meter sees.
    lies = underLeads(lies, setup.now(), inTheAir(meter.hand().tips))
    meter.setBoard(lies, clock())
    const { bench, live } = setup.view()
    if (setup.by === 'hand') {
      noteMisplaced(bench)
      rest(bench)
      return
    }
    const next = technician(hand, bench, live, clock())
    hand = next.technician
    for (const action of next.actions) {
      switch (action.kind) {
        case 'hand': meter.setHand(action.hand, clock()); break
        case 'press': void setup.press({ id: 0, command: 'press', input: { key: action.key } }); break
        case 'skip': void setup.press({ id: 0, command: 'skip', input: { step: action.step, reason: action.reason } }); break
      }
    }
  }
  link.practise(setup.description, (into) => {
    feed = into
    return { stop: () => { feed = null } }
  }, setup.meter)
  const turn = (): void => {
    if (feed === null) return
    look()
    for (const { bytes } of meter.bytesUntil(clock())) feed?.(bytes)
  }
  const turning = setInterval(() => {
    try {
      turn()
    } catch (error) {
      // The simulated bench stops; the app and whatever was recorded stay.
      clearInterval(turning)
      setup.report(error)
    }
  }, turnMs)
  return {
    look,
    userHand: () => (setup.by === 'hand' ? { hand: meter.hand(), dial: Object.values(setup.description.functions).map(({ is }) => is) } : null),
    place: (next) => { meter.setHand(next, clock()) },
    stop: () => { clearInterval(turning) },
  }
}
