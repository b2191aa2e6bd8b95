/** A practice bench in motion: the simulated meter sends its bytes into the link, and a simulated hand follows the screen. */
import type { BoardType } from '../../../src-core/board/board-type'
import type { Fault } from '../../../src-core/circuit/faults'
import type { Answer } from '../../../src-core/contract'
import type { MeterDescription } from '../../../src-core/meter/description'
import type { Seconds } from '../../../src-core/quantity/units'
import type { BenchView, LiveView } from '../../../src-core/run/view'
import type { Link } from '../link/link'
import { createPracticeMeter } from './practice-meter'
import { technician, technicianAtRest } from './technician'

export type PracticeSession = {
  /** The bench changed: the hand looks at once rather than at its next turn. */
  look: () => void
  stop: () => void
}

type Setup = {
  board: BoardType
  faults: readonly Fault[]
  seed: number
  description: MeterDescription
  link: Link
  clock: () => Seconds
  meter: string
  view: () => { bench: BenchView | null; live: LiveView }
  /** Keys go through the contract, as a screen's do. */
  press: (message: unknown) => Promise<Answer>
  report: (error: unknown) => void
}

const turnMs = 25

/** @throws Error when the simulated meter cannot speak this description. */
export const startPracticeSession = (setup: Setup): PracticeSession => {
  const { clock, link } = setup
  const meter = createPracticeMeter({ board: setup.board, faults: setup.faults, seed: setup.seed, description: setup.description, startsAt: clock() })
  let hand = technicianAtRest(clock())
  let feed: ((bytes: Uint8Array) => void) | null = null

  const look = (): void => {
    const { bench, live } = setup.view()
    const next = technician(hand, bench, live, clock())
    hand = next.technician
    for (const action of next.actions) {
      if (action.kind === 'hand') meter.setHand(action.hand, clock())
      else void setup.press({ id: 0, command: 'press', input: { key: action.key } })
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
  return { look, stop: () => { clearInterval(turning) } }
}
