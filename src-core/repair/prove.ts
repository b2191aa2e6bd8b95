/** Proving that a repaired board works: supply resistance first, then, where the board type has it, power from a limited supply, and what it must do. */
import type { BoardType, Step } from '../board/board-type'
import { isPass } from '../run/branch'
import type { Plan } from '../run/plan'
import { hazardousCaution } from '../run/preparation'
import { stepState, type RunState } from '../run/state'

const cautionStep = (at: number): string => `power-caution-${at + 1}`
export const powerUpStep = 'power-up'
export const powerOffStep = 'power-off'

/** Every power-up says so; common practice, no source. */
const limitedCaution = 'Power-up can burn a part or throw its pieces: wear eye protection, and keep a hand on the switch. If the current goes to its limit, switch off at once and measure the supply again.'
const mainsCaution = 'This board is referenced to mains: only behind an isolating transformer and a residual-current device, by people licensed for it. No earthed instrument may touch it. Your local codes come before anything said here.'

const within = (words: string): string => (words.length <= 300 ? words : `${words.slice(0, 299)}…`)

/** What is said before any power is put on; [] where the board type has no power-up. */
export const cautionsOfPower = ({ prove, hazard, mainsReferenced }: BoardType): string[] => (prove?.powerUp === undefined ? []
  : [...(mainsReferenced ? [mainsCaution] : hazard === 'hazardous' ? [hazardousCaution] : []), limitedCaution, ...prove.powerUp.cautions])

/** In the order they are made; [] where the board type has no `prove`. */
export const provingSteps = (board: BoardType): Step[] => {
  const { prove } = board
  if (prove === undefined) return []
  const { unpowered, powerUp } = prove
  if (powerUp === undefined) return unpowered
  const { volts, limitAmperes, connect, disconnect, steps, checks } = powerUp
  return [
    ...unpowered,
    ...cautionsOfPower(board).map((words, at): Step => ({ kind: 'do', id: cautionStep(at), title: 'Before power', parts: [], then: [], words: 'Read the caution, then press.', caution: words })),
    { kind: 'do', id: 'power-bare', title: 'Clear the bench', parts: [], then: [], words: within(`Take off: ${[...disconnect, 'every probe and tool on the board'].join(', ')}.`) },
    { kind: 'do', id: powerUpStep, title: 'Power up', parts: [], then: [], caution: limitedCaution,
      words: within(`Set a supply to ${volts} V and its current limit to ${limitAmperes} A before it is connected. ${connect}`) },
    ...steps,
    ...checks.map(({ id, title, words }): Step => ({ kind: 'look', id, title, words, parts: [], then: [] })),
    { kind: 'do', id: powerOffStep, title: 'Power off', parts: [], then: [], words: 'Switch the supply off and take it off the board.' },
  ]
}

/** Whether the proof has put power on, and not taken it off yet. */
export const isUnderPower = (run: RunState): boolean => stepState(run, powerUpStep).decided !== null && stepState(run, powerOffStep).decided === null

/** Why a proof ends before its power cautions, in a sentence: a step without power did not pass, or was not made. Null: it goes on. @param next where it would go. */
export const refusalOfPower = (plan: Plan, run: RunState, next: string): string | null => {
  const power = run.started.follows?.purpose === 'prove' ? plan.steps.findIndex(({ id }) => id === cautionStep(0)) : -1
  if (power < 0 || plan.steps.findIndex(({ id }) => id === next) < power) return null
  const open = plan.steps.slice(0, power).filter(({ id }) => { const { decided, learned } = stepState(run, id); return decided === null || learned.length > 0 || !isPass(decided.verdict) })
  return open.length === 0 ? null : `No power is put on: ${open.map(({ title }) => title).join('; ')} did not pass.`
}
