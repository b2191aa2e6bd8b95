/** What records and statements say of one another beyond their order: who signed, what stands in for what, and as of when a statement speaks. */
import { keyInWords } from './key-in-words'
import type { SignedFile, SignedRecord, SignedStatement } from './schema'

/** `faults` speak against what was given; `notes` are to be known. */
export type Remarks = { faults: string[]; notes: string[] }
export type KeyIsKnown = (publicKey: string) => boolean

const once = ({ faults, notes }: Remarks): Remarks => ({ faults: [...new Set(faults)], notes: [...new Set(notes)] })

/** Two keys of one shop, where both are known to be its own. */
const ofOneShop = (a: SignedFile, b: SignedFile, known: KeyIsKnown): boolean =>
  a.seal.publicKey === b.seal.publicKey || (known(a.seal.publicKey) && known(b.seal.publicKey))

const chainOf = (file: SignedFile): string => ('record' in file ? file.record.chain.id : file.statement.chain)
const nameOf = (file: SignedFile): string => ('record' in file ? file.record.number : `the statement of job ${file.statement.job}`)

/** One shop signs its chain and the statements about it with one key. Another in its place is a fault, unless both are known to be the shop's. */
export const judgeSigners = (records: readonly SignedRecord[], statements: readonly SignedStatement[], known: KeyIsKnown): Remarks => {
  const remarks: Remarks = { faults: [], notes: [] }
  const tell = (before: SignedFile | undefined, file: SignedFile): void => {
    if (before === undefined || before.seal.publicKey === file.seal.publicKey) return
    const words = `${nameOf(file)} is signed with another key (${keyInWords(file.seal.publicKey)}) than ${nameOf(before)} (${keyInWords(before.seal.publicKey)})`
    const said = `${words.charAt(0).toUpperCase()}${words.slice(1)}`
    if (ofOneShop(before, file, known)) remarks.notes.push(`${said}; both keys are known.`)
    else remarks.faults.push(`${said}: ask the issuer whether its key was changed.`)
  }
  const inOrder = [...records].sort((a, b) => a.record.chain.sequence - b.record.chain.sequence)
  const last = new Map<string, SignedRecord>()
  for (const file of inOrder) {
    tell(last.get(chainOf(file)), file)
    last.set(chainOf(file), file)
  }
  for (const file of statements) tell(inOrder.findLast((each) => chainOf(each) === chainOf(file) && file.statement.records.some(({ number }) => number === each.record.number)), file)
  return once(remarks)
}

const correctionFault = (later: SignedRecord, earlier: SignedRecord, known: KeyIsKnown): string | null => {
  const { number, replaces, chain } = later.record
  const named = `${number} says that it stands in for ${earlier.record.number}, but`
  if (earlier.record.chain.id !== chain.id) return `${named} that is a record of another chain.`
  if (!ofOneShop(earlier, later, known)) return `${named} another key signed it.`
  if (replaces?.sha256 !== earlier.seal.sha256) return `${named} the record of that number here is not the one it names: its hash is another.`
  return earlier.record.chain.sequence < chain.sequence ? null : `${named} that one was issued later.`
}

/**
 * Corrections among the given records. A note says which stands in for which; where the record of that number is here and is not the one
 * that is named, it is a fault instead.
 */
export const judgeCorrections = (records: readonly SignedRecord[], known: KeyIsKnown): Remarks => {
  const remarks: Remarks = { faults: [], notes: [] }
  for (const later of records) {
    const { number, replaces, chain } = later.record
    if (replaces === null) continue
    const earlier = records.filter(({ record }) => record.number === replaces.number)
    const against = earlier.map((each) => correctionFault(later, each, known)).filter((each) => each !== null)
    const rivals = records.filter(({ record }) => record.replaces?.number === replaces.number && record.number !== number && record.chain.id === chain.id)
    if (rivals.length > 0) remarks.faults.push(`${[number, ...rivals.map(({ record }) => record.number)].sort().join(' and ')} both say that they stand in for ${replaces.number}: a record has one successor.`)
    if (against.length > 0 && against.length === earlier.length) remarks.faults.push(...against)
    else if (earlier.length === 0) remarks.notes.push(`${number} says that it stands in for ${replaces.number}, which is not among these files: ${replaces.because}`)
    else remarks.notes.push(`${replaces.number} was replaced by ${number}: ${replaces.because}`)
  }
  return once(remarks)
}

/** A statement speaks of its own moment: a last record that was issued since, and dropped, does not show in it. */
export const statementNotes = (records: readonly SignedRecord[], statements: readonly SignedStatement[]): string[] => statements.flatMap(({ statement }) => {
  const { job, customer, chain, at } = statement
  const outside = records.filter(({ record }) => record.chain.id === chain && record.job === job && record.customer === customer && !statement.records.some(({ number }) => number === record.number))
  const numbers = [...new Set(outside.map(({ record }) => record.number))].sort()
  return [
    `The statement of job ${job} says which records there were as of ${at}, and nothing of later ones.`,
    ...(numbers.length === 0 ? [] : [`Not in that statement: ${numbers.join(', ')}. Whether the job has more, only a newer statement tells.`]),
  ]
})
