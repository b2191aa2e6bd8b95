/** Judges one file: whether its content is as it was signed, and where it is not. Hashing and signatures are passed in. */
import { shapeProblems } from '../board/shape-problems'
import { canonicalOfParsed, isWrittenAs } from './canonical'
import { differences } from './differences'
import { jobStatementSchema, recordSchema, recordSchemaName, statementSchemaName, type SignedFile, type SignedRecord, type SignedStatement } from './schema'
import { surelyFits } from './quick-shape'
import { ambiguityIn } from './json-text'
import { partHashes, signedForm, type Sha256, type SignatureFits } from './seal'

export type Checks = { sha256: Sha256; fits: SignatureFits }

export type Judged =
  /** `asIssued`: its text is the signed one, byte for byte. `rewritten`: same content, other order of names, other escapes, or a byte order mark. */
  | { is: 'record'; file: SignedRecord; asIssued: boolean; rewritten?: true }
  | { is: 'statement'; file: SignedStatement; rewritten?: true }
  /** `what`: where it differs from what was signed, in sentences. `value`: what it reads as. */
  | { is: 'changed'; number: string | null; what: string[]; value: unknown }
  /** Neither a record nor a statement, or of a version that is not known here. */
  | { is: 'unknown'; because: string }

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null && !Array.isArray(value)

const numberIn = (value: unknown): string | null => {
  const content = isObject(value) ? value.record : undefined
  return isObject(content) && typeof content.number === 'string' ? content.number : null
}

const changed = (value: unknown, what: string[]): Judged => ({ is: 'changed', number: numberIn(value), what, value })

/** The step behind "/steps/3", as people know it. */
const partInWords = (file: SignedFile, pointer: string): string => {
  const [, name, index] = pointer.split('/')
  const content: Record<string, unknown> = 'record' in file ? file.record : file.statement
  const part = content[name ?? '']
  const entry: unknown = Array.isArray(part) ? part[Number(index)] : null
  const title = isObject(entry) ? entry.title ?? entry.name ?? entry.id : null
  return typeof title === 'string' ? `${pointer} (${title})` : pointer
}

/** The parts whose hash is not the one that was signed with them. */
const changedParts = (file: SignedFile, sha256: Sha256): string[] => {
  const now = partHashes('record' in file ? file.record : file.statement, sha256)
  const then = file.seal.parts
  return [...new Set([...Object.keys(now), ...Object.keys(then)])].flatMap((pointer) => {
    if (!Object.hasOwn(now, pointer)) return [`${pointer} is missing.`]
    if (!Object.hasOwn(then, pointer)) return [`${partInWords(file, pointer)} was added.`]
    return now[pointer] === then[pointer] ? [] : [`${partInWords(file, pointer)} is not as it was signed.`]
  })
}

/**
 * Hash and signature are the last names of the seal, and the seal of a record its last part: cut away from a file as it was issued, they
 * leave the signed form, byte for byte, in pieces. Null where the text does not end so.
 */
const cutAway = (file: SignedFile, text: string): readonly string[] | null => {
  const tail = `,"sha256":"${file.seal.sha256}","signature":"${file.seal.signature}"}}`
  const whole = text.trimEnd()
  return 'record' in file && whole.endsWith(tail) ? [whole.slice(0, -tail.length), '}}'] : null
}

/** @param text of this file alone; null where it is one of a list. */
const judgeSigned = (file: SignedFile, { sha256, fits }: Checks, text: string | null): Judged => {
  const { publicKey, signature } = file.seal
  const asIssued = text === null ? null : cutAway(file, text)
  if (asIssued !== null && 'record' in file && fits(publicKey, asIssued, signature) && sha256(asIssued) === file.seal.sha256) return { is: 'record', file, asIssued: true }
  const form = signedForm(file, canonicalOfParsed)
  const hashFits = sha256(form) === file.seal.sha256
  if (fits(publicKey, form, signature)) {
    if (!hashFits) return changed(file, ['The hash in the seal is not that of the content: seal.sha256 was changed.'])
    return 'record' in file ? { is: 'record', file, asIssued: false } : { is: 'statement', file }
  }
  const parts = changedParts(file, sha256)
  if (parts.length > 0) return changed(file, parts)
  return changed(file, [hashFits
    ? 'The content fits its hash, but not its signature: seal.signature was changed, or another key signed it.'
    : 'Every part fits its own hash, but the whole does not: the seal was changed.'])
}

const recordFits = surelyFits(recordSchema)

/** What speaks against the shape of a record or a statement, in sentences. */
const shapeProblemsOf = (value: unknown, schema: typeof recordSchemaName | typeof statementSchemaName): string[] => {
  if (schema === recordSchemaName && recordFits(value)) return []
  const parsed = (schema === recordSchemaName ? recordSchema : jobStatementSchema).safeParse(value)
  return parsed.success ? [] : shapeProblems(parsed.error, value).slice(0, 5).map(({ field, message }) => `${field} ${message}.`)
}

/** One record or statement, as read from JSON. @param text of it alone; null where it is one of a list. */
const judgeValue = (value: unknown, checks: Checks, text: string | null): Judged => {
  const schema = isObject(value) ? value.schema : undefined
  if (schema !== recordSchemaName && schema !== statementSchemaName) {
    const is = typeof schema === 'string' ? `it says schema "${schema}"` : 'it names no schema'
    return { is: 'unknown', because: `This is neither a test record nor a job statement that this version knows: ${is}.` }
  }
  const problems = shapeProblemsOf(value, schema)
  if (problems.length > 0) return changed(value, problems)
  try {
    // The value itself, its names in the order of the file: the schema refuses, and changes nothing.
    return judgeSigned(value as SignedFile, checks, text)
  } catch (error) {
    return changed(value, [`It holds what no signed file can hold: ${error instanceof Error ? error.message : String(error)}.`])
  }
}

/** Null for what no canonical form has, such as half a surrogate pair. */
const canonicalOrNull = (value: unknown): string | null => {
  try {
    return canonicalOfParsed(value)
  } catch {
    return null // the judgement on the parts says so in words
  }
}

/** A text that names one of our schemas, or begins as our files do, was one of them, whatever became of it: the schema's name stands near the end. */
const wasOurs = (text: string): boolean => text.includes(recordSchemaName) || text.includes(statementSchemaName) || /^\s*\[?\{"(record|statement)":\{/.test(text)

const byteOrderMark = '\ufeff'

/** Sound by its content, but not the text that was issued: laid out anew, or such that another program may read it otherwise. */
const asWritten = (judged: Judged, ambiguity: string | null): Judged => {
  if (!('file' in judged)) return judged
  return ambiguity === null ? { ...judged, rewritten: true }
    : changed(judged.file, [`As this program reads it, it fits its signature; but ${ambiguity}, and another program may read it otherwise.`])
}

/** @param parse reads JSON; its error says where the text is not JSON. */
export const judgeText = (given: string, checks: Checks, parse: (text: string) => unknown = JSON.parse): Judged[] => {
  const marked = given.startsWith(byteOrderMark)
  const text = marked ? given.slice(byteOrderMark.length) : given
  let value: unknown
  try {
    value = parse(text)
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    return [wasOurs(text) ? changed(null, [`It is not JSON any more: ${why}`]) : { is: 'unknown', because: `This is no record: ${why}` }]
  }
  if (Array.isArray(value) && value.length === 0) return [{ is: 'unknown', because: 'This list holds no record.' }]
  const list = Array.isArray(value)
  const judged = (list ? value as unknown[] : [value]).map((each: unknown) => judgeValue(each, checks, list ? null : text))
  if (!marked && judged.every((each) => each.is === 'record' && each.asIssued)) return judged
  const sound = judged.every(({ is }) => is === 'record' || is === 'statement')
  const whole = sound ? canonicalOrNull(value) : null
  if (!sound || (!marked && whole !== null && isWrittenAs(text, whole))) return judged
  const ambiguity = ambiguityIn(text)
  return judged.map((each) => asWritten(each, ambiguity))
}

/** What differs from a copy that is as it was signed, field by field. */
export const againstCopy = (value: unknown, copy: SignedRecord): string[] => differences(copy, value)
