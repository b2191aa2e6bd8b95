/** `backup-key`, `restore-key` and `public-key`: the shop's signing key, kept safe and made known. */
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import { escaped } from '../../src-core/quantity/printable'
import { keyInWords } from '../../src-core/record/key-in-words'
import { backUpKey, restoredKey, type KeyBackup } from '../service/record/key-backup'
import { backupFrom, keyOwner, keyPresent } from '../service/record/key-keeping'
import { keepShopKey, readShopKey } from '../service/record/shop-key'
import { publicHexOf } from '../service/record/signatures'
import { usualDataFolder } from '../start/data-folder'
import { createAsking } from './passphrase'
import { Refused, type Surroundings } from './surroundings'

export const keysUsage = [
  '  backup-key FILE [--data FOLDER]',
  '      Writes the shop\'s signing key into FILE, encrypted under a passphrase that it asks for twice.',
  '  restore-key FILE [--data FOLDER] [--replace]',
  '      Puts a key from its backup into a data folder. --replace sets another key that is there aside.',
  '  public-key [--data FOLDER]',
  '      Prints the public key, as a file for those who receive the shop\'s records.',
]

type Asked = { file: string | undefined; dataFolder: string; replace: boolean }

const readArgs = (command: string, args: readonly string[], { calledFrom }: Surroundings): Asked => {
  try {
    const { values, positionals } = parseArgs({ args: [...args], allowPositionals: true, options: { data: { type: 'string' }, replace: { type: 'boolean' } } })
    if (positionals.length > 1) throw new Error(`${command} takes one file.`)
    return { file: positionals[0] === undefined ? undefined : resolve(calledFrom, positionals[0]), dataFolder: values.data === undefined ? usualDataFolder() : resolve(calledFrom, values.data), replace: values.replace === true }
  } catch (error) {
    throw new Refused(`${error instanceof Error ? error.message : String(error)}\n${keysUsage.join('\n')}`)
  }
}

const needed = (command: string, file: string | undefined): string => {
  if (file === undefined) throw new Refused(`${command} needs a file.\n${keysUsage.join('\n')}`)
  return file
}

const shopKey = (dataFolder: string): NonNullable<ReturnType<typeof readShopKey>> => {
  let key: ReturnType<typeof readShopKey>
  try {
    key = readShopKey(dataFolder)
  } catch (error) {
    throw new Refused(error instanceof Error ? error.message : String(error))
  }
  if (key === null) throw new Refused(`There is no signing key in ${dataFolder}: it is made with the first record. Name another data folder with --data.`)
  return key
}

export const backupKeyCommand = async (args: readonly string[], surroundings: Surroundings): Promise<number> => {
  const { file: named, dataFolder } = readArgs('backup-key', args, surroundings)
  const file = needed('backup-key', named)
  if (existsSync(file)) throw new Refused(`${file} exists already. It is not written over: name another file.`)
  const folder = dirname(file)
  if (!existsSync(folder) || !statSync(folder).isDirectory()) throw new Refused(`There is no folder ${folder}. Make it, or name a file in another one.`)
  const key = shopKey(dataFolder)
  const asking = createAsking(surroundings)
  try {
    const passphrase = await asking.ask('Passphrase for the backup:')
    if (await asking.ask('The same once more:') !== passphrase) throw new Refused('The two passphrases differ. Nothing was written.')
    const backup = await backUpKey(key, keyOwner(dataFolder, publicHexOf(key)), passphrase, new Date().toISOString()).catch((error: Error) => { throw new Refused(error.message) })
    try {
      writeFileSync(file, `${JSON.stringify(backup, null, 2)}\n`, { mode: 0o600, flag: 'wx' })
    } catch (error) {
      throw new Refused(`${file} could not be written (${error instanceof Error ? error.message : String(error)}). Nothing was backed up: name another file.`)
    }
    surroundings.print(`${file}: the key ${keyInWords(backup.publicKey)}, under the passphrase. Without the passphrase nobody can use it, and nobody can restore it.`)
    return 0
  } finally {
    asking.close()
  }
}

const backupIn = (file: string): KeyBackup => {
  if (!existsSync(file)) throw new Refused(`There is no file ${file}. Correct the name or the folder.`)
  try {
    return backupFrom(readFileSync(file, 'utf8'))
  } catch (error) {
    throw new Refused(`${file} is no backup of a key: ${error instanceof Error ? error.message : String(error)}. Nothing was restored.`)
  }
}

export const restoreKeyCommand = async (args: readonly string[], surroundings: Surroundings): Promise<number> => {
  const { file: named, dataFolder, replace } = readArgs('restore-key', args, surroundings)
  const file = needed('restore-key', named)
  const backup = backupIn(file)
  const { publicKey: there, problem } = keyPresent(dataFolder)
  if (problem !== null) surroundings.complain(`The key that is there cannot be read and is set aside: ${problem}`)
  if (there !== null && there !== backup.publicKey && !replace) {
    throw new Refused(`Another key signs the records of ${dataFolder}: ${keyInWords(there)}. With --replace it is set aside (not deleted), and ${keyInWords(backup.publicKey)} signs from then on.`)
  }
  const asking = createAsking(surroundings)
  try {
    const key = await restoredKey(backup, await asking.ask('Passphrase of the backup:')).catch((error: Error) => { throw new Refused(error.message) })
    keepShopKey(dataFolder, key, backup.name)
    surroundings.print(escaped(`Restored into ${dataFolder}: the key ${keyInWords(backup.publicKey)} of ${backup.name}.`))
    return 0
  } finally {
    asking.close()
  }
}

export const publicKeyCommand = (args: readonly string[], surroundings: Surroundings): number => {
  const { dataFolder } = readArgs('public-key', args, surroundings)
  const publicKey = publicHexOf(shopKey(dataFolder))
  surroundings.print(JSON.stringify({ schema: 'probewright/public-key/1', algorithm: 'Ed25519', publicKey, name: keyOwner(dataFolder, publicKey) }, null, 2))
  return 0
}
