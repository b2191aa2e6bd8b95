/** `export` and `verify` of the command line with PDFs and tables: what they write, what they find changed, and what they refuse. */
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { recordColumns } from '../../../src-core/record/record-table'
import { fileText } from '../../../src-core/record/seal'
import type { TestRecordContent } from '../../../src-core/record/schema'
import { layoutVersion } from '../../../src-main/service/record/pdf/layout-mark'
import { exportCommand } from '../../../src-main/cli/export'
import { verifyCommand } from '../../../src-main/cli/verify'
import { sha256OfBytes } from '../../../src-main/service/record/board-pictures'
import { keepShopKey } from '../../../src-main/service/record/shop-key'
import { closeAfterEach } from '../../bench-tools/close-after-each'
import { fullRecord } from '../../bench-tools/full-record'
import { chainMade, sealedRecord, statementMade, testKey } from '../../bench-tools/made-records'
import { openDataFolder } from '../../bench-tools/opened'
import { pythonIsHere, readByPython } from '../../bench-tools/read-by-python'
import { root } from '../../bench-tools/running-app'
import { commandLine } from '../cli/surroundings'

const later = closeAfterEach()
const samplePicture = join(root, 'fixtures/boards/vent-driver-node/top.svg')
const pictureSha256 = sha256OfBytes(readFileSync(samplePicture))

/** A folder with a record in it, whose shop's key is known there. */
const shop = (content: TestRecordContent = fullRecord(12, { pictureSha256s: [pictureSha256] })) => {
  const folder = openDataFolder(later)
  keepShopKey(folder, testKey, 'Willow Lane Board Repair')
  const file = (name: string): string => join(folder, name)
  writeFileSync(file('record.json'), fileText(sealedRecord(content)))
  const run = async (command: typeof exportCommand, ...args: string[]): Promise<{ code: number; printed: string; complaints: string }> => {
    const line = commandLine(folder)
    const code = await command([...args, '--data', folder], line)
    return { code, printed: line.printed.join('\n'), complaints: line.complaints.join('\n') }
  }
  return {
    file, exported: (...args: string[]) => run(exportCommand, ...args), verified: (...args: string[]) => run(verifyCommand, ...args),
    changed: (from: string, to: string, text: string, by: string): void => {
      const bytes = readFileSync(file(from)).toString('latin1')
      expect(bytes).toContain(text)
      expect(by.length).toBe(text.length)
      writeFileSync(file(to), Buffer.from(bytes.replace(text, by), 'latin1'))
    },
  }
}

describe('the PDF that export writes', () => {
  it('holds the record as it was signed, and verify says that its pages are its print', async () => {
    const { file, exported, verified } = shop()
    expect(await exported('record.json', '--out', 'record.pdf', '--budgets', '--paper', 'letter')).toMatchObject({ code: 0, printed: expect.stringMatching(/^record\.pdf: \d+ bytes$/) as string })
    const { code, printed } = await verified('record.pdf')
    expect(printed).toContain('record.pdf: the record inside: valid, signed with the key of Willow Lane Board Repair: record 3F9A2C11-000001')
    expect(printed).toContain('record.pdf: Its pages are the print of what is inside, byte for byte.')
    expect(code).toBe(0)
    // What is inside comes out again, byte for byte.
    expect((await exported('record.pdf', '--out', 'again.json')).code).toBe(0)
    expect(readFileSync(file('again.json')).equals(readFileSync(file('record.json')))).toBe(true)
  })

  it('of a job holds its records and its statement', async () => {
    const { file, exported, verified } = shop()
    const records = chainMade([{}, {}, {}])
    writeFileSync(file('job.json'), fileText([...records, statementMade(records)]))
    expect((await exported('job.json', '--out', 'job.pdf')).code).toBe(0)
    const { code, printed } = await verified('job.pdf')
    expect(code).toBe(0)
    expect(printed).toContain('job.pdf [4]: valid, signed with the key of Willow Lane Board Repair: statement of job GC-2207: 3 records')
  })

  it('is found changed where the record inside was changed', async () => {
    const { exported, verified, changed } = shop()
    await exported('record.json', '--out', 'record.pdf')
    changed('record.pdf', 'forged.pdf', '"serialNumber":"VD-000007"', '"serialNumber":"VD-000008"')
    const { code, printed } = await verified('forged.pdf')
    expect(code).toBe(1)
    expect(printed).toMatch(/CHANGED since it was signed[\s\S]*\/item is not as it was signed/)
  })

  it('is found changed where only a page or the picture was changed, or something was added behind it', async () => {
    const { file, exported, verified, changed } = shop()
    await exported('record.json', '--out', 'record.pdf')
    // The first text of the first page, in the numbers of its glyphs.
    const [glyphs = ''] = /(?<=\[<)[0-9a-f]{8,}/.exec(readFileSync(file('record.pdf')).toString('latin1')) ?? []
    changed('record.pdf', 'page.pdf', `[<${glyphs}`, `[<${glyphs.slice(0, -4)}${glyphs.endsWith('0001') ? '0002' : '0001'}`)
    changed('record.pdf', 'picture.pdf', '>VENT DRIVER NODE<', '>RENT DRIVER NODE<')
    writeFileSync(file('longer.pdf'), Buffer.concat([readFileSync(file('record.pdf')), Buffer.from('\n% more\n')]))
    for (const name of ['page.pdf', 'picture.pdf', 'longer.pdf']) {
      const { code, printed } = await verified(name)
      expect(printed).toContain(`${name}: ITS PAGES ARE NOT the print of the record inside`)
      expect(code).toBe(1)
    }
    changed('record.pdf', 'other-version.pdf', `(pages ${layoutVersion}; a4; budgets no)`, `(pages ${layoutVersion - 1}; a4; budgets no)`)
    expect(await verified('other-version.pdf')).toMatchObject({ code: 6, printed: expect.stringContaining('ITS PAGES WERE NOT COMPARED') as string })
  })

  it('has the picture that the record names, from the data folder, a file, or the sample boards, and no other', async () => {
    const { file, exported } = shop()
    await exported('record.json', '--out', 'sample.pdf')
    mkdirSync(file('pictures'))
    copyFileSync(samplePicture, file(`pictures/${pictureSha256}.svg`))
    writeFileSync(file('other.svg'), readFileSync(samplePicture, 'utf8').replace('VENT', 'RENT'))
    await exported('record.json', '--out', 'kept.pdf')
    await exported('record.json', '--out', 'given.pdf', '--picture', 'other.svg', '--picture', samplePicture)
    for (const name of ['kept.pdf', 'given.pdf']) expect(readFileSync(file(name)).equals(readFileSync(file('sample.pdf')))).toBe(true)
    expect(readFileSync(file('sample.pdf')).includes('VENT DRIVER NODE')).toBe(true)
  })
})

describe('export', () => {
  it('refuses a record that was changed, and writes nothing', async () => {
    const { file, exported } = shop()
    writeFileSync(file('forged.json'), readFileSync(file('record.json'), 'utf8').replace('"serialNumber":"VD-000007"', '"serialNumber":"VD-000008"'))
    for (const out of ['forged.pdf', 'forged.csv', 'forged-copy.json']) {
      expect(await exported('forged.json', '--out', out)).toMatchObject({ code: 1, complaints: expect.stringMatching(/^forged\.json: Record 3F9A2C11-000001 is not as it was signed, so nothing was made of it\. \/item is not/) as string })
      expect(() => readFileSync(file(out))).toThrow(/ENOENT/)
    }
  })

  it('says what is wrong with its command line', async () => {
    const { exported } = shop()
    await expect(exported('record.json')).rejects.toThrow('export needs --out, the file to write.')
    await expect(exported('record.json', '--out', 'record.doc')).rejects.toThrow('must end with .pdf, .csv or .json')
    await expect(exported('record.json', '--out', 'a.pdf', '--paper', 'a5')).rejects.toThrow('--paper must be a4 or letter, not a5.')
    await expect(exported('none.json', '--out', 'a.pdf')).rejects.toThrow('There is no file none.json.')
    await expect(exported('record.json', '--out', 'a.pdf', '--picture', 'none.svg')).rejects.toThrow('There is no picture none.svg.')
    await expect(exported('record.json', '--out', 'no/such/a.pdf')).rejects.toThrow('no/such/a.pdf cannot be written')
    const odd = shop({ ...fullRecord(3), technician: '漢' })
    expect(await odd.exported('record.json', '--out', 'a.pdf')).toMatchObject({ code: 1, complaints: expect.stringContaining('no glyph for “漢” (U+6F22)') as string })
    expect((await odd.exported('record.json', '--out', 'a.csv')).code).toBe(0)
  })

  it.skipIf(!pythonIsHere)('writes a table that another program reads back as the record has it, whatever was typed into it (RFC 4180)', async () => {
    const nasty = '=SUM(A1), "quoted"\nsecond line; -1'
    const full = fullRecord(12)
    const steps = full.steps.map((step) => (step.skipped === null ? step : { ...step, skipped: { ...step.skipped, because: nasty } }))
    const content = { ...full, steps, technician: '=A1', customer: '+44 1234', place: '漢, "x"' }
    const { file, exported } = shop(content)
    expect((await exported('record.json', '--out', 'record.csv')).code).toBe(0)
    const [head, ...rows] = readByPython(readFileSync(file('record.csv'), 'utf8'))
    expect(head).toEqual([...recordColumns])
    const values = content.steps.flatMap((step) => step.values.map((value) => ({ step, value })))
    const empty = content.steps.filter((step) => step.values.length === 0)
    expect(rows.length).toBe(values.length + empty.length)
    const at = (row: string[], column: (typeof recordColumns)[number]): string => row[recordColumns.indexOf(column)] ?? ''
    const valued = rows.filter((row) => at(row, 'touch') !== '')
    expect(valued.map((row) => [at(row, 'step'), Number.isNaN(Number(at(row, 'value'))) ? at(row, 'value') : Number(at(row, 'value')), at(row, 'standing')]))
      .toEqual(values.map(({ step, value }) => [step.id, value.value, value.stands ? 'yes' : 'no']))
    expect(valued.map((row) => (at(row, 'U') === '' ? null : Number(at(row, 'U'))))).toEqual(values.map(({ value }) => value.uncertainty?.U ?? null))
    for (const row of rows) {
      // An apostrophe before what a spreadsheet would reckon; all else letter by letter.
      expect(at(row, 'technician')).toBe("'=A1")
      expect(at(row, 'customer')).toBe("'+44 1234")
      expect(at(row, 'place')).toBe('漢, "x"')
    }
    expect(rows.map((row) => at(row, 'skip_reason')).filter((each) => each !== '')).toEqual(['\'=SUM(A1), "quoted"\nsecond line; \'-1'])
  })
})
