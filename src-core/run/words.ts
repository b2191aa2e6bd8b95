/** The bench's sentences: prompt, state line and values, short enough to be heard between two touches. */
import type { BoardType } from '../board/board-type'
import { isLeg, tipName } from '../board/lifted-leg'
import type { CaptureStatus } from '../capture/task'
import type { MeasuredValue, MeterFlag, MeterFunction, UnitSymbol } from '../meter/reading'
import { inWords } from '../quantity/engineering'
import type { Fixture, PlanStep } from './plan'
import { tooCoarseReason } from './reasons'
import type { BenchView, LiveView } from './view'

type Prompt = NonNullable<BenchView['step']>['prompt']

export const dialWords: Record<MeterFunction, string> = {
  'dc-voltage': 'DC volts', 'ac-voltage': 'AC volts', resistance: 'resistance', continuity: 'continuity', diode: 'diode test', capacitance: 'capacitance',
  inductance: 'inductance', frequency: 'frequency', temperature: 'temperature', 'dc-current': 'DC current', 'ac-current': 'AC current',
}

/** @param name the place as on screen. */
export const bothOnOneWords = (name: string): string => `Both leads on ${name} read only themselves. Choose two points.`

const plain = (text: string): Prompt[number] => ({ text, lead: null })
const red: Prompt[number] = { text: 'Red', lead: 'red' }
const black: Prompt[number] = { text: 'black', lead: 'black' }

const fixturePrompt = (fixture: Fixture, reversed: boolean): Prompt => {
  switch (fixture) {
    case 'leads-apart': return [red, plain('and'), black, plain('apart, in the air')]
    case 'leads-joined': return [red, plain('and'), black, plain('pressed together')]
    case 'known-diode': return [red, plain(reversed ? 'on the cathode,' : 'on the anode,'), black, plain(reversed ? 'on the anode of the known diode' : 'on the cathode of the known diode')]
    case 'check-resistor': return [red, plain('and'), black, plain('on the check resistor')]
    case 'check-diode': return [red, plain('on the anode,'), black, plain('on the cathode of the check diode')]
    case 'first-resistor': return [red, plain('and'), black, plain('on the first resistor')]
    case 'second-resistor': return [red, plain('and'), black, plain('on the second resistor')]
    case 'diode-across-first': return [red, plain(reversed ? 'on the cathode,' : 'on the anode,'), black, plain(reversed ? 'on the anode; the first resistor across the diode' : 'on the cathode; the first resistor across the diode')]
    case 'diode-and-second': return [red, plain(reversed ? 'on the far end of the second resistor,' : 'on the anode,'), black, plain(reversed ? 'on the anode' : 'on the far end of the second resistor')]
    case 'known-source': return [red, plain('on plus,'), black, plain('on minus of the known source')]
  }
}

/** Of a test point as the board file has it, "the lifted pin 1 of C8" of a leg. */
export const placeWords = (board: BoardType, id: string): string => (isLeg(id) ? `the ${tipName(board, id)}` : board.testPoints.find((point) => point.id === id)?.words ?? id)

/** Black is clipped once; from then on only red moves. */
const walkPrompt = (point: string, number: number, clip: string): Prompt =>
  (number === 1 ? [{ text: 'Black', lead: 'black' }, plain(`clipped to ${clip},`), { text: 'red', lead: 'red' }, plain(`on ${point}`)] : [red, plain(`on ${point},`), black, plain('stays')])

export const promptFor = (board: BoardType, step: PlanStep): Prompt => {
  if (step.kind !== 'measure') return [plain(step.words)]
  if ('fixture' in step.placement) return fixturePrompt(step.placement.fixture, step.placement.reversed)
  const { placement, purpose } = step
  const clip = placeWords(board, placement.black)
  if (purpose?.kind === 'walk') return walkPrompt('red' in placement ? placeWords(board, placement.red) : placement.words ?? `point ${placement.point}`, purpose.number, clip)
  const tips = [red, plain(`on ${'red' in placement ? placeWords(board, placement.red) : `point ${placement.point}`},`), black]
  return purpose?.kind === 'watch' ? [...tips, plain(`on ${clip}. ${purpose.words}`)] : [...tips, plain(`on ${clip}`)]
}

/** Functions in which an overload means that nothing flows; in the others the value is above the range. */
const overloadIsOpen: readonly MeterFunction[] = ['resistance', 'continuity', 'diode']

/** "open" only where an overload means that; else the figure, or "over range". */
export const valueInWords = (value: MeasuredValue, fn: MeterFunction, unit: UnitSymbol, resolution: number | null): string =>
  typeof value === 'number' ? inWords(value, unit, resolution) : value === 'overload' && overloadIsOpen.includes(fn) ? 'open' : 'over range'

const flagWords: Record<MeterFlag, string> = {
  hold: 'hold', relative: 'relative', minimum: 'minimum', maximum: 'maximum', average: 'average', peak: 'peak', 'low-battery': 'low battery',
  'auto-range': 'auto-range', 'manual-range': 'manual range',
}

export const modeWords = (flag: MeterFlag): string => (flag === 'low-battery' ? 'change the battery' : `turn ${flagWords[flag]} off`)

export type StateLine = Pick<LiveView, 'state' | 'tone' | 'beads' | 'wants' | 'skipBecause'>

const line = (state: string, tone: StateLine['tone'], wants: StateLine['wants'], beads: StateLine['beads'] = null): StateLine => ({ state, tone, wants, beads })

export const fingersOffWords = 'keep fingers off the tips'

/** The app is about to set the meter to another function. */
export const settingLine = (wanted: MeterFunction): StateLine => line(`setting the meter to ${dialWords[wanted]}`, 'busy', 'wait')

const secondsLeft = (until: number, at: number): string => `${Math.max(1, Math.ceil(until - at))} s`

/** What is being waited for, in one short line. @param expectsZero the good value is zero volts rather than open. */
export const stateLine = (status: CaptureStatus, wanted: MeterFunction, expectsZero: boolean, at: number): StateLine => {
  switch (status.kind) {
    case 'touch': return line(status.open ? 'touch both, or confirm open' : 'touch both points', 'ask', 'touch')
    case 'wait': return line(`wait ${secondsLeft(status.until, at)}`, 'busy', 'wait')
    case 'steadying': return line(status.trend ? 'still moving, hold still' : 'steadying, hold still', 'busy', 'hold', { have: Math.min(status.have, status.need), of: status.need })
    case 'charging': return line(`charging, hold ${secondsLeft(status.until, at)}`, 'busy', 'hold')
    case 'ranging': return line('finding its range, hold still', 'busy', 'hold')
    case 'hunting': return line('ranges alternate: press the range key', 'warn', 'dial')
    case 'offer-moving': return status.resolved ? line('still moving: confirm takes it', 'ask', 'confirm') : line('still moving, hold still', 'warn', 'hold')
    case 'confirm-air': {
      if (typeof status.value !== 'number' && !overloadIsOpen.includes(wanted)) return line('over range: stop, look at the board', 'stop', 'confirm')
      const what = typeof status.value === 'number' && expectsZero ? 'zero' : 'open'
      if (!status.ready) return line(`touch both points, ${what} so far`, 'ask', 'touch')
      return line(status.secondPoint ? `second point too: confirm ${what}` : `touch, then confirm ${what}`, 'ask', 'confirm')
    }
    case 'lift': return status.held ? line('lift and touch again', 'warn', 'lift') : line('recorded, lift the leads', 'good', 'lift')
    case 'wrong-function': return line(`turn the dial to ${dialWords[wanted]}`, 'warn', 'dial')
    case 'mode': return line(modeWords(status.flag), 'warn', 'dial')
    case 'frozen': return line('frozen: is hold on?', 'warn', 'dial')
    case 'charged': return line('board is charged: stop', 'stop', 'nothing')
    case 'too-coarse': return { ...line('meter too coarse: skip, or a finer one', 'warn', 'skip'), skipBecause: tooCoarseReason }
    case 'silent': return line('meter silent', 'stop', 'nothing')
    case 'fingers-off': return line(fingersOffWords, 'busy', 'hold')
  }
}
