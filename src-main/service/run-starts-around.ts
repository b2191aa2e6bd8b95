/** What starts runs, and what it needs around it. */
import type { Answer, CommandInput } from '../../src-core/contract'
import type { BoardType } from '../../src-core/board/board-type'
import type { MeterDescription } from '../../src-core/meter/description'
import type { Identity } from '../../src-core/meter/identity'
import type { Meter } from '../../src-core/meter/instrument'
import type { Hand } from '../../src-core/practice/hand'
import type { Seconds } from '../../src-core/quantity/units'
import type { FollowsRun } from '../../src-core/repair/entry'
import type { BenchRun } from '../../src-core/run/bench-runs'
import type { KnownGood } from '../../src-core/run/good-values'
import type { KnownWalks } from '../../src-core/run/walk'
import type { startWarnings } from '../../src-core/run/started'
import type { RunState } from '../../src-core/run/state'
import type { BenchKeeper } from './bench-keeper'
import type { KeptPictures } from './kept-pictures'
import type { LibraryBoard } from './library-files'
import type { Link } from './link/link'
import type { UserHand } from './practice/practice-session'
import type { RunList } from './store/run-list'
import type { RunStore } from './store/run-store'
import type { ShopStore } from './store/shop-store'

/** What each step came to when it was first made on this unit. */
export type FirstValues = Readonly<Record<string, string>>
/** What is hidden in a practice board. */
export type Hidden = NonNullable<RunState['started']['practice']>
/** A run of a board file that is kept already: behind another run of the unit, or of a loose part, `aloneFor` whose repair log. `hidden`: of a practice board. `beside`: a good board lies there too. */
export type KeptStart = { board: BoardType; sha256: string; serialNumber: string; follows?: FollowsRun; aloneFor?: string; first?: FirstValues; hidden?: Hidden; beside?: true }

/** What good boards speak for as a run begins; undefined: nothing is known. */
export type GoodBoards = { walks?: KnownWalks | undefined; good?: KnownGood | undefined }

export type RunStarts = {
  start: (input: CommandInput<'start-run'>) => string
  startPractice: (input: CommandInput<'start-practice'>) => string
  /** The closing check, the check of the meter, or the fit of its source: no board is on the bench. */
  startBenchRun: (which: BenchRun) => string
  /** Of the revision before, unless another is named. */
  nextBoard: (serialNumber: string, revision?: string, board?: string) => string
  /** With the connected meter, or by eye without one. */
  startKept: (start: KeptStart) => string
  takeUp: (run: string, first?: FirstValues) => void
  putAside: () => void
  /** A meter is about to be connected: a practice run and its simulated meter leave the bench first. */
  beforeConnect: () => void
  connected: (meter: Meter, because?: string) => void
  disconnected: () => void
  /** The run on the bench goes on with no meter. */
  readByEye: () => void
  /** Leads and dial of manual practice. */
  place: (hand: Hand) => void
  userHand: () => UserHand | null
  meterEdited: (meter: Meter) => void
  /** The practice hand looks at once rather than at its next turn. */
  look: () => void
  close: () => void
}

export type StartSurroundings = {
  keeper: BenchKeeper
  runs: RunStore
  shop: ShopStore
  pictures: KeptPictures
  link: Link
  clock: () => Seconds
  boards: () => LibraryBoard[]
  descriptionNamed: (name: string) => MeterDescription
  /** A command through the dispatcher, as a screen would send it. */
  press: (message: unknown) => Promise<Answer>
  list: RunList
  /** How sure it is which meter is in use, and what speaks against it. */
  identity: () => { now: Identity; against: string | null }
  checksOf: Parameters<typeof startWarnings>[2]
  /** What good boards read at the points of its walks, and at steps without limits of their own, with this meter or one that reads alike. @throws Refusal while that is not known yet. */
  goodOf: (board: BoardType, practice: boolean, meter: Meter) => GoodBoards
  /** A note to every screen. */
  say: (text: string) => void
  report: (error: unknown) => void
}
