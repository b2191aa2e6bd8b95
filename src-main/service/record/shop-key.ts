/** The shop's signing key: made at first use, kept in the data folder for its owner only, never part of an export; and the list of keys the shop knows. */
import { generateKeyPairSync, type KeyObject } from 'node:crypto'
import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { z } from 'zod'
import type { KnownKey } from '../../../src-core/record/verify'
import { privateKeyFrom, publicHexOf, signerOf } from './signatures'
import type { Signer } from '../../../src-core/record/seal'

/** A public key with a name, as it is handed to those who receive records. */
export const publicKeyFile = z.strictObject({
  schema: z.literal('probewright/public-key/1'), algorithm: z.literal('Ed25519'),
  publicKey: z.string().regex(/^[0-9a-f]{64}$/), name: z.string().min(1).max(300),
})

const keyFolder = (dataFolder: string): string => join(dataFolder, 'keys')
const privateFile = (dataFolder: string): string => join(keyFolder(dataFolder), 'record-key.pem')
/** The first digits are enough to tell keys apart in a folder. */
const publicFile = (dataFolder: string, publicKey: string): string => join(keyFolder(dataFolder), `${publicKey.slice(0, 16)}.json`)

const restoreWords = 'Restore it from its backup on “Sound and keys”, or by: npm run -s cli -- restore-key FILE'

const words = (error: unknown): string => (error instanceof Error ? error.message : String(error))

/** Whole or not at all. */
const write = (file: string, text: string, mode: number): void => {
  writeFileSync(`${file}.part`, text, { mode })
  // An unfinished file of before keeps its own mode.
  chmodSync(`${file}.part`, mode)
  renameSync(`${file}.part`, file)
}

const writePublic = (dataFolder: string, publicKey: string, name: string): void =>
  write(publicFile(dataFolder, publicKey), `${JSON.stringify({ schema: 'probewright/public-key/1', algorithm: 'Ed25519', publicKey, name }, null, 2)}\n`, 0o644)

/** Null: no record was ever signed here. @throws Error in plain words when the file is there and cannot be used. */
export const readShopKey = (dataFolder: string): KeyObject | null => {
  const file = privateFile(dataFolder)
  if (!existsSync(file)) return null
  try {
    return privateKeyFrom(readFileSync(file, 'utf8'))
  } catch (error) {
    throw new Error(`The shop's signing key ${file} cannot be used (${words(error)}). Nothing was signed. ${restoreWords}`, { cause: error })
  }
}

/** The name of the key that is there, of its first digits; one that cannot be read has none. */
const keyName = (dataFolder: string): string => {
  try {
    const key = readShopKey(dataFolder)
    return key === null ? '' : publicHexOf(key).slice(0, 16)
  } catch {
    // It is set aside as it is; whoever restores a key was told that this one cannot be read.
    return 'unreadable'
  }
}

/** A file that does not exist yet. */
const free = (folder: string, name: string, number = 1): string => {
  const file = join(folder, `${name}${number === 1 ? '' : `-${number}`}.pem`)
  return existsSync(file) ? free(folder, name, number + 1) : file
}

/** Keeps a key as the shop's own; another that was there is set aside under its own name, never deleted. */
export const keepShopKey = (dataFolder: string, key: KeyObject, name: string): void => {
  const folder = keyFolder(dataFolder)
  mkdirSync(folder, { recursive: true, mode: 0o700 })
  const publicKey = publicHexOf(key)
  const before = keyName(dataFolder)
  if (before !== '' && before !== publicKey.slice(0, 16)) renameSync(privateFile(dataFolder), free(folder, `record-key-${before}`))
  write(privateFile(dataFolder), key.export({ type: 'pkcs8', format: 'pem' }).toString(), 0o600)
  writePublic(dataFolder, publicKey, name)
}

/** @throws Error in words when there is no key, or it cannot be used. */
export const keptSigner = (dataFolder: string): Signer => {
  const key = readShopKey(dataFolder)
  if (key === null) throw new Error(`The shop’s signing key is gone. Nothing was signed. ${restoreWords}`)
  return signerOf(key)
}

/** Where there is a key, it is not even read. @param name of the shop, for the list of keys where this is its first record. @throws Error when the folder cannot be written. */
export const makeFirstKey = (dataFolder: string, name: string): void => {
  if (!existsSync(privateFile(dataFolder))) keepShopKey(dataFolder, generateKeyPairSync('ed25519').privateKey, name)
}

/** As `makeFirstKey`, and reads it. @throws Error in words when it cannot be used. */
export const shopSigner = (dataFolder: string, name: string): Signer => {
  makeFirstKey(dataFolder, name)
  return keptSigner(dataFolder)
}

export type KeyList = { keys: KnownKey[]; problems: string[] }

/** Every public key in the folder `keys`: the shop's own, and those of others that were put there. */
export const knownKeys = (dataFolder: string): KeyList => {
  const folder = keyFolder(dataFolder)
  if (!existsSync(folder)) return { keys: [], problems: [] }
  const read = readdirSync(folder).filter((name) => name.endsWith('.json')).sort().map((name): { key: KnownKey } | { problem: string } => {
    try {
      const { publicKey, name: owner } = publicKeyFile.parse(JSON.parse(readFileSync(join(folder, name), 'utf8')))
      return { key: { publicKey, name: owner } }
    } catch (error) {
      return { problem: `${join(folder, name)} holds no public key: ${words(error)}` }
    }
  })
  return { keys: read.flatMap((each) => ('key' in each ? [each.key] : [])), problems: read.flatMap((each) => ('problem' in each ? [each.problem] : [])) }
}
