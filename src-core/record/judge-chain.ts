/** Judges how records that are sound by themselves follow one another: none missing between two, none in another's place, and with a job's statement none at the end. */
import { numberFits } from './record-number'
import type { SignedRecord, SignedStatement } from './schema'
import type { RecordLink } from './terms'

/** What does not follow, a sentence each. */
export type ChainFaults = string[]

const linkOf = ({ record, seal }: SignedRecord): RecordLink => ({ number: record.number, sha256: seal.sha256 })
const same = (a: RecordLink | null, b: RecordLink): boolean => a !== null && a.number === b.number && a.sha256 === b.sha256
const bySequence = (a: SignedRecord, b: SignedRecord): number => a.record.chain.sequence - b.record.chain.sequence

const grouped = <T>(all: readonly T[], by: (each: T) => string): T[][] => {
  const groups = new Map<string, T[]>()
  for (const each of all) groups.set(by(each), [...(groups.get(by(each)) ?? []), each])
  return [...groups.values()]
}

const pairs = <T>(all: readonly T[]): [T, T][] => all.slice(1).flatMap((later, index): [T, T][] => {
  const earlier = all[index]
  return earlier === undefined ? [] : [[earlier, later]]
})

/** The records of one chain without those that were given twice; two that bear one number are a fault. */
const distinct = (records: readonly SignedRecord[]): { records: SignedRecord[]; faults: ChainFaults } => {
  const faults: ChainFaults = []
  const kept: SignedRecord[] = []
  for (const each of [...records].sort(bySequence)) {
    const twin = kept.find(({ record }) => record.chain.sequence === each.record.chain.sequence)
    if (twin === undefined) kept.push(each)
    else if (twin.seal.sha256 !== each.seal.sha256) faults.push(`Two different records bear the number ${each.record.number}.`)
  }
  return { records: kept, faults }
}

const otherBefore = (earlier: SignedRecord, later: SignedRecord, previous: RecordLink | null): string =>
  `${later.record.number} follows ${previous === null ? 'no record' : `${previous.number} with the hash ${previous.sha256.slice(0, 12)}…`}, not this ${earlier.record.number} with the hash ${earlier.seal.sha256.slice(0, 12)}…: one of them is not the record it was.`

const missingBetween = (count: number, earlier: SignedRecord, later: SignedRecord, last: string): string => (count === 1
  ? `${last} is missing between ${earlier.record.number} and ${later.record.number}.`
  : `${count} records are missing between ${earlier.record.number} and ${later.record.number}, the last of them ${last}.`)

/** In the shop's own order. Numbers between two records of jobs may be other customers': the job's own order tells there. */
const faultsInShop = (records: readonly SignedRecord[]): ChainFaults => pairs(records).flatMap(([earlier, later]) => {
  const { chain } = later.record
  const gap = chain.sequence - earlier.record.chain.sequence - 1
  if (gap === 0) return same(chain.previous, linkOf(earlier)) ? [] : [otherBefore(earlier, later, chain.previous)]
  if (chain.inJob !== null && earlier.record.chain.inJob !== null) return []
  return [missingBetween(gap, earlier, later, chain.previous?.number ?? 'one')]
})

const faultsInJob = (records: readonly SignedRecord[]): ChainFaults => pairs(records).flatMap(([earlier, later]) => {
  const [before, after] = [earlier.record.chain.inJob, later.record.chain.inJob]
  // Neighbours in the shop are told there.
  if (before === null || after === null || later.record.chain.sequence === earlier.record.chain.sequence + 1) return []
  const gap = after.position - before.position - 1
  if (gap > 0) return [missingBetween(gap, earlier, later, after.previous?.number ?? 'one')]
  return gap === 0 && same(after.previous, linkOf(earlier)) ? [] : [otherBefore(earlier, later, after.previous)]
})

/** A number says which chain, and which place in it. */
const faultsInNumbers = (records: readonly SignedRecord[]): ChainFaults => records.flatMap(({ record }) => (numberFits(record.number, record.chain) ? []
  : [`${record.number} is not the number of record ${record.chain.sequence} of chain ${record.chain.id}: number and place contradict each other.`]))

const jobOf = ({ record }: SignedRecord): string => JSON.stringify([record.customer, record.job])

const faultsOfStatement = ({ statement }: SignedStatement, given: readonly SignedRecord[]): ChainFaults => {
  const own = given.filter(({ record }) => record.chain.id === statement.chain)
  const last = statement.records.at(-1)
  const coherent = statement.records.length === statement.count && statement.records[0]?.number === statement.first && last?.number === statement.last && last.sha256 === statement.lastSha256
  return [
    ...(coherent ? [] : [`The statement of job ${statement.job} contradicts itself: its list of records is not what its first and last number, its count and its last hash say.`]),
    ...statement.records.flatMap((link) => {
      const found = own.find(({ record }) => record.number === link.number)
      const which = `record ${statement.records.indexOf(link) + 1} of ${statement.count}`
      if (found === undefined) return [`${link.number} is missing: it is ${link.number === statement.last ? 'the last' : which} of job ${statement.job}, as its statement says.`]
      return found.seal.sha256 === link.sha256 ? [] : [`${link.number} is not the record that the statement of job ${statement.job} names: its hash is another.`]
    }),
  ]
}

/** @param records sound by themselves, in any order. */
export const judgeChain = (records: readonly SignedRecord[], statements: readonly SignedStatement[]): ChainFaults => [
  ...grouped(records, ({ record }) => record.chain.id).flatMap((chain) => {
    const { records: own, faults } = distinct(chain)
    return [...faults, ...faultsInNumbers(own), ...faultsInShop(own), ...grouped(own.filter(({ record }) => record.job !== null), jobOf).flatMap(faultsInJob)]
  }),
  ...statements.flatMap((each) => faultsOfStatement(each, records)),
].filter((fault, index, all) => all.indexOf(fault) === index)

/** The records of one file stand in the order of their numbers. @param records as the file has them. */
export const orderFaults = (records: readonly SignedRecord[]): ChainFaults => pairs(records).flatMap(([earlier, later]) =>
  (earlier.record.chain.id === later.record.chain.id && bySequence(earlier, later) > 0 ? [`${later.record.number} stands behind ${earlier.record.number}: the order was changed.`] : []))
