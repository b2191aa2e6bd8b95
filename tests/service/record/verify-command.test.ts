/** `verify` on files: a record, a PDF with its record inside, keys by file, and what is neither; an exit code for each. */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { createPublicKey } from 'node:crypto'
import { PDFDocument } from '@cantoo/pdf-lib'
import { describe, expect, it } from 'vitest'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { chainMade, otherKey, statementMade, testKey } from '../../bench-tools/made-records'
import { openDataFolder } from '../../bench-tools/opened'
import { commandLine } from '../cli/surroundings'
import { fileText } from '../../../src-core/record/seal'
import { printRecords } from '../../../src-main/service/record/print-records'
import { verifyCommand } from '../../../src-main/cli/verify'

const later = closeAfterEach()

const folderWith = (): { write: (name: string, content: string | Uint8Array) => string; run: (...args: string[]) => Promise<{ code: number; text: string }> } => {
  const folder = openDataFolder(later)
  return {
    write: (name, content) => {
      writeFileSync(join(folder, name), content)
      return join(folder, name)
    },
    run: async (...args) => {
      const line = commandLine(folder)
      return { code: await verifyCommand([...args, '--data', folder], line), text: line.printed.join('\n') }
    },
  }
}

const withAttached = async (files: Record<string, string>): Promise<Uint8Array> => {
  const document = await PDFDocument.create()
  document.addPage()
  for (const [name, text] of Object.entries(files)) await document.attach(Buffer.from(text, 'utf8'), name, { mimeType: 'application/json' })
  return document.save()
}

describe('verify', () => {
  it('tells whose key it is by --key, in PEM too; another key is not the shop’s', async () => {
    const { write, run } = folderWith()
    write('a.json', fileText(chainMade([{}])[0] ?? []))
    write('own.pem', createPublicKey(testKey).export({ type: 'spki', format: 'pem' }).toString())
    write('other.pem', createPublicKey(otherKey).export({ type: 'spki', format: 'pem' }).toString())
    expect(await run('a.json', '--key', 'own.pem')).toMatchObject({ code: 0, text: expect.stringContaining('valid, signed with the key of own.pem') as string })
    expect((await run('a.json', '--key', 'other.pem')).code).toBe(4)
    expect((await run('a.json', '--key', 'other.pem', '--key', 'own.pem')).code).toBe(0)
    await expect(run('a.json', '--key', 'a.json')).rejects.toThrow(/holds no public key/)
    await expect(run('none.json')).rejects.toThrow(/There is no file none.json/)
    await expect(run()).rejects.toThrow(/verify needs a file/)
  })

  it('says of a table that it carries no signature, and which files do', async () => {
    const { write, run } = folderWith()
    write('record.csv', '\ufeff"number","step"\r\n"A-1","r1"\r\n')
    expect(await run('record.csv')).toEqual({ code: 5, text: 'record.csv: not a record. A table (CSV) carries no signature and cannot be verified. Verify the record as JSON or PDF.' })
  })

  it('reads the record inside a PDF, and says of a PDF without one that it is none', async () => {
    const { write, run } = folderWith()
    const [record] = chainMade([{}])
    if (record === undefined) throw new Error('no record')
    write('record.pdf', await withAttached({ 'record.json': fileText(record) }))
    write('changed.pdf', await withAttached({ 'record.json': fileText(record).replace('Dusty', 'Clean') }))
    write('none.pdf', await withAttached({}))
    write('two.pdf', await withAttached({ 'a.json': '{}', 'b.json': '{}' }))
    write('torn.pdf', '%PDF-1.7 and nothing more')
    expect(await run('record.pdf')).toMatchObject({ code: 6, text: expect.stringContaining(record.record.number) as string })
    expect(await run('changed.pdf')).toMatchObject({ code: 1, text: expect.stringContaining('/item is not as it was signed.') as string })
    expect(await run('none.pdf')).toMatchObject({ code: 5, text: expect.stringContaining('No record is attached to this PDF') as string })
    expect((await run('two.pdf')).text).toContain('Several JSON files are attached')
    expect((await run('torn.pdf')).code).toBe(5)
    // The worst of several is said.
    expect((await run('record.pdf', 'none.pdf', 'changed.pdf')).code).toBe(1)
  })

  it('never calls a PDF good whose pages it did not compare with the record inside, whatever key signed that', async () => {
    const { write, run } = folderWith()
    write('own.pem', createPublicKey(testKey).export({ type: 'spki', format: 'pem' }).toString())
    const [failed] = chainMade([{ verdict: 'fail' }])
    if (failed === undefined) throw new Error('no record')
    const text = fileText(failed)
    // A page of another program, which may say PASS, over the signed record of a fail.
    const forged = await PDFDocument.create()
    forged.addPage().drawText('PASS')
    await forged.attach(Buffer.from(text, 'utf8'), 'record.json', { mimeType: 'application/json' })
    write('forged.pdf', await forged.save())
    const { code, text: said } = await run('forged.pdf', '--key', 'own.pem')
    expect(code).toBe(6)
    expect(said).toMatch(/^forged\.pdf: ITS PAGES WERE NOT COMPARED [^\n]+\nforged\.pdf: the record inside: valid, .+: fail, /)
    const printed = await printRecords({ text, as: 'pdf', paper: 'a4', budgets: false, picturesIn: [] })
    write('printed.pdf', printed)
    expect(await run('printed.pdf', '--key', 'own.pem')).toMatchObject({ code: 0, text: expect.stringMatching(/^printed\.pdf: Its pages are the print/) as string })
    // Its mark put out of sight, byte for byte in the same place.
    write('unmarked.pdf', Buffer.from(printed.toString('latin1').replace('/Keywords', '/Keyw0rds'), 'latin1'))
    expect((await run('unmarked.pdf', '--key', 'own.pem')).code).toBe(6)
    expect((await run('unmarked.pdf', 'printed.pdf', '--key', 'own.pem')).code).toBe(6)
    write('none.json', '{}')
    expect((await run('unmarked.pdf', 'none.json', '--key', 'own.pem')).code).toBe(5)
  })

  it('asks for another file where one cannot be read, rather than fail', async () => {
    const { write, run } = folderWith()
    write('a.json', fileText(chainMade([{}])[0] ?? []))
    await expect(run('a.json', '--key', '.')).rejects.toThrow('There is no key file .. Correct the name or the folder.')
    await expect(run('.')).rejects.toThrow(/There is no file \./)
  })

  it('finds bytes that are no text, and a missing record by the statement', async () => {
    const { write, run } = folderWith()
    const records = chainMade([{}, {}])
    const bytes = readFileSync(write('a.json', fileText(records[0] ?? [])))
    bytes[bytes.indexOf('Dusty')] = 0xff
    write('torn.json', bytes)
    expect(await run('torn.json')).toMatchObject({ code: 1, text: expect.stringContaining('it holds bytes that are no UTF-8.') as string })
    write('statement.json', fileText(statementMade(records)))
    expect(await run('a.json', 'statement.json')).toMatchObject({ code: 3, text: expect.stringContaining('BROKEN CHAIN: 3F9A2C11-000002 is missing: it is the last of job GC-2207, as its statement says.') as string })
  })
})
