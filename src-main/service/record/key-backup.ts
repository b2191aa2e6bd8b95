/**
 * The backup of a signing key under a passphrase: a JSON file, `probewright/key-backup/1`. The key that encrypts comes from the passphrase
 * by scrypt (RFC 7914); the PKCS #8 bytes of the signing key are encrypted by AES-256-GCM (NIST SP 800-38D), with the canonical form of all
 * else in the file as additional data: nothing in it can be changed unnoticed.
 */
import { createCipheriv, createDecipheriv, createPrivateKey, randomBytes, scrypt, type KeyObject } from 'node:crypto'
import { z } from 'zod'
import { canonical } from '../../../src-core/record/canonical'
import { publicHexOf } from './signatures'

const hex = (bytes: number) => z.string().regex(new RegExp(`^[0-9a-f]{${bytes * 2}}$`))

export const keyBackup = z.strictObject({
  schema: z.literal('probewright/key-backup/1'), name: z.string().max(300), made: z.iso.datetime(), publicKey: hex(32),
  /** N, r and p as in RFC 7914. Bounds: a file must not ask for more memory than a machine has. */
  scrypt: z.strictObject({ N: z.number().int().min(2 ** 10).max(2 ** 20).refine((n) => Number.isInteger(Math.log2(n)), 'must be a power of two'), r: z.number().int().min(1).max(16), p: z.number().int().min(1).max(4), salt: hex(16) }),
  aes256gcm: z.strictObject({ nonce: hex(12), tag: hex(16), text: z.string().regex(/^([0-9a-f]{2}){16,512}$/) }),
})
export type KeyBackup = z.infer<typeof keyBackup>

export const leastPassphrase = 12

/** 128 MB and about half a second for each guess (OWASP's password storage advice for scrypt, from memory). */
const usualCost = { N: 2 ** 17, r: 8, p: 1 }

export type Cost = { N: number; r: number; p: number }

const derived = (passphrase: string, salt: Buffer, { N, r, p }: Cost): Promise<Buffer> => new Promise((resolve, reject) => {
  // scrypt needs 128 · N · r bytes; twice that leaves room for its own.
  scrypt(passphrase.normalize('NFC'), salt, 32, { N, r, p, maxmem: 256 * N * r }, (error, key) => { if (error === null) resolve(key); else reject(error) })
})

const additional = ({ schema, name, made, publicKey, scrypt: cost }: Omit<KeyBackup, 'aes256gcm'>): Buffer =>
  Buffer.from(canonical({ schema, name, made, publicKey, scrypt: cost }), 'utf8')

/** @param name whose key it is. @param made UTC. @throws Error for a passphrase that is too short. */
export const backUpKey = async (key: KeyObject, name: string, passphrase: string, made: string, cost: Cost = usualCost): Promise<KeyBackup> => {
  if (passphrase.length < leastPassphrase) throw new Error(`The passphrase is too short: at least ${leastPassphrase} characters. Several words that do not belong together are good.`)
  const [salt, nonce] = [randomBytes(16), randomBytes(12)]
  const head = { schema: 'probewright/key-backup/1' as const, name, made, publicKey: publicHexOf(key), scrypt: { ...cost, salt: salt.toString('hex') } }
  const cipher = createCipheriv('aes-256-gcm', await derived(passphrase, salt, cost), nonce)
  cipher.setAAD(additional(head))
  const text = Buffer.concat([cipher.update(key.export({ type: 'pkcs8', format: 'der' })), cipher.final()])
  return { ...head, aes256gcm: { nonce: nonce.toString('hex'), tag: cipher.getAuthTag().toString('hex'), text: text.toString('hex') } }
}

/** @throws Error in plain words for a wrong passphrase or a file that was changed: which of the two cannot be told. */
export const restoredKey = async (backup: KeyBackup, passphrase: string): Promise<KeyObject> => {
  const { nonce, tag, text } = backup.aes256gcm
  const cipher = createDecipheriv('aes-256-gcm', await derived(passphrase, Buffer.from(backup.scrypt.salt, 'hex'), backup.scrypt), Buffer.from(nonce, 'hex'))
  cipher.setAAD(additional(backup))
  cipher.setAuthTag(Buffer.from(tag, 'hex'))
  let der: Buffer
  try {
    der = Buffer.concat([cipher.update(Buffer.from(text, 'hex')), cipher.final()])
  } catch (error) {
    throw new Error('The passphrase is wrong, or the file was changed. Nothing was restored.', { cause: error })
  }
  const key = createPrivateKey({ key: der, format: 'der', type: 'pkcs8' })
  if (publicHexOf(key) !== backup.publicKey) throw new Error('The backup holds another key than it says. Nothing was restored.')
  return key
}
