/** `verify FILE...`: says of records whether they are as they were signed, whether one is missing, and whose key signed them. */
import { createPublicKey } from 'node:crypto'
import { existsSync, readFileSync, statSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { DatabaseSync } from '@photostructure/sqlite'
import { escaped } from '../../src-core/quantity/printable'
import { judgeText } from '../../src-core/record/judge-file'
import type { SignedRecord } from '../../src-core/record/schema'
import { verify, type KnownKey, type Verdict } from '../../src-core/record/verify'
import { jsonFaultPlace } from '../service/json-fault'
import { attachedRecord } from '../service/record/attached-record'
import { pagesAre, pagesInWords } from '../service/record/pages-made-again'
import { knownKeys, publicKeyFile } from '../service/record/shop-key'
import { checks, publicHexOf } from '../service/record/signatures'
import { usualDataFolder } from '../start/data-folder'
import { Refused, type Surroundings } from './surroundings'

export const exitCodes: Record<Verdict | 'pages-not-compared', number> = { valid: 0, changed: 1, 'broken-chain': 3, 'key-unknown': 4, 'not-a-record': 5, 'pages-not-compared': 6 }

/** Of several the first that was found is said. */
const worstFirst = [exitCodes.changed, exitCodes['broken-chain'], exitCodes['not-a-record'], exitCodes['pages-not-compared'], exitCodes['key-unknown']]

export const verifyUsage = [
  '  verify FILE … [--key FILE] [--data FOLDER]',
  '      Says of records (JSON, or a PDF with its record inside) whether they are as they were signed, and whether one is missing.',
  '      Of a PDF it also says whether its pages are the print of the record inside.',
  '      Several files are also judged as a chain; the statement that ends a job\'s export tells whether its last record is there.',
  '      --key FILE      a public key that is known to be the shop\'s; may stand several times. Without it the keys of the data folder count.',
  '      --data FOLDER   the data folder whose keys are known and whose own copies tell what differs.',
  '      Exit code 0: all valid, and the key is known. 1: a file was changed. 2: the command line cannot be followed.',
  '      3: a record is missing, or another stands in its place. 4: the signature fits its content, but the key is unknown.',
  '      5: a file is no record. 6: the pages of a PDF were not compared with the record inside, and may say something else.',
  '      Of several the worst is said: 1, then 3, 5, 6, 4. 70: the program itself failed; nothing is said of the files.',
]

/** A job of 500 records with their frames is well below. */
const largestFile = 256 * 2 ** 20

const decoder = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true })
const words = (error: unknown): string => (error instanceof Error ? error.message : String(error))

/** Stands behind a text whose bytes are no UTF-8: such a text is never JSON. */
const notUtf8 = '\u0000'

/** Reads JSON as `JSON.parse` does; its error names line and column. */
const parse = (text: string): unknown => {
  if (text.endsWith(notUtf8)) throw new Error('it holds bytes that are no UTF-8.')
  try {
    return JSON.parse(text)
  } catch {
    throw new Error(`from ${jsonFaultPlace(text)} on.`)
  }
}

/** @throws Refused where it may not be read. */
const bytesOf = (file: string, named: string): Buffer => {
  try {
    return readFileSync(file)
  } catch (error) {
    throw new Refused(`${named} cannot be read (${words(error)}).`)
  }
}

/** @throws Refused where there is no such file to judge. */
const textOf = async (file: string, named: string): Promise<{ text: string; pdf: Uint8Array | null } | { unreadable: string }> => {
  if (!existsSync(file) || !statSync(file).isFile()) throw new Refused(`There is no file ${named}. Correct the name or the folder.`)
  if (statSync(file).size > largestFile) throw new Refused(`${named} is larger than ${largestFile / 2 ** 20} MB: no record is.`)
  const bytes = bytesOf(file, named)
  // Nothing in a table is signed, and a spreadsheet may have written it anew.
  if (/\.csv$/i.test(named)) return { unreadable: 'A table (CSV) carries no signature and cannot be verified. Verify the record as JSON or PDF.' }
  try {
    const attached = await attachedRecord(bytes)
    return { text: decoder.decode(attached ?? bytes), pdf: attached === null ? null : bytes }
  } catch (error) {
    // Bytes that are no UTF-8 are still judged: where they name one of our schemas, they were changed.
    return error instanceof TypeError ? { text: `${bytes.toString('latin1')}${notUtf8}`, pdf: null } : { unreadable: words(error) }
  }
}

/** A key as `public-key` prints it, or in PEM. @throws Refused */
const keyIn = (file: string, named: string): KnownKey => {
  if (!existsSync(file) || !statSync(file).isFile()) throw new Refused(`There is no key file ${named}. Correct the name or the folder.`)
  try {
    const text = readFileSync(file, 'utf8')
    if (text.trimStart().startsWith('-----BEGIN')) return { publicKey: publicHexOf(createPublicKey(text)), name: named }
    const { publicKey, name } = publicKeyFile.parse(JSON.parse(text))
    return { publicKey, name }
  } catch {
    throw new Refused(`${named} holds no public key: it is neither a file as “public-key” prints it nor an Ed25519 key in PEM.`)
  }
}

/** The store's own records, where no app has the folder open. */
const copiesIn = (dataFolder: string): { copies: SignedRecord[]; problem: string | null } => {
  const file = join(dataFolder, 'probewright.sqlite')
  if (!existsSync(file)) return { copies: [], problem: null }
  let database: InstanceType<typeof DatabaseSync> | null = null
  try {
    database = new DatabaseSync(file, { readOnly: true })
    // A folder of an older app has no records yet.
    if (database.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'record'").get() === undefined) return { copies: [], problem: null }
    const bodies = database.prepare('SELECT body FROM record').all()
    const judged = bodies.flatMap((row) => judgeText(String(row.body), checks))
    return { copies: judged.flatMap((each) => (each.is === 'record' ? [each.file] : [])), problem: null }
  } catch (error) {
    return { copies: [], problem: `The records kept in ${dataFolder} could not be looked at to tell what differs (${words(error)}). Is Probewright running there?` }
  } finally {
    database?.close()
  }
}

type Asked = { files: string[]; keys: string[]; dataFolder: string }

const readArgs = (args: readonly string[], calledFrom: string): Asked => {
  try {
    const { values, positionals } = parseArgs({ args: [...args], allowPositionals: true, options: { key: { type: 'string', multiple: true }, data: { type: 'string' } } })
    if (positionals.length === 0) throw new Error('verify needs a file.')
    return { files: positionals, keys: values.key ?? [], dataFolder: values.data === undefined ? usualDataFolder() : resolve(calledFrom, values.data) }
  } catch (error) {
    throw new Refused(`${words(error)}\n${verifyUsage.join('\n')}`)
  }
}

const unknownKeyWords = 'Whose key it is, the files cannot say. Get the public key from the shop itself, compare its figures with those above, and name its file with --key FILE.'

export const verifyCommand = async (args: readonly string[], { calledFrom, print, complain }: Surroundings): Promise<number> => {
  const { files, keys: named, dataFolder } = readArgs(args, calledFrom)
  const tell = (line: string): void => { print(escaped(line)) }
  const own = named.length > 0 ? { keys: named.map((each) => keyIn(resolve(calledFrom, each), each)), problems: [] } : knownKeys(dataFolder)
  for (const problem of own.problems) complain(problem)
  const read = await Promise.all(files.map(async (name) => ({ name, ...await textOf(resolve(calledFrom, name), name) })))
  const given = read.flatMap((each) => ('text' in each ? [each] : []))
  const unreadable = read.flatMap((each) => ('unreadable' in each ? [each] : []))
  let found = verify(given, own.keys, checks, [], parse)
  if (found.verdict === 'changed') {
    const { copies, problem } = copiesIn(dataFolder)
    if (problem !== null) complain(problem)
    found = verify(given, own.keys, checks, copies, parse)
  }
  const pages = new Map(found.verdict === 'changed' ? [] : await Promise.all(given.flatMap(({ name, text, pdf }) => (pdf === null ? [] : [pagesAre(pdf, text).then((are) => [name, are] as const)]))))
  // What a PDF shows comes before what is inside it: its pages are what people read.
  for (const [name, are] of pages) tell(`${name}: ${pagesInWords[are]}`)
  for (const { name, lines: [first = '', ...more] } of found.files) {
    tell(`${name}: ${pages.has(name) ? 'the record inside: ' : ''}${first}`)
    for (const line of more) tell(`  ${line}`)
  }
  for (const { name, unreadable: why } of unreadable) tell(`${name}: not a record. ${why}`)
  for (const fault of found.faults) tell(`BROKEN CHAIN: ${fault}`)
  for (const note of found.notes) tell(note)
  if (found.files.some(({ verdict }) => verdict === 'key-unknown')) tell(unknownKeyWords)
  const codes = new Set([
    exitCodes[found.verdict], ...[...pages.values()].flatMap((are) => (are === 'the-print' ? [] : [exitCodes[are === 'changed' ? 'changed' : 'pages-not-compared']])),
    ...(unreadable.length > 0 ? [exitCodes['not-a-record']] : []),
  ])
  return worstFirst.find((code) => codes.has(code)) ?? 0
}
