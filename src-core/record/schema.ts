/** The test record as it is written, published and signed, version 1. A record that was issued is read for ever: nothing here changes its meaning. */
import { z } from 'zod'
import { recordNumberPattern } from './record-number'
import { recordStep } from './step-schema'
import { day, moment, sha256, words, text, link } from './terms'

/** What was found in the register of a meter when the record was made. */
const certificate = z.strictObject({
  number: words, laboratory: words, accreditation: words, calibrated: day, due: day,
  asFound: words, asLeft: words,
  /** Functions that it has points of. */
  functions: z.array(words),
})

/** A check standard measured with this meter before the run. SI; U at k = 2. */
const standardCheck = z.strictObject({
  at: moment, kind: z.enum(['resistor', 'diode']), label: words, certificateNumber: words, certificateDue: day,
  reference: z.number(), referenceU: z.number(), value: z.union([z.number(), z.enum(['overload', 'negative-overload'])]), U: z.number().nullable(),
  /** Most that value and reference may differ by. */
  limit: z.number(), good: z.boolean(),
  /** “Check resistor A reads 470.1 Ω, should be 470.0 Ω ± 1.9 Ω: good.” */
  words: text,
})

export const recordMeter = z.strictObject({
  /** Of the shop's register, where two meters may bear one name; "read-by-eye" for values that were typed. */
  id: words,
  /** “read by eye” for values that were typed. */
  name: words,
  /** What follows is null or empty where the run does not know it, as of a meter read by eye. */
  kind: words, serialNumber: words, assetNumber: words, description: words.nullable(),
  certificate: certificate.nullable(),
  /** How sure it was which instrument it is, at the start of the run; null: not asked. */
  identity: z.enum(['proven', 'confirmed', 'assumed']).nullable(),
  /** ± (% of reading + counts); `range` null: all ranges of the function. */
  accuracy: z.array(z.strictObject({ function: words, range: z.number().nullable(), percent: z.number(), counts: z.number() })),
  /** The accuracy holds within these; null: not stated. */
  conditions: z.strictObject({ celsiusFrom: z.number(), celsiusTo: z.number(), months: z.number().int() }).nullable(),
  standardChecks: z.array(standardCheck),
  /** Leads joined. What was taken off is told with each value. */
  leadCheck: z.strictObject({ at: moment, ohms: z.number(), U: z.number(), resolution: z.number() }).nullable(),
  diodeCheck: z.strictObject({ at: moment, forwardVolts: z.number() }).nullable(),
  sourceCheck: z.strictObject({ at: moment, volts: z.number() }).nullable(),
  /** Of its figures of the item that stand: claimed where it is for each of them. `because`: why not. `functions`: those in which every one is. */
  traceable: z.strictObject({ claimed: z.boolean(), because: text, functions: z.array(words) }),
})
export type RecordMeter = z.infer<typeof recordMeter>

/** `sha256`: null where the picture was not kept. */
const boardPicture = z.strictObject({ id: words, sha256: sha256.nullable(), width: z.number(), height: z.number() })

export const testRecordContent = z.strictObject({
  /** Unique: its first part names the shop's chain of records, its second counts them. */
  number: z.string().regex(recordNumberPattern),
  chain: z.strictObject({
    id: z.uuid(), sequence: z.number().int().positive(),
    /** The record before this one; null for the first. */
    previous: link.nullable(),
    /** The same within the job, so that a customer who has only the job's records sees that none is missing between two. */
    inJob: z.strictObject({ position: z.number().int().positive(), previous: link.nullable() }).nullable(),
  }),
  /** Null, or the record that this one stands in for. */
  replaces: z.strictObject({ ...link.shape, because: text }).nullable(),
  /** Who issues it: name and address of the shop. */
  issuer: text, place: text, technician: words, authorisedBy: words,
  customer: words.nullable(), job: words.nullable(),
  item: z.strictObject({ serialNumber: words, conditionAsReceived: text }),
  dates: z.strictObject({
    /** The day at the place of the test, as people remember it; null: not stated. */
    received: day.nullable(),
    /** From the first event to the last. */
    tested: z.strictObject({ from: moment, to: moment }), issued: moment,
  }),
  environment: z.strictObject({ celsius: z.number().nullable(), relativeHumidityPercent: z.number().nullable() }),
  board: z.strictObject({
    id: words, name: words, revision: words,
    /** Of the board file, byte for byte. */
    sha256,
    hazard: z.enum(['extra-low', 'hazardous']),
    /** The first of the board file. */
    picture: boardPicture.nullable(),
    /** Of the others those that a placement lies on, in the board file's order; left out: none. */
    otherPictures: z.array(boardPicture).min(1).optional(),
  }),
  /** `sha256`: of the sequence in canonical form (RFC 8785). */
  sequence: z.strictObject({ id: words, version: z.number().int(), sha256 }),
  /** Of a run behind a repair; left out: the run follows none. */
  follows: z.strictObject({
    /** The run of the same item before it. */
    run: z.uuid(), purpose: z.enum(['affected', 'whole', 'prove']),
    /** Ids of the steps of the board file's sequence that were asked for, of so many. */
    steps: z.array(words), of: z.number().int().positive(),
    /** “the anode of D4 lifted”; empty: the board was whole. */
    found: z.array(words), words: text,
  }).optional(),
  /** `sha256`: of the events this record was made from, each in canonical form, with a line feed after each. */
  run: z.strictObject({ id: z.uuid(), events: z.number().int().positive(), sha256 }),
  /** In the order their values came. */
  meters: z.array(recordMeter),
  benchKit: z.strictObject({ knownDiode: text, knownSource: text, knownResistor: text.nullable() }),
  /** Of the whole record: claimed only where each figure of the item that stands is traceable. */
  traceable: z.strictObject({ claimed: z.boolean(), because: text }),
  rule: z.strictObject({ kind: words, r: z.number().nullable(), words: text }),
  /** How the board was shown to be de-energised: the steps of the preparation that say so, and when the proof lapsed. */
  deEnergised: z.strictObject({
    proven: z.boolean(), words: text, steps: z.array(words),
    lapsed: z.array(z.strictObject({ at: moment, because: text })),
    /** In these steps the board was supplied, as the sequence asks. */
    poweredSteps: z.array(words),
  }),
  /** Preparation first, then the sequence in its order. */
  steps: z.array(recordStep),
  outcome: z.strictObject({ verdict: z.enum(['pass', 'fail', 'beyond-repair', 'incomplete']), because: text }),
  cautions: z.array(z.strictObject({ step: words, words: text,
    /** Null: it was shown, and no key of its own acknowledges it. */
    acknowledged: moment.nullable() })),
  notes: z.array(z.strictObject({ at: moment, step: words.nullable(), words: text })),
  repairs: z.array(z.strictObject({ part: words, what: text, at: moment.nullable(), by: words.nullable() })).optional(),
  notJudged: z.array(z.strictObject({ step: words, because: text })).optional(),
  /** What the app inferred from the values. It was not measured. */
  opinion: z.array(z.strictObject({ about: words, words: text })),
  software: z.strictObject({ name: z.literal('Probewright'), version: words }),
  scope: z.literal('This record relates only to the item tested.'),
})
export type TestRecordContent = z.infer<typeof testRecordContent>

/** What makes it the shop's own. The signature and `sha256` are over the canonical form (RFC 8785) of the file without these two. */
export const seal = z.strictObject({
  algorithm: z.literal('Ed25519'), canonicalForm: z.literal('RFC 8785'),
  publicKey: z.string().regex(/^[0-9a-f]{64}$/),
  /** SHA-256 of the canonical form of each part of the content, so that of a changed file the changed part can be named. */
  parts: z.record(z.string(), sha256),
  sha256,
  signature: z.string().regex(/^[0-9a-f]{128}$/),
})
export type Seal = z.infer<typeof seal>

export const recordSchemaName = 'probewright/test-record/1'
export const recordSchema = z.strictObject({ schema: z.literal(recordSchemaName), record: testRecordContent, seal })
export type SignedRecord = z.infer<typeof recordSchema>

/** Ends the export of a job: which records there are, so that a missing last one shows. */
export const jobStatementContent = z.strictObject({
  chain: z.uuid(), issuer: text, customer: words.nullable(), job: words, at: moment,
  first: link.shape.number, last: link.shape.number, count: z.number().int().positive(), lastSha256: sha256,
  /** Every record of the job so far, in order. */
  records: z.array(link).min(1),
})
export const statementSchemaName = 'probewright/job-statement/1'
export const jobStatementSchema = z.strictObject({ schema: z.literal(statementSchemaName), statement: jobStatementContent, seal })
export type JobStatementContent = z.infer<typeof jobStatementContent>
export type SignedStatement = z.infer<typeof jobStatementSchema>
export type SignedFile = SignedRecord | SignedStatement
