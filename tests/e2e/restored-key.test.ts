/** A signing key brought back from its backup on screen: which key it was is said there. */
import { generateKeyPairSync } from 'node:crypto'
import { describe, expect, it } from 'vitest'
import { keyInWords } from '../../src-core/record/key-in-words'
import { backUpKey } from '../../src-main/service/record/key-backup'
import { publicHexOf } from '../../src-main/service/record/signatures'
import { closeAfterEach } from '../bench-tools/close-after-each'
import { openBench } from '../bench-tools/opened'
import { chromiumIsHere } from '../bench-tools/real-browser'

const later = closeAfterEach()

describe.skipIf(!chromiumIsHere)('a restored key', () => {
  it('is named with whose it is, until something else is typed', async () => {
    const { privateKey } = generateKeyPairSync('ed25519')
    const passphrase = 'otter lamp brass winter'
    const backup = await backUpKey(privateKey, 'Willow Lane Board Repair', passphrase, '2026-03-14T15:00:00.000Z')
    const { app, browser } = await openBench(later)
    const page = await browser.page(app.address)
    await page.getByRole('button', { name: 'Sound and keys' }).click()
    await page.getByTestId('restore-file').setInputFiles({ name: 'backup.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(backup)) })
    await page.getByTestId('restore-passphrase').fill(passphrase)
    await page.getByRole('button', { name: 'Restore', exact: true }).click()
    const words = page.getByTestId('restored-words')
    await words.waitFor()
    expect(await words.textContent()).toBe(`Restored: the key ${keyInWords(publicHexOf(privateKey))} of Willow Lane Board Repair. It signs from now on.`)
    await page.getByTestId('restore-passphrase').fill('x')
    expect(await words.count()).toBe(0)
  })
})
