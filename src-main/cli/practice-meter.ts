/** `practice-meter`: writes the bytes of a simulated meter into a port, led by hand or by a technician that follows the app. */
import { createInterface } from 'node:readline'
import { parseArgs } from 'node:util'
import { SerialPort } from 'serialport'
import type { BoardType } from '../../src-core/board/board-type'
import { usualPractice } from '../../src-core/board/revisions'
import { drawFaults } from '../../src-core/circuit/draw-faults'
import { type Fault, faultText, parseFaults } from '../../src-core/circuit/faults'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import type { MeterDescription, PortSettings } from '../../src-core/meter/description'
import { usualBenchKit } from '../../src-core/meter/instrument'
import { seconds, type Seconds } from '../../src-core/quantity/units'
import { makePlan, type MeasurePlanStep } from '../../src-core/run/plan'
import { preparationSteps } from '../../src-core/run/preparation'
import { portTrouble } from '../service/link/port-words'
import { createPracticeMeter, type PracticeMeter } from '../service/practice/practice-meter'
import { practiceFixture, type Hand } from '../../src-core/practice/hand'
import { followApp } from './follow-app'
import { handHelp, readHandCommand } from './hand-command'
import { boardNamed, descriptionNamed } from './read-files'
import { Refused, type Surroundings } from './surroundings'

export const practiceMeterUsage = [
  '  practice-meter --port PATH [--board ID] [--revision C] [--fault R4:open]… [--seed N] [--description NAME] [--rate N] [--data DIR] [--follow ADDRESS]',
  '      Writes what a meter would send into a port. Without --fault a hidden one is drawn from the seed; --fault none gives a good board.',
  '      With --follow it watches a running app (the address that npm start prints) and plays the technician.',
  '      Else type where the leads go:',
  ...handHelp.map((line) => `        ${line}`),
]

const turnMs = 20
const usualDescription = 'Line meter A'
/** Seconds the leads are off between two placements of the sequence. */
const liftSeconds = 0.5

const clock = (): Seconds => seconds(performance.now() / 1000)

type Options = {
  port: string
  board: BoardType
  faults: Fault[]
  /** The fault was drawn, and is not told. */
  hidden: boolean
  seed: number
  rate: number | undefined
  follow: string | undefined
  description: MeterDescription
}

const wholeNumber = (name: string, text: string): number => {
  if (!/^\d{1,9}$/.test(text)) throw new Refused(`--${name} must be a whole number, not "${text}".`)
  return Number(text)
}

const readOptions = (args: readonly string[], { builtInFolder }: Surroundings): Options => {
  const text = { type: 'string' } as const
  let values: { port?: string; board?: string; revision?: string; fault?: string[]; seed?: string; description?: string; rate?: string; follow?: string
    data?: string }
  try {
    values = parseArgs({ args: [...args], options: { port: text, board: text, revision: text, fault: { ...text, multiple: true }, seed: text,
      description: text, rate: text, follow: text, data: text } }).values
  } catch (error) {
    throw new Refused(`${error instanceof Error ? error.message : String(error)}\n${practiceMeterUsage.join('\n')}`)
  }
  if (values.port === undefined) {
    throw new Refused(`practice-meter needs --port, the port it writes into.\n${practiceMeterUsage.join('\n')}`)
  }
  const folders = [builtInFolder, ...(values.data === undefined ? [] : [values.data])]
  const board = boardNamed(folders, values.board ?? usualPractice.board, values.revision)
  const seed = values.seed === undefined ? Math.floor(Math.random() * 1e6) : wholeNumber('seed', values.seed)
  const rate = values.rate === undefined ? undefined : wholeNumber('rate', values.rate)
  if (rate !== undefined && (rate < 1 || rate > 50)) throw new Refused('--rate must be from 1 to 50 conversions a second.')
  const typed = values.fault ?? []
  const parsed = parseFaults(board, typed.filter((fault) => fault !== 'none'))
  if ('problems' in parsed) throw new Refused(parsed.problems.join('\n'))
  const description = descriptionNamed(folders, values.description ?? usualDescription)
  if (description.framing.kind !== 'lines') {
    throw new Refused(`"${description.name}" does not send lines; practice-meter plays meters that do, such as "${usualDescription}".`)
  }
  return {
    port: values.port, board, seed, rate, follow: values.follow, description,
    hidden: typed.length === 0,
    faults: typed.length > 0 ? parsed.faults : drawFaults(board, seededRandom(seed)),
  }
}

type OpenedPort = { write: (bytes: Uint8Array) => void; close: () => void }

const openForWriting = (path: string, settings: PortSettings, lost: (why: string) => void): Promise<OpenedPort> =>
  new Promise((resolve, reject) => {
    const { baud, dataBits, parity, stopBits } = settings
    const port = new SerialPort({ path, baudRate: baud, dataBits, parity, stopBits, autoOpen: false, hupcl: false })
    port.on('error', (error) => lost(error.message))
    port.on('close', () => lost('it closed'))
    port.on('data', () => undefined)
    port.open((error) => {
      if (error !== null && error !== undefined) reject(new Refused(portTrouble(path, error.message)))
      // A meter does not wait for its listener: a line that finds the port full is lost.
      else resolve({ write: (bytes) => { if (!port.writableNeedDrain) port.write(Buffer.from(bytes)) },
        close: () => { if (port.isOpen) port.close(() => undefined) } })
    })
  })

const handOf = ({ function: what, placement }: MeasurePlanStep): Hand => {
  if ('point' in placement) return { function: what, tips: 'lifted' }
  if (!('fixture' in placement)) return { function: what, tips: { leads: placement } }
  const fixture = practiceFixture(placement.fixture)
  return { function: what, tips: fixture === null ? 'lifted' : { fixture, reversed: placement.reversed } }
}

const inWords = ({ tips, function: what }: Hand): string =>
  tips === 'lifted' ? `leads off, dial at ${what}`
    : 'leads' in tips ? `red on ${tips.leads.red}, black on ${tips.leads.black}, dial at ${what}`
      : `${tips.fixture}${tips.reversed ? ' reversed' : ''}, dial at ${what}`

/** Takes typed lines until the input ends or "quit"; `quit` is called for the latter. */
const listen = (board: BoardType, meter: PracticeMeter, { input, print, complain }: Surroundings, quit: () => void): (() => void) => {
  const placements = [...preparationSteps(board, usualBenchKit), ...makePlan(board, []).steps].filter((step): step is MeasurePlanStep =>
    step.kind === 'measure')
  const reader = createInterface({ input })
  let next = 0
  let due: NodeJS.Timeout | null = null
  const moveTo = (hand: Hand): void => {
    if (due !== null) clearTimeout(due)
    meter.setHand({ ...hand, tips: 'lifted' }, clock())
    due = setTimeout(() => meter.setHand(hand, clock()), liftSeconds * 1000)
  }
  reader.on('line', (line) => {
    const command = readHandCommand(line, board, meter.hand())
    switch (command.kind) {
      case 'problem': return complain(command.message)
      case 'quit': return quit()
      case 'hand':
        if (due !== null) clearTimeout(due)
        try {
          meter.setHand(command.hand, clock())
        } catch (error) {
          return complain(error instanceof Error ? error.message : String(error))
        }
        return print(inWords(command.hand))
      case 'next': {
        const step = placements[next % placements.length]
        if (!step) return complain('The sequence measures nothing.')
        next += 1
        moveTo(handOf(step))
        return print(`${step.title}: ${inWords(handOf(step))}`)
      }
    }
  })
  return () => {
    reader.close()
    if (due !== null) clearTimeout(due)
  }
}

/** Runs until interrupted, told to quit, or the port or the app is gone. 0 unless the port was lost or the app refused. */
export const practiceMeterCommand = async (args: readonly string[], surroundings: Surroundings): Promise<number> => {
  const options = readOptions(args, surroundings)
  const { board, faults, description, seed } = options
  const meter = createPracticeMeter({ board, faults, seed, description, startsAt: clock(),
    ...(options.rate === undefined ? {} : { conversionsPerSecond: options.rate }) })
  let end: (code: number) => void = () => undefined
  const ended = new Promise<number>((resolve) => { end = resolve })
  let closing = false
  const port = await openForWriting(options.port, description.port, (why) => {
    if (closing) return
    surroundings.complain(`Port ${options.port} is lost: ${why}. Nothing more is sent.`)
    end(1)
  })
  const fault = options.hidden ? 'a hidden fault' : faults.length === 0 ? 'no fault' : `fault ${faults.map(faultText).join(', ')}`
  surroundings.print(`Practice meter "${description.name}" on ${options.port}, board ${board.id} revision ${board.revision}, seed ${seed}, ${fault}.`)
  const sending = setInterval(() => { for (const { bytes } of meter.bytesUntil(clock())) port.write(bytes) }, turnMs)
  const interrupted = (): void => end(0)
  process.on('SIGINT', interrupted)
  process.on('SIGTERM', interrupted)
  let stop: () => void = () => undefined
  try {
    stop = options.follow === undefined ? listen(board, meter, surroundings, () => end(0))
      : await followApp(options.follow, { board, clock, setHand: (hand) => meter.setHand(hand, clock()), say: surroundings.print,
        complain: surroundings.complain, gone: end })
    return await ended
  } finally {
    closing = true
    stop()
    clearInterval(sending)
    port.close()
    process.off('SIGINT', interrupted)
    process.off('SIGTERM', interrupted)
  }
}
