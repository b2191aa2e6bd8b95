/** The shop's signing key as a screen keeps it: backed up, restored elsewhere, and no passphrase left behind. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { commands } from '../../../src-core/contract'
import { createKeyKeeping } from '../../../src-main/service/record/key-keeping'
import { shopSigner } from '../../../src-main/service/record/shop-key'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { openDataFolder } from '../../bench-tools/opened'

const later = closeAfterEach()
const passphrase = 'otter lamp brass winter'

const keeping = () => {
  const dataFolder = openDataFolder(later)
  const offered: string[] = []
  const made = createKeyKeeping({ dataFolder, cost: { N: 2 ** 12, r: 8, p: 1 }, now: () => new Date('2026-03-14T15:00:00Z'), assets: { offer: ({ name, bytes }) => { offered.push(bytes.toString('utf8')); return `/exports/x/${name}` } } })
  return { dataFolder, offered, ...made }
}

describe('the signing key on a screen', () => {
  it('is told, backed up under a passphrase, and restored in another data folder; the passphrase is in no file', async () => {
    const [here, there] = [keeping(), keeping()]
    expect(await here['signing-key']({})).toEqual({ key: null, problem: null })
    await expect(here['back-up-key']({ passphrase })).rejects.toThrow(/made with the first record/)
    const { publicKey } = shopSigner(here.dataFolder, 'Willow Lane Board Repair')
    expect(await here['signing-key']({})).toEqual({ key: { publicKey, name: 'Willow Lane Board Repair' }, problem: null })
    await expect(here['back-up-key']({ passphrase: 'short' })).rejects.toThrow(/too short/)
    expect(commands['back-up-key'].output.parse(await here['back-up-key']({ passphrase })).name).toBe(`probewright_key-backup_${publicKey.slice(0, 16)}.json`)
    const [backup = ''] = here.offered

    await expect(there['restore-key']({ backup, passphrase: 'otter lamp brass summer', replace: false })).rejects.toThrow('The passphrase is wrong, or the file was changed. Nothing was restored.')
    expect(await there['signing-key']({})).toEqual({ key: null, problem: null })
    await expect(there['restore-key']({ backup: '{}', passphrase, replace: false })).rejects.toThrow(/no backup of a key: its parts/)
    await expect(there['restore-key']({ backup: backup.slice(0, 90), passphrase, replace: false })).rejects.toThrow(/it is not JSON/)
    expect(await there['restore-key']({ backup, passphrase, replace: false })).toEqual({ is: 'restored', publicKey, name: 'Willow Lane Board Repair' })
    expect(shopSigner(there.dataFolder, 'another name').publicKey).toBe(publicKey)
    const written = [here, there].flatMap(({ dataFolder }) => readdirSync(dataFolder, { recursive: true, withFileTypes: true }).filter((each) => each.isFile()).map((each) => readFileSync(join(each.parentPath, each.name), 'latin1')))
    expect(written.length).toBeGreaterThanOrEqual(4)
    expect([...written, backup].join('\n')).not.toContain(passphrase)
  })

  it('is set aside for another only when that was agreed to', async () => {
    const [here, there] = [keeping(), keeping()]
    const old = shopSigner(there.dataFolder, 'Fen Repairs').publicKey
    const { publicKey } = shopSigner(here.dataFolder, 'Willow Lane Board Repair')
    await here['back-up-key']({ passphrase })
    const asked = { backup: here.offered[0] ?? '', passphrase }
    expect(await there['restore-key']({ ...asked, replace: false })).toEqual({ is: 'asks', present: old, backup: publicKey })
    expect(await there['signing-key']({})).toMatchObject({ key: { publicKey: old } })
    expect(await there['restore-key']({ ...asked, replace: true })).toMatchObject({ is: 'restored', publicKey })
    expect(readdirSync(join(there.dataFolder, 'keys'))).toContain(`record-key-${old.slice(0, 16)}.pem`)
  })
})
