/** Seals a record or a statement: hash of each part, hash of the whole, signature. Hashing and signing are passed in. */
import { canonical } from './canonical'
import { recordSchemaName, statementSchemaName, type JobStatementContent, type Seal, type SignedFile, type SignedRecord, type SignedStatement, type TestRecordContent } from './schema'

/** A text, or its pieces in order: joining long ones costs more than hashing them. */
export type TextOrPieces = string | readonly string[]
/** SHA-256 of the UTF-8 bytes of a text, lower-case hex. */
export type Sha256 = (text: TextOrPieces) => string
/** Ed25519 (RFC 8032); keys and signatures in lower-case hex, over the UTF-8 bytes of a text. */
export type Signer = { publicKey: string; sign: (text: string) => string }
export type SignatureFits = (publicKey: string, text: TextOrPieces, signature: string) => boolean

/** JSON Pointer (RFC 6901) of a top-level name. */
const pointer = (name: string): string => `/${name.replaceAll('~', '~0').replaceAll('/', '~1')}`

/** Every part of a content that bears a hash of its own: each name, and each entry of a list of objects. */
export const partsOf = (content: object): [pointer: string, part: unknown][] => Object.entries(content).flatMap(([name, part]): [string, unknown][] => {
  if (part === undefined) return []
  const list = Array.isArray(part) && part.some((each) => typeof each === 'object')
  return list ? part.map((each, index): [string, unknown] => [`${pointer(name)}/${index}`, each]) : [[pointer(name), part]]
})

export const partHashes = (content: object, sha256: Sha256): Record<string, string> =>
  Object.fromEntries(partsOf(content).map(([name, part]) => [name, sha256(canonical(part))]))

/** What is hashed and signed: the file without its hash and its signature, in canonical form. */
export const signedForm = (file: Omit<SignedFile, 'seal'> & { seal: Pick<Seal, 'algorithm' | 'canonicalForm' | 'publicKey' | 'parts'> }, write = canonical): string => {
  const { algorithm, canonicalForm, publicKey, parts } = file.seal
  return write({ ...file, seal: { algorithm, canonicalForm, parts, publicKey } })
}

const sealed = (unsealed: Omit<SignedFile, 'seal'>, content: object, signer: Signer, sha256: Sha256): Seal => {
  const begun = { algorithm: 'Ed25519' as const, canonicalForm: 'RFC 8785' as const, publicKey: signer.publicKey, parts: partHashes(content, sha256) }
  const form = signedForm({ ...unsealed, seal: begun })
  return { ...begun, sha256: sha256(form), signature: signer.sign(form) }
}

export const sealRecord = (record: TestRecordContent, signer: Signer, sha256: Sha256): SignedRecord => {
  const file = { schema: recordSchemaName, record } as const
  return { ...file, seal: sealed(file, record, signer, sha256) }
}

export const sealStatement = (statement: JobStatementContent, signer: Signer, sha256: Sha256): SignedStatement => {
  const file = { schema: statementSchemaName, statement } as const
  return { ...file, seal: sealed(file, statement, signer, sha256) }
}

/** As it is stored and handed out: canonical, with a line feed at its end. */
export const fileText = (file: SignedFile | readonly SignedFile[]): string => `${canonical(file)}\n`
