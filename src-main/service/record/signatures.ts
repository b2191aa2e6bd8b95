/** SHA-256 and Ed25519 (RFC 8032) by node:crypto, in the hex that records write. */
import { createHash, createPrivateKey, createPublicKey, sign, verify, type KeyObject } from 'node:crypto'
import type { Checks } from '../../../src-core/record/judge-file'
import type { Sha256, SignatureFits, Signer, TextOrPieces } from '../../../src-core/record/seal'

const bytesOfPieces = new WeakMap<readonly string[], Buffer>()

/** Pieces are hashed and checked one after the other: their bytes are made once. */
const bytesOf = (text: TextOrPieces): Buffer => {
  if (typeof text === 'string') return Buffer.from(text, 'utf8')
  const bytes = bytesOfPieces.get(text) ?? Buffer.concat(text.map((piece) => Buffer.from(piece, 'utf8')))
  bytesOfPieces.set(text, bytes)
  return bytes
}

export const sha256: Sha256 = (text) => createHash('sha256').update(bytesOf(text)).digest('hex')

/** @throws Error when the hex is no point of the curve's encoding length. */
export const publicKeyFrom = (hex: string): KeyObject =>
  createPublicKey({ key: { kty: 'OKP', crv: 'Ed25519', x: Buffer.from(hex, 'hex').toString('base64url') }, format: 'jwk' })

/** The 32 bytes of a public key, hex. @throws Error when it is no Ed25519 key. */
export const publicHexOf = (key: KeyObject): string => {
  const publicKey = key.type === 'private' ? createPublicKey(key) : key
  const { crv, x } = publicKey.export({ format: 'jwk' })
  if (crv !== 'Ed25519' || x === undefined) throw new Error('This is not an Ed25519 key.')
  return Buffer.from(x, 'base64url').toString('hex')
}

export const signerOf = (key: KeyObject): Signer => ({
  publicKey: publicHexOf(key),
  sign: (text) => sign(null, Buffer.from(text, 'utf8'), key).toString('hex'),
})

/** @param pem PKCS #8. @throws Error when it holds no Ed25519 private key. */
export const privateKeyFrom = (pem: string): KeyObject => {
  const key = createPrivateKey(pem)
  publicHexOf(key)
  return key
}

const keysHeld = 16

/** A key read once serves for many records. */
const signatureFits = (): SignatureFits => {
  const held = new Map<string, KeyObject>()
  const keyOf = (hex: string): KeyObject => {
    const key = held.get(hex) ?? publicKeyFrom(hex)
    held.set(hex, key)
    for (const old of [...held.keys()].slice(0, -keysHeld)) held.delete(old)
    return key
  }
  return (publicKey, text, signature) => verify(null, bytesOf(text), keyOf(publicKey), Buffer.from(signature, 'hex'))
}

export const checks: Checks = { sha256, fits: signatureFits() }
