/** The shop's key: made once, for its owner only; its backup opens with its passphrase alone; a key that another replaces is kept. */
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { openDataFolder } from '../../bench-tools/opened'
import { commandLine, type TestLine } from '../cli/surroundings'
import { backupKeyCommand, publicKeyCommand, restoreKeyCommand } from '../../../src-main/cli/keys'
import { backUpKey, restoredKey } from '../../../src-main/service/record/key-backup'
import { knownKeys, readShopKey, shopSigner } from '../../../src-main/service/record/shop-key'
import { publicHexOf } from '../../../src-main/service/record/signatures'
import { testKey } from '../../bench-tools/made-records'

const later = closeAfterEach()
const passphrase = 'walnut kettle forty lanterns'
/** Cheap to open: what is tested is that it opens, and to whom. */
const cheap = { N: 2 ** 10, r: 8, p: 1 }
const made = '2026-03-14T08:00:00.000Z'

const typed = (...lines: string[]): TestLine => {
  const line = commandLine()
  line.input.end(lines.map((each) => `${each}\n`).join(''))
  return line
}

describe('the shop’s key', () => {
  it('is made at its first use, readable by its owner only, and the same from then on', () => {
    const folder = openDataFolder(later)
    expect(readShopKey(folder)).toBeNull()
    const signer = shopSigner(folder, 'Willow Lane')
    expect(statSync(join(folder, 'keys', 'record-key.pem')).mode & 0o777).toBe(0o600)
    expect(shopSigner(folder, 'another name').publicKey).toBe(signer.publicKey)
    expect(knownKeys(folder)).toEqual({ keys: [{ publicKey: signer.publicKey, name: 'Willow Lane' }], problems: [] })
  })

  it('that cannot be read signs nothing, and no other is made in its place', () => {
    const folder = openDataFolder(later)
    shopSigner(folder, 'Willow Lane')
    writeFileSync(join(folder, 'keys', 'record-key.pem'), 'torn')
    expect(() => shopSigner(folder, 'Willow Lane')).toThrow(/cannot be used .* Restore it from its backup/)
    expect(readFileSync(join(folder, 'keys', 'record-key.pem'), 'utf8')).toBe('torn')
  })
})

describe('its backup', () => {
  it('gives the key back to its passphrase only, and to no changed file', async () => {
    const backup = await backUpKey(testKey, 'Willow Lane', passphrase, made, cheap)
    expect(JSON.stringify(backup)).not.toContain('9d61b19deffd5a60')
    expect(publicHexOf(await restoredKey(backup, passphrase))).toBe(publicHexOf(testKey))
    await expect(restoredKey(backup, `${passphrase} `)).rejects.toThrow('The passphrase is wrong, or the file was changed. Nothing was restored.')
    await expect(restoredKey({ ...backup, name: 'Another Lane' }, passphrase)).rejects.toThrow(/passphrase is wrong, or the file was changed/)
    await expect(restoredKey({ ...backup, aes256gcm: { ...backup.aes256gcm, tag: '00'.repeat(16) } }, passphrase)).rejects.toThrow(/passphrase is wrong/)
    await expect(backUpKey(testKey, 'Willow Lane', 'too short', made, cheap)).rejects.toThrow(/at least 12 characters/)
  })

  it('asks for no passphrase where its file could not be written', async () => {
    const folder = openDataFolder(later)
    shopSigner(folder, 'Willow Lane')
    const line = typed(passphrase, passphrase)
    await expect(backupKeyCommand([join(folder, 'none', 'key.json'), '--data', folder], line)).rejects.toThrow(/There is no folder .*none\. Make it, or name a file in another one\./)
    expect(line.complaints).toEqual([])
  })

  it('with a cost that scrypt does not take is no backup, and says so', async () => {
    const folder = openDataFolder(later)
    const backup = await backUpKey(testKey, 'Willow Lane', passphrase, made, cheap)
    writeFileSync(join(folder, 'key.json'), JSON.stringify({ ...backup, scrypt: { ...backup.scrypt, N: 1025 } }))
    await expect(restoreKeyCommand([join(folder, 'key.json'), '--data', folder], typed(passphrase))).rejects.toThrow(/is no backup of a key: its parts are not those of probewright\/key-backup\/1/)
  })

  it('is written and restored by the command line, with the passphrase asked for', async () => {
    const [folder, other, out] = [openDataFolder(later), openDataFolder(later), openDataFolder(later)]
    const file = join(out, 'key.json')
    const { publicKey } = shopSigner(folder, 'Willow Lane')
    await expect(backupKeyCommand([file, '--data', other], typed())).rejects.toThrow(/There is no signing key/)
    await expect(backupKeyCommand([file, '--data', folder], typed(passphrase, 'something else'))).rejects.toThrow(/differ. Nothing was written/)
    await expect(backupKeyCommand([file, '--data', folder], typed(passphrase))).rejects.toThrow(/No passphrase was given/)
    expect(await backupKeyCommand([file, '--data', folder], typed(passphrase, passphrase))).toBe(0)
    expect(statSync(file).mode & 0o777).toBe(0o600)
    await expect(backupKeyCommand([file, '--data', folder], typed(passphrase, passphrase))).rejects.toThrow(/not written over/)

    await expect(restoreKeyCommand([file, '--data', other], typed('a wrong passphrase'))).rejects.toThrow(/passphrase is wrong/)
    expect(readShopKey(other)).toBeNull()
    const before = shopSigner(other, 'Other Lane').publicKey
    await expect(restoreKeyCommand([file, '--data', other], typed(passphrase))).rejects.toThrow(/Another key signs the records/)
    expect(await restoreKeyCommand([file, '--data', other, '--replace'], typed(passphrase))).toBe(0)
    expect(shopSigner(other, '').publicKey).toBe(publicKey)
    // The key that was there is set aside, and still known.
    expect(readdirSync(join(other, 'keys')).filter((name) => name.endsWith('.pem'))).toEqual([`record-key-${before.slice(0, 16)}.pem`, 'record-key.pem'])
    expect(knownKeys(other).keys.map(({ name }) => name).sort()).toEqual(['Other Lane', 'Willow Lane'])
    const line = commandLine()
    expect(publicKeyCommand(['--data', other], line)).toBe(0)
    expect(JSON.parse(line.printed.join('\n'))).toMatchObject({ publicKey, name: 'Willow Lane' })
  })
})
