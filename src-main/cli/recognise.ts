/** `recognise --bytes FILE`: ranks the meter descriptions by how well they explain recorded bytes, or says that none does. */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { checkDescription } from '../../src-core/meter/check'
import type { MeterDescription } from '../../src-core/meter/description'
import { rankBytes } from '../../src-core/meter/recognise/rank-bytes'
import { readJson } from '../service/library-files'
import { milliseconds } from './read-files'
import { Refused, type Surroundings } from './surroundings'

export const recogniseUsage = [
  '  recognise --bytes FILE [--bytes-baud N] [--meters DIR] [--json]',
  '      Ranks the meter descriptions, built in and in DIR, by how well they explain the bytes of FILE, best first.',
  '      --bytes-baud: the speed they were recorded at; else each description\'s own. Exit code 0 when one fits, 1 when none does.',
]

/** More says nothing new. */
const mostBytes = 1024 * 1024

const wordsOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))

/** A description that is not sound is named, and hurts no other. */
const descriptionsIn = (folder: string, complain: (line: string) => void): MeterDescription[] =>
  readdirSync(folder).filter((name) => name.endsWith('.json')).sort().flatMap((name) => {
    const file = join(folder, name)
    try {
      const checked = checkDescription(readJson(file).json, file, milliseconds)
      if ('description' in checked) return [checked.description]
      complain(`${file} is not sound and was left out: ${checked.problems.map(({ field, message }) => `${field}: ${message}`).join('; ')}`)
    } catch (error) {
      complain(`${file} was left out: ${wordsOf(error)}`)
    }
    return []
  })

const optionsOf = (args: readonly string[]): { bytes?: string; 'bytes-baud'?: string; meters?: string; json?: boolean } => {
  try {
    return parseArgs({ args: [...args], options: { bytes: { type: 'string' }, 'bytes-baud': { type: 'string' }, meters: { type: 'string' }, json: { type: 'boolean' } } }).values
  } catch (error) {
    throw new Refused(`${wordsOf(error)}\n${recogniseUsage.join('\n')}`, { cause: error })
  }
}

export const recogniseCommand = (args: readonly string[], { builtInFolder, calledFrom, print, complain }: Surroundings): number => {
  const { bytes: named, 'bytes-baud': speed, meters, json } = optionsOf(args)
  if (named === undefined) throw new Refused(`recognise needs a file of bytes.\n${recogniseUsage.join('\n')}`)
  const file = resolve(calledFrom, named)
  if (!existsSync(file) || !statSync(file).isFile()) throw new Refused(`There is no file ${named}. Correct the name or the folder.`)
  const baud = speed === undefined ? null : Number(speed)
  if (baud !== null && !(Number.isInteger(baud) && baud >= 50 && baud <= 4_000_000)) {
    throw new Refused(`--bytes-baud must be a whole number from 50 to 4000000, not "${speed}".`)
  }
  const own = meters === undefined ? null : resolve(calledFrom, meters)
  if (own !== null && !(existsSync(own) && statSync(own).isDirectory())) throw new Refused(`There is no folder ${meters}. Correct the name.`)

  const whole = readFileSync(file)
  if (whole.length > mostBytes) complain(`${named} has ${whole.length} bytes; the first ${mostBytes} are judged.`)
  const descriptions = [join(builtInFolder, 'meters'), ...(own === null ? [] : [own])].flatMap((folder) => descriptionsIn(folder, complain))
  const { found, words } = rankBytes(whole.subarray(0, mostBytes), descriptions, baud)
  if (json === true) print(JSON.stringify({ found: found.map(({ sample: _left, ...each }) => each), words }))
  else if (found.length === 0) print(words)
  else found.forEach((each, index) => { print(`${index + 1}. ${each.words}, ${Math.round(each.share * 100)} % of the bytes, last: ${each.sampleWords}`) })
  return found.length > 0 ? 0 : 1
}
