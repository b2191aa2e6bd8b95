/** The options of npm start and of the desktop: read, checked, and refused in plain words. */
import { parseArgs } from 'node:util'
import { usualDataFolder } from './data-folder'

export const usage = `npm start -- [options]
  --host HOST        desktop: a window of its own; browser: a page for a browser on this machine
                     (usual: the desktop where its runtime and a display are there, else the browser)
  --data DIR         data folder: runs, meters, your own boards and descriptions
  --port N           browser: port on 127.0.0.1; 0 means any free one (usual: 0)
  --no-open          browser: do not open one; the address stands on a line of its own
  --fetch            desktop: fetch its runtime first where it is missing (npm run desktop does)
  --practice auto    start a practice board at once, played by itself
  --seed N           with --practice: which board and which fault
  --fault R4:open    with --practice: this fault instead of a drawn one; may be given more than once
  --help             this text`

export type Host = 'desktop' | 'browser'
export type Practice = { seed?: number; faults?: string[] }
export type StartOptions = {
  /** Null: nobody said. */
  host: Host | null
  dataFolder: string
  /** Null: any free one, and nobody said. */
  port: number | null
  open: boolean
  fetch: boolean
  practice: Practice | null
  help: boolean
  /** The desktop only: npm start waits for its report. */
  fromStart: boolean
}

const table = {
  host: { type: 'string' }, data: { type: 'string' }, port: { type: 'string' }, 'no-open': { type: 'boolean' }, fetch: { type: 'boolean' },
  practice: { type: 'string' }, seed: { type: 'string' }, fault: { type: 'string', multiple: true }, help: { type: 'boolean' },
  'from-start': { type: 'boolean' },
} as const

const wholeNumber = (name: string, text: string | null, most: number): number | null => {
  if (text === null) return null
  const value = Number(text)
  if (text.trim() !== '' && Number.isInteger(value) && value >= 0 && value <= most) return value
  throw new Error(`--${name} ${text}: must be a whole number from 0 to ${most}.`)
}

const oneOf = <T extends string>(name: string, text: string | null, known: readonly T[]): T | null => {
  if (text === null) return null
  const found = known.find((each) => each === text)
  if (found === undefined) throw new Error(`--${name} ${text}: must be ${known.map((each) => `“${each}”`).join(' or ')}.`)
  return found
}

/**
 * @param args what stands after the program's name.
 * @param strict false: words it does not know are passed over, since Electron puts its own among them.
 * @throws Error in plain words.
 */
export const readOptions = (args: string[], strict = true): StartOptions => {
  const values: Record<string, unknown> = parseArgs({ args, options: table, strict, allowPositionals: !strict }).values
  const text = (name: string): string | null => (typeof values[name] === 'string' ? values[name] : null)
  const seed = wholeNumber('seed', text('seed'), 2 ** 31)
  const faults = Array.isArray(values.fault) ? values.fault.filter((each) => typeof each === 'string') : []
  const practice = oneOf('practice', text('practice'), ['auto'])
  if (practice === null && (seed !== null || faults.length > 0)) throw new Error('--seed and --fault need --practice auto beside them.')
  return {
    host: oneOf('host', text('host'), ['desktop', 'browser']),
    dataFolder: text('data') ?? usualDataFolder(),
    port: wholeNumber('port', text('port'), 65535),
    open: values['no-open'] !== true, fetch: values.fetch === true, help: values.help === true, fromStart: values['from-start'] === true,
    practice: practice === null ? null : { ...(seed === null ? {} : { seed }), ...(faults.length === 0 ? {} : { faults }) },
  }
}

/**
 * The same for the desktop's process. Each is one word, name and value joined: a word of its own such as "R4:open" would look like an
 * address, behind which Electron on Windows takes no more options (from memory).
 */
export const desktopArguments = ({ dataFolder, practice }: StartOptions): string[] => [
  '--from-start', `--data=${dataFolder}`,
  ...(practice === null ? [] : [
    '--practice=auto', ...(practice.seed === undefined ? [] : [`--seed=${practice.seed}`]),
    ...(practice.faults ?? []).map((fault) => `--fault=${fault}`),
  ]),
]
