/** The repair log of a run: its entries that stand, the state they leave the board in, and why an entry is refused. */
import type { BoardType } from '../board/board-type'
import { after, stateInWords, type LeftState, type PartState } from '../board/part-state'
import { boardStateOf } from '../run/board-state'
import { isBenchRun } from '../run/bench-runs'
import type { RunEvent } from '../run/event'
import type { Plan } from '../run/plan'
import type { RunState } from '../run/state'
import { donorBoard, donorName, isDonorBoard, refusalToTestAlone } from './donor'
import type { RepairAction, RepairEntry } from './entry'
import { actionInWords } from './entry-words'

export type Logged = Extract<RunEvent, { kind: 'repaired' }>

const isStruck = (run: Pick<RunState, 'events'>, seq: number): boolean => run.events.some((event) => event.kind === 'struck' && event.entry === seq)

/** In the order they were written, those struck out left out. */
export const entriesOf = (run: Pick<RunState, 'events'>): Logged[] =>
  run.events.filter((event): event is Logged => event.kind === 'repaired' && !isStruck(run, event.seq))

export const struckOf = (run: Pick<RunState, 'events'>): { logged: Logged; because: string }[] => run.events.flatMap((event) => {
  const logged = event.kind === 'struck' ? run.events.find((each): each is Logged => each.kind === 'repaired' && each.seq === event.entry) : undefined
  return event.kind === 'struck' && logged !== undefined ? [{ logged, because: event.because }] : []
})

/** What an entry leaves behind. A leg soldered puts back only that leg; a part replaced, moved or soldered whole is as the board file has it. */
const leftBy = ({ part: ref, pin, action }: RepairEntry, now: readonly PartState[]): LeftState[] => {
  switch (action) {
    case 'removed': return [{ ref, is: 'removed' }]
    case 'jumpered': return [{ ref, is: 'jumpered' }]
    case 'lifted': return pin === null ? [] : [{ ref, pin, is: 'lifted' }]
    case 'replaced': case 'moved': return [{ ref, is: 'back' }]
    case 'resoldered': {
      if (pin === null) return [{ ref, is: 'back' }]
      const others = now.filter((one) => one.ref === ref && one.is === 'lifted' && one.pin !== pin)
      return [{ ref, is: 'back' }, ...others]
    }
  }
}

export const stateAfterEntries = (from: readonly PartState[], entries: readonly Pick<Logged, 'entry'>[]): PartState[] =>
  entries.reduce<PartState[]>((state, { entry }) => after(state, leftBy(entry, state)), [...from])

/** Of the board as it lies there now: as the run left it, and what was done since. */
export const stateAfterRepairs = (plan: Plan, run: RunState): PartState[] => stateAfterEntries(boardStateOf(plan, run), entriesOf(run))

/** "the anode of D2 lifted: solder it back": empty where the board is whole. */
export const notWholeInWords = (state: readonly PartState[]): string => (state.length === 0 ? '' : `The board is not whole: ${stateInWords(state)}. Put it back, and log that it was.`)

/** Why a run has no repair log, in a sentence; null: it has, though nothing may stand in it. */
export const refusalToRead = ({ started, ended }: Pick<RunState, 'started' | 'ended'>, plan: Plan | null): string | null => {
  if (isBenchRun(started.board.id) || isDonorBoard(started.board.id)) return 'This run is of no board of a customer: there is nothing to repair.'
  if (plan === null) return 'The board file of this run is missing from the data folder, so its parts are not known.'
  return ended === null ? 'The run is not ended yet. End it, then log what is repaired.' : null
}

/** Why nothing can be logged on this run, in a sentence; null: it can. */
export const refusalToLog = (run: RunState, plan: Plan | null): string | null => {
  const refusal = refusalToRead(run, plan)
  if (refusal !== null) return refusal
  return run.events.some((event) => event.kind === 'closed') ? 'This board is closed. Start it anew to work on it again.' : null
}

export type DonorTest = { board: string; revision: string; serialNumber: string; verdict: string | null }

/** Why a part from a donor board may not be fitted, in a sentence; null: it may. @param test the run that measured it alone. @param standing the entries of this unit that stand: one test vouches for one part. */
export const refusalOfDonor = (board: BoardType, { part: ref, fitted }: RepairEntry, test: DonorTest | null, standing: readonly Pick<Logged, 'entry'>[]): string | null => {
  const part = board.parts.find((each) => each.ref === ref)
  if (fitted?.origin.kind !== 'donor' || part === undefined) return null
  const { board: donor, test: run } = fitted.origin
  if (run === null) return refusalToTestAlone(part) === null ? `A part from a donor board is measured alone first. Measure ${ref} from ${donor}, then log it.` : null
  const wanted = donorBoard(board, part)
  if (test === null || test.board !== wanted.id || test.revision !== wanted.revision || test.serialNumber !== donorName(ref, donor)) return `That run did not measure ${donorName(ref, donor)} for revision ${board.revision}. Measure it alone, then log it.`
  const used = standing.find(({ entry: { fitted: other } }) => other?.origin.kind === 'donor' && other.origin.test === run)
  if (used !== undefined) return `That test vouches for the ${used.entry.part} that is logged already. Measure another ${ref} from ${donor} alone, or strike that entry out.`
  return test.verdict === 'pass' ? null : `The loose ${ref} did not pass when it was measured alone. Take another.`
}

const wantsPin = (action: RepairAction): boolean => action === 'lifted'
const mayHavePin = (action: RepairAction): boolean => action === 'lifted' || action === 'resoldered'

/** Why this entry cannot be right, in a sentence; null: it can. @param now the state of the board before it. */
export const refusalOfEntry = (board: BoardType, now: readonly PartState[], entry: RepairEntry): string | null => {
  const { part: ref, pin, action, to, fitted } = entry
  const part = board.parts.find((each) => each.ref === ref)
  if (part === undefined) return `${ref} is not a part of ${board.name}. Choose one from the list.`
  if (pin !== null && !Object.hasOwn(part.pins, pin)) return `${ref} has no pin ${pin}. Its pins are ${Object.keys(part.pins).join(', ')}.`
  if (pin === null && wantsPin(action)) return `Say which leg of ${ref} was lifted.`
  if (pin !== null && !mayHavePin(action)) return `A part is ${actionInWords(action)} whole: leave the leg out.`
  if ((action === 'replaced') !== (fitted !== null)) return action === 'replaced' ? `Say what was put in for ${ref}.` : 'Only a part that is replaced has another in its place.'
  if ((action === 'moved') !== (to !== null)) return action === 'moved' ? `Say which pad ${ref} was moved to.` : 'A pad is named only for a part that was moved.'
  const own = now.filter((one) => one.ref === ref)
  if (action === 'lifted' && own.some((one) => one.is === 'removed')) return `${ref} is off the board: no leg of it can be lifted.`
  if (action === 'removed' && own.some((one) => one.is === 'removed')) return `${ref} is off the board already.`
  if (action === 'resoldered' && pin !== null && own.some((one) => one.is === 'removed')) return `${ref} is off the board: log it as replaced, or as resoldered whole.`
  return null
}
