/** Backs the shop's signing key up and restores it, for a screen and for the command line alike. */
import { keyBackup, backUpKey, restoredKey, type Cost, type KeyBackup } from './key-backup'
import { keepShopKey, knownKeys, readShopKey } from './shop-key'
import { publicHexOf } from './signatures'
import type { keyCommands } from '../../../src-core/record/key-commands'
import type { Assets } from '../assets'
import { Refusal, type Handlers } from '../dispatcher'

export const keyOwner = (dataFolder: string, publicKey: string): string => knownKeys(dataFolder).keys.find((each) => each.publicKey === publicKey)?.name ?? 'this shop'

/** @throws Error that says what of the text is no backup; it ends without a full stop. */
export const backupFrom = (text: string): KeyBackup => {
  try {
    return keyBackup.parse(JSON.parse(text))
  } catch (error) {
    throw new Error(error instanceof SyntaxError ? 'it is not JSON' : 'its parts are not those of probewright/key-backup/1', { cause: error })
  }
}

/** A key that cannot be read does not keep its own backup out. */
export const keyPresent = (dataFolder: string): { publicKey: string | null; problem: string | null } => {
  try {
    const key = readShopKey(dataFolder)
    return { publicKey: key === null ? null : publicHexOf(key), problem: null }
  } catch (error) {
    return { publicKey: null, problem: error instanceof Error ? error.message : String(error) }
  }
}

const inWords = async <T>(work: () => T | Promise<T>): Promise<T> => {
  try {
    return await work()
  } catch (error) {
    throw error instanceof Refusal ? error : new Refusal(error instanceof Error ? error.message : String(error), { cause: error })
  }
}

type Surroundings = { dataFolder: string; assets: Pick<Assets, 'offer'>; now: () => Date; /** Of each guess at the passphrase; the usual one unless said. */ cost?: Cost }

export const createKeyKeeping = ({ dataFolder, assets, now, cost }: Surroundings): Pick<Handlers, keyof typeof keyCommands> => ({
  'signing-key': () => {
    const { publicKey, problem } = keyPresent(dataFolder)
    return { key: publicKey === null ? null : { publicKey, name: keyOwner(dataFolder, publicKey) }, problem }
  },
  'back-up-key': ({ passphrase }) => inWords(async () => {
    const key = readShopKey(dataFolder)
    if (key === null) throw new Refusal('There is no signing key yet: it is made with the first record. Nothing was backed up.')
    const publicKey = publicHexOf(key)
    const backup = await backUpKey(key, keyOwner(dataFolder, publicKey), passphrase, now().toISOString(), cost)
    const name = `probewright_key-backup_${publicKey.slice(0, 16)}.json`
    const path = assets.offer({ name, type: 'application/json', bytes: Buffer.from(`${JSON.stringify(backup, null, 2)}\n`, 'utf8') })
    if (path === null) throw new Refusal('Exports that nobody has fetched leave no room for the backup. Try again in five minutes.')
    return { path, name }
  }),
  'restore-key': ({ backup: text, passphrase, replace }) => inWords(async () => {
    const backup = await inWords(() => backupFrom(text)).catch((error: Error) => { throw new Refusal(`This file is no backup of a key: ${error.message}. Nothing was restored.`) })
    const { publicKey: present } = keyPresent(dataFolder)
    if (present !== null && present !== backup.publicKey && !replace) return { is: 'asks' as const, present, backup: backup.publicKey }
    keepShopKey(dataFolder, await restoredKey(backup, passphrase), backup.name)
    return { is: 'restored' as const, publicKey: backup.publicKey, name: backup.name }
  }),
})
