/** `expect BOARD`: what a good board reads at each measure step, with the interval that the spread of its parts gives, as JSON. */
import { parseArgs } from 'node:util'
import { stateAt } from '../../src-core/board/part-state'
import { boardWithLimits, computedLimits } from '../../src-core/circuit/computed-limits'
import { capacitancePlacements } from '../../src-core/circuit/diagnose/capacitance-sight'
import { drawnInterval, type ExpectedInterval, linearInterval } from '../../src-core/circuit/expected-interval'
import { usualCelsius } from '../../src-core/circuit/good-limits'
import { genericDrives } from '../../src-core/circuit/meter-drive'
import { computedOfBoard } from '../../src-core/run/computed-words'
import { boardNamedByFile } from './board-file'
import { Refused, type Surroundings } from './surroundings'

export const expectUsage = [
  '  expect BOARD.json [--seed N] [--boards N] [--celsius T]',
  '      What a good board reads at each measure step, as JSON: its value, its limits, and the interval of 95 % of good boards, drawn (by seed) and linear.',
  '      Then the capacitance between every two points where capacitors lie straight across and nothing beside them swamps them.',
  '      Limits that stand nowhere in the file are computed, and said to be.',
  '      Typical figures stand for what the meter drives. Exit code 0 when all steps were computed, 1 when one could not be.',
]

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))

type Options = { seed: number; boards: number; celsius: number | null; file: string | undefined; more: number }

const optionsOf = (args: readonly string[]): Options => {
  let parsed
  try {
    parsed = parseArgs({ args: [...args], allowPositionals: true, options: { seed: { type: 'string' }, boards: { type: 'string' }, celsius: { type: 'string' } } })
  } catch (error) {
    throw new Refused(`${wordsOf(error)}\n${expectUsage.join('\n')}`, { cause: error })
  }
  const { values: { seed = '1', boards = '400', celsius }, positionals: [file, ...more] } = parsed
  const whole = (name: string, text: string, least: number, most: number): number => {
    const value = Number(text)
    if (!Number.isInteger(value) || value < least || value > most) throw new Refused(`--${name} must be a whole number from ${least} to ${most}, not "${text}".`)
    return value
  }
  const degrees = celsius === undefined ? null : Number(celsius)
  if (degrees !== null && !(degrees >= -40 && degrees <= 125)) throw new Refused(`--celsius must be from -40 to 125, not "${celsius}".`)
  return { seed: whole('seed', seed, 0, 2 ** 31 - 1), boards: whole('boards', boards, 20, 100_000), celsius: degrees, file, more: more.length }
}

const bounds = ({ low, high }: ExpectedInterval): (number | 'overload')[] => [low, high]

export const expectCommand = (args: readonly string[], { calledFrom, print }: Surroundings): number => {
  const { seed, boards, celsius, file, more } = optionsOf(args)
  if (file === undefined || more > 0) throw new Refused(`expect needs one board file.\n${expectUsage.join('\n')}`)
  const board = boardNamedByFile(file, calledFrom)
  const net = (id: string): string => board.testPoints.find((point) => point.id === id)?.net ?? ''
  const range: [number, number] = celsius === null ? [...usualCelsius] : [celsius, celsius]
  const found = computedLimits(board, { celsius: range })
  const says = computedOfBoard(board, { celsius: range, steps: found })
  let computed = true
  const steps = boardWithLimits(board, found).sequence.steps.filter((step) => step.kind === 'measure').map((step) => {
    const { id, title, red, black, limits } = step
    const options = { drives: genericDrives, state: stateAt(board, id), ...(celsius === null ? {} : { celsius }) }
    const origin = says[id]
    const head = { id, title, red, black, function: step.function, limits: limits ?? null, ...(origin === undefined ? {} : { limitsInWords: origin.limits, computed: origin.says }) }
    if (step.powered === true) return { ...head, because: 'The board is supplied in this step, which is not computed.' }
    const drawn = drawnInterval(board, net(red), net(black), step.function, options, seed, boards)
    const linear = linearInterval(board, net(red), net(black), step.function, options)
    if (!drawn.ok || !linear.ok) {
      computed = false
      return { ...head, because: !drawn.ok ? drawn.because : !linear.ok ? linear.because : '' }
    }
    return { ...head, value: drawn.interval.value, drawn: bounds(drawn.interval), linear: bounds(linear.interval) }
  })
  const asFound = celsius === null ? {} : { celsius }
  const capacitances = capacitancePlacements(board, asFound).map(({ placement: { red, black }, nets, parts }) => {
    const drawn = drawnInterval(board, nets.red, nets.black, 'capacitance', { drives: genericDrives, ...asFound }, seed, boards)
    return { red, black, function: 'capacitance', parts, ...(drawn.ok ? { value: drawn.interval.value, drawn: bounds(drawn.interval) } : { because: drawn.because }) }
  })
  print(JSON.stringify({ board: { id: board.id, revision: board.revision }, celsius: celsius ?? 25, seed, boards, source: 'typical', steps, capacitances }, null, 2))
  return computed ? 0 : 1
}
