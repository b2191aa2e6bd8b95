/**
 * RFC 8032 (Ed25519), 7.1, tests 1 to 3: secret key, public key, message, signature. From memory of the RFC; node's own Ed25519 makes each
 * public key from its secret key and each signature from both, so a digit remembered wrongly would not fit.
 */
import { createPrivateKey, sign, verify } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { publicHexOf, publicKeyFrom } from '../../src-main/service/record/signatures'

const vectors = [
  {
    secret: '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60', message: '',
    publicKey: 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    signature: 'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  },
  {
    secret: '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb', message: '72',
    publicKey: '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    signature: '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  },
  {
    secret: 'c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7', message: 'af82',
    publicKey: 'fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025',
    signature: '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
  },
]

/** PKCS #8 for Ed25519 (RFC 8410, 7): a fixed head before the 32 bytes. */
const privateKey = (secret: string) => createPrivateKey({ key: Buffer.from(`302e020100300506032b657004220420${secret}`, 'hex'), format: 'der', type: 'pkcs8' })

describe('RFC 8032, 7.1', () => {
  it.each(vectors)('signs and verifies test $#', ({ secret, publicKey, message, signature }) => {
    const key = privateKey(secret)
    expect(publicHexOf(key)).toBe(publicKey)
    expect(sign(null, Buffer.from(message, 'hex'), key).toString('hex')).toBe(signature)
    expect(verify(null, Buffer.from(message, 'hex'), publicKeyFrom(publicKey), Buffer.from(signature, 'hex'))).toBe(true)
    expect(verify(null, Buffer.from(`${message}00`, 'hex'), publicKeyFrom(publicKey), Buffer.from(signature, 'hex'))).toBe(false)
  })
})
