/** Signed records, made from invented runs as the service makes them, without a service: for tests of what a record says and of `verify`. */
import { createPrivateKey } from 'node:crypto'
import { seededRandom } from '../../src-core/circuit/seeded-random'
import type { BoardType } from '../../src-core/board/board-type'
import type { Meter } from '../../src-core/meter/instrument'
import { placeBehind, recordOfRun, type RecordSources } from '../../src-core/record/from-run'
import { testRecordContent, type SignedRecord, type SignedStatement, type TestRecordContent } from '../../src-core/record/schema'
import { sealRecord, sealStatement } from '../../src-core/record/seal'
import { statementOf } from '../../src-core/record/export'
import type { RecordSheet } from '../../src-core/record/sheet'
import type { RunEvent } from '../../src-core/run/event'
import { rebuild } from '../../src-core/run/state'
import { sha256, signerOf } from '../../src-main/service/record/signatures'
import { madeMeter, madeRun, productsMade } from './made-runs'

/** The secret key of RFC 8032, 7.1, test 1: known to all, and of no shop. */
export const testKey = createPrivateKey({ key: Buffer.from('302e020100300506032b6570042204209d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60', 'hex'), format: 'der', type: 'pkcs8' })
export const otherKey = createPrivateKey({ key: Buffer.from('302e020100300506032b6570042204204ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb', 'hex'), format: 'der', type: 'pkcs8' })

export const chainId = '3f9a2c11-6d2e-4c53-9b1f-0a6be0d15c77'

export const filledSheet: RecordSheet = {
  issuer: 'Willow Lane Board Repair, 4 Willow Lane, Harrowby', place: 'Bench 2, Harrowby', technician: 'A. Finch', authorisedBy: 'M. Okafor', customer: 'Greenhouse Co-operative',
  job: 'GC-2207', conditionAsReceived: 'Dusty, J1 corroded, one relay missing', received: '2026-03-12', celsius: 22.5, relativeHumidityPercent: 41,
}

export const judgedTraceable: Pick<RecordSources, 'meters' | 'identity' | 'checks' | 'traceable' | 'underReview'> = {
  meters: [], identity: 'confirmed', checks: [], traceable: () => ({ traceable: true }), underReview: false,
}

const board = (): { board: BoardType; sha256: string } => {
  const [product] = productsMade
  if (product === undefined) throw new Error('there is no product')
  return product
}

/** A board of few steps, so that every byte of its record can be changed in a test. */
export const shortened = (steps: number): { board: BoardType; sha256: string } => {
  const whole = board()
  return { ...whole, board: { ...whole.board, sequence: { ...whole.board.sequence, steps: whole.board.sequence.steps.slice(0, steps).map((step) => ({ ...step, then: [] })) } } }
}

/** A sequence of exactly so many steps, the sample's own again and again. */
export const lengthened = (steps: number): { board: BoardType; sha256: string } => {
  const whole = board()
  const own = whole.board.sequence.steps
  return { ...whole, board: { ...whole.board, sequence: { ...whole.board.sequence, steps: Array.from({ length: steps }, (_, k) => {
    const step = own[k % own.length]
    if (step === undefined) throw new Error('the sample has no steps')
    return { ...step, id: `${step.id}-${k}`, then: [] }
  }) } } }
}

type Wish = { of?: { board: BoardType; sha256: string }; seed?: number; sheet?: Partial<RecordSheet>; meter?: Meter | null; verdict?: 'pass' | 'fail' | 'incomplete' }

export const runMade = ({ of = board(), seed = 7, meter = madeMeter, verdict = 'pass' }: Wish = {}): RunEvent[] => {
  const id = `11111111-2222-4333-8444-${String(seed).padStart(12, '0')}`
  return madeRun({ of, run: id, session: '66666666-7777-4888-9999-aaaaaaaaaaaa', startedMs: Date.UTC(2026, 2, 14, 8, seed), serialNumber: `VD-${String(seed).padStart(6, '0')}`, verdict, random: seededRandom(seed), meter })
}

export const sourcesMade = (wish: Wish = {}, place: Partial<RecordSources> = {}): RecordSources => ({
  ...judgedTraceable, state: rebuild(runMade(wish)), board: (wish.of ?? board()).board, pictureSha256s: [], sheet: { ...filledSheet, ...wish.sheet },
  place: placeBehind(chainId, null, null, (wish.sheet?.job ?? filledSheet.job) !== '', null), issuedUtc: '2026-03-14T15:00:00.000Z', offsetAt: () => 60, version: '0.1.0', sha256, ...place,
})

export const sealedRecord = (content: TestRecordContent, key = testKey): SignedRecord => sealRecord(testRecordContent.parse(content), signerOf(key), sha256)

/** One record behind the other, as one shop issues them. */
export const chainMade = (wishes: readonly (Wish & { replaces?: { number: string; because: string } })[], chain = chainId): SignedRecord[] => wishes.reduce<SignedRecord[]>((made, wish, index) => {
  const last = made.at(-1)
  const sheet = { ...filledSheet, ...wish.sheet }
  const inJob = made.filter(({ record }) => record.job === sheet.job && record.customer === sheet.customer)
  const lastInJob = inJob.at(-1)
  const old = wish.replaces === undefined ? undefined : made.find(({ record }) => record.number === wish.replaces?.number)
  const place = placeBehind(
    chain, last === undefined ? null : { number: last.record.number, sha256: last.seal.sha256, sequence: last.record.chain.sequence },
    lastInJob === undefined ? null : { position: inJob.length, link: { number: lastInJob.record.number, sha256: lastInJob.seal.sha256 } }, sheet.job !== '',
    old === undefined || wish.replaces === undefined ? null : { number: old.record.number, sha256: old.seal.sha256, because: wish.replaces.because },
  )
  return [...made, sealedRecord(recordOfRun(sourcesMade({ of: shortened(2), seed: index + 1, ...wish }, { place })))]
}, [])

/** The statement that ends the export of these records' job. */
export const statementMade = (records: readonly SignedRecord[], key = testKey): SignedStatement => {
  const last = records.at(-1)
  if (last === undefined) throw new Error('a job has a record')
  const links = records.map(({ record, seal }) => ({ number: record.number, sha256: seal.sha256 }))
  return sealStatement(statementOf(last.record, links, '2026-03-14T16:30:00.000+01:00'), signerOf(key), sha256)
}
