/** The judgement on all files given to `verify`: each by itself, then how they follow one another, then whose key signed them. */
import { escaped } from '../quantity/printable'
import { claimOfRecord } from './claim-words'
import { judgeChain, orderFaults } from './judge-chain'
import { againstCopy, judgeText, type Checks, type Judged } from './judge-file'
import { judgeCorrections, judgeSigners, statementNotes } from './judge-claims'
import { keyInWords } from './key-in-words'
import type { SignedFile, SignedRecord, SignedStatement } from './schema'

export type GivenFile = { name: string; text: string }
export type KnownKey = { publicKey: string; name: string }

/** From best to worst; of several the worst is said by the exit code. */
export const verdicts = ['valid', 'key-unknown', 'not-a-record', 'broken-chain', 'changed'] as const
export type Verdict = (typeof verdicts)[number]

export type FileVerdict = { name: string; verdict: Verdict; lines: string[] }
/** `faults`: what does not follow. `notes`: which record stands in for which, and as of when a statement speaks. Every string is one line of plain characters. */
export type Verification = { verdict: Verdict; files: FileVerdict[]; faults: string[]; notes: string[] }

const aboutRecord = ({ record }: SignedRecord): string => {
  const serial = record.item.serialNumber === '' ? 'no serial number' : `serial number ${record.item.serialNumber}`
  return `record ${record.number}, ${record.board.name} revision ${record.board.revision}, ${serial}: ${record.outcome.verdict.replace('-', ' ')}, issued ${record.dates.issued}`
}

const aboutStatement = ({ statement }: SignedStatement): string =>
  `statement of job ${statement.job}: ${statement.count} ${statement.count === 1 ? 'record' : 'records'}, ${statement.first} to ${statement.last}, made ${statement.at}`

const about = (file: SignedFile): string => ('record' in file ? aboutRecord(file) : aboutStatement(file))

const whose = (file: SignedFile, keys: readonly KnownKey[]): { known: boolean; words: string } => {
  const found = keys.find(({ publicKey }) => publicKey === file.seal.publicKey)
  return found === undefined
    ? { known: false, words: `the signature fits its content, key unknown (${keyInWords(file.seal.publicKey)})` }
    : { known: true, words: `signed with the key of ${found.name}` }
}

/** A sound copy of what a changed file was: by its number, else by the run it is of. */
const copyOf = (changed: Extract<Judged, { is: 'changed' }>, copies: readonly SignedRecord[]): SignedRecord | null => {
  const text = JSON.stringify(changed.value ?? null)
  return copies.find(({ record }) => record.number === changed.number) ?? copies.find(({ record }) => text.includes(record.run.id)) ?? null
}

const verdictOf = (judged: Judged, keys: readonly KnownKey[], copies: readonly SignedRecord[]): { verdict: Verdict; lines: string[] } => {
  switch (judged.is) {
    case 'unknown': return { verdict: 'not-a-record', lines: [`not a record. ${judged.because}`] }
    case 'changed': {
      const copy = copyOf(judged, copies)
      const named = copy === null || judged.value === null ? [] : againstCopy(judged.value, copy)
      const head = `CHANGED since it was signed${judged.number === null ? '' : `, record ${judged.number}`}.`
      return { verdict: 'changed', lines: [head, ...(named.length > 0 ? [`Beside the copy of ${copy?.record.number ?? ''} that is as it was signed:`, ...named] : judged.what)] }
    }
    case 'record': case 'statement': {
      const key = whose(judged.file, keys)
      return { verdict: key.known ? 'valid' : 'key-unknown', lines: [
        `${key.known ? 'valid' : 'unchanged'}, ${key.words}: ${about(judged.file)}.${'record' in judged.file ? ` ${claimOfRecord(judged.file.record)}` : ''}`,
        ...(judged.rewritten === true ? ['Its text was written anew (order of names, escapes or a byte order mark); its content is what was signed.'] : []),
      ] }
    }
  }
}

const worst = (all: readonly Verdict[]): Verdict => verdicts[Math.max(0, ...all.map((each) => verdicts.indexOf(each)))] ?? 'changed'

/** @param copies records from the shop's own store, to name what differs; those among them that are not sound are not looked at. */
export const verify = (given: readonly GivenFile[], keys: readonly KnownKey[], checks: Checks, copies: readonly SignedRecord[] = [], parse?: (text: string) => unknown): Verification => {
  const judged = given.map(({ name, text }) => ({ name, all: judgeText(text, checks, parse) }))
  const records = judged.flatMap(({ all }) => all.flatMap((each) => (each.is === 'record' ? [each.file] : [])))
  const statements = judged.flatMap(({ all }) => all.flatMap((each) => (each.is === 'statement' ? [each.file] : [])))
  const files = judged.flatMap(({ name, all }) => all.map((each, index): FileVerdict =>
    ({ name: all.length === 1 ? name : `${name} [${index + 1}]`, ...verdictOf(each, keys, [...records, ...copies]) })))
  const order = judged.flatMap(({ name, all }) => orderFaults(all.flatMap((each) => (each.is === 'record' ? [each.file] : []))).map((fault) => `${name}: ${fault}`))
  const known = (publicKey: string): boolean => keys.some((key) => key.publicKey === publicKey)
  const [signers, corrections] = [judgeSigners(records, statements, known), judgeCorrections(records, known)]
  const faults = [...order, ...judgeChain(records, statements), ...signers.faults, ...corrections.faults]
  return {
    verdict: worst([...files.map(({ verdict }) => verdict), ...(faults.length > 0 ? ['broken-chain' as const] : [])]),
    files: files.map(({ name, verdict, lines }) => ({ name: escaped(name), verdict, lines: lines.map(escaped) })),
    faults: faults.map(escaped), notes: [...corrections.notes, ...signers.notes, ...statementNotes(records, statements)].map(escaped),
  }
}
