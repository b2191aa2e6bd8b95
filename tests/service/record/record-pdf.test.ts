/** The PDF of a record, as other programs read it: sound, in reading order, nothing cut, nothing over another, and the same bytes each time. */
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import PDFDocument from 'pdfkit'
import { describe, expect, it } from 'vitest'
import { printable } from '../../../src-core/record/printable-record'
import { recordOfRun } from '../../../src-core/record/from-run'
import type { SignedFile, TestRecordContent } from '../../../src-core/record/schema'
import type { RecordStep } from '../../../src-core/record/step-schema'
import { sectionsOf } from '../../../src-core/record/print/pages'
import { fileText } from '../../../src-core/record/seal'
import { judgeText } from '../../../src-core/record/judge-file'
import { keyInWords } from '../../../src-core/record/key-in-words'
import { drawTable } from '../../../src-main/service/record/pdf/grid'
import { createFlow } from '../../../src-main/service/record/pdf/paper'
import { createPen } from '../../../src-main/service/record/pdf/pen'
import { layoutVersion } from '../../../src-main/service/record/pdf/layout-mark'
import { recordPdf } from '../../../src-main/service/record/pdf/record-pdf'
import { checks } from '../../../src-main/service/record/signatures'
import { writeTagged } from '../../../src-main/service/record/pdf/tagged-lines'
import { fullRecord, longNames } from '../../bench-tools/full-record'
import { chainMade, lengthened, sealedRecord, shortened, sourcesMade, statementMade } from '../../bench-tools/made-records'
import { checkedByQpdf, codesOn, infoOf, popplerIsHere, qpdfIsHere, structureOf, textOf, wordsOf, zbarIsHere } from '../../bench-tools/pdf-tools'
import { root } from '../../bench-tools/running-app'
import { lampDimmer } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, walkAll, watchIt } from '../../bench-tools/walking'

const picture = readFileSync(join(root, 'fixtures/boards/vent-driver-node/top.svg'))
const pictureSha256 = createHash('sha256').update(picture).digest('hex')
const pictures = new Map([[pictureSha256, picture]])
const none = new Map<string, Uint8Array>()

type Options = Parameters<typeof recordPdf>[3]
const a4: Options = { paper: 'a4', budgets: false }
const letter: Options = { paper: 'letter', budgets: true }

const pdfOf = (files: readonly SignedFile[], options: Options, at: ReadonlyMap<string, Uint8Array> = pictures): Promise<Buffer> =>
  recordPdf(fileText(files.length === 1 && files[0] !== undefined ? files[0] : files), files, at, options)
const pdfOfContent = (content: TestRecordContent, options: Options, at?: ReadonlyMap<string, Uint8Array>): Promise<Buffer> => pdfOf([sealedRecord(content)], options, at)

const cases: [string, () => Promise<Buffer>][] = [
  ['a short record', () => pdfOfContent(recordOfRun(sourcesMade({ of: shortened(2) }, { pictureSha256s: [pictureSha256] })), a4)],
  ['200 steps', () => pdfOfContent(recordOfRun(sourcesMade({ of: lengthened(200) }, { pictureSha256s: [pictureSha256] })), a4)],
  ['every part filled, with budgets, on letter paper', () => pdfOfContent(fullRecord(60, { pictureSha256s: [pictureSha256] }), letter)],
  ['names as long as they may be', () => pdfOfContent(longNames({ pictureSha256s: [pictureSha256] }), { paper: 'a4', budgets: true })],
  ['names as long as they may be, on letter paper, without a picture', () => pdfOfContent(longNames(), letter, none)],
  ['a walk that was learned, and a watch', () => pdfOfContent(recordOfRun(sourcesMade({}, { state: watchIt(walkAll(beginWalk(), goodPoints)).state(), board: lampDimmer() })), { paper: 'a4', budgets: true }, none)],
  ['a job with its statement', () => { const records = chainMade([{}, {}, {}]); return pdfOf([...records, statementMade(records)], a4) }],
]

/** Poppler's boxes are as high as the typeface, which lines may share. */
const shrunk = 0.22

describe.each(cases)('the PDF of %s', (_, draw) => {
  let drawn: Promise<Buffer> | null = null
  const make = (): Promise<Buffer> => (drawn ??= draw())

  it.skipIf(!qpdfIsHere)('is sound (qpdf --check)', async () => {
    expect(checkedByQpdf(await make())).toMatch(/No syntax or stream encoding errors found/)
  })

  it.skipIf(!popplerIsHere)('has every word within the margins, and none over another', async () => {
    const { pages, words } = wordsOf(await make())
    expect(pages.length).toBeGreaterThan(0)
    const outside = words.filter(({ page, left, top, right, bottom }) => {
      const { width = 0, height = 0 } = pages[page - 1] ?? {}
      return left < 38 || right > width - 38 || top < 28 || bottom > height - 24
    })
    expect(outside).toEqual([])
    // The words of the board's picture, and the names of test points on it, have rules of their own.
    const onPicture = /^(J|R|D|C|T|U|JP|F)\d+(\.\w+)?$|^\d{1,3}$|^[A-B+]$/
    const over = pages.flatMap((_page, index) => {
      const own = words.filter(({ page, text }) => page === index + 1 && !onPicture.test(text)).map((word) => {
        const cut = (word.bottom - word.top) * shrunk
        return { ...word, top: word.top + cut, bottom: word.bottom - cut }
      }).sort((a, b) => a.top - b.top)
      return own.flatMap((one, at) => own.slice(at + 1).filter((other) => other.top < one.bottom && other.left + 0.5 < one.right && one.left + 0.5 < other.right).map((other) => `page ${index + 1}: “${one.text}” and “${other.text}”`))
    })
    expect(over).toEqual([])
  })

  it.skipIf(!popplerIsHere)('says on each page which of how many it is', async () => {
    const pdf = await make()
    const count = Number(infoOf(pdf).Pages)
    const said = [...textOf(pdf).matchAll(/page (\d+) of (\d+)/g)].map(([, page, of]) => [Number(page), Number(of)] as const)
    expect(said.length).toBe(count)
    // Each section counts from 1 to its own length.
    said.forEach(([page, of], index) => { expect(page === 1 ? said[index + of - 1] : said[index - 1]).toEqual(page === 1 ? [of, of] : [page - 1, of]) })
  })
})

describe('the PDF of a record', () => {
  const content = fullRecord(30, { pictureSha256s: [pictureSha256] })
  const file = sealedRecord(content)

  it.skipIf(!popplerIsHere)('tells everything in reading order', async () => {
    const text = textOf(await pdfOf([file], letter)).replace(/\s+/g, ' ')
    const steps = content.steps.filter(({ part }) => part === 'sequence')
    const inOrder = [
      `Test record ${content.number}`, 'PASS', 'This record replaces 3F9A2C11-000000. Reason: The serial number was misread.', 'Item Vent driver node, revision C', 'Customer Greenhouse Co-operative', 'Received 2026-03-12',
      'Tested by A. Finch', 'Authorised by M. Okafor', '22.5 °C, 41 % relative humidity', 'Condition as received Dusty, J1 corroded, one relay missing', 'This record relates only to the item tested.', 'The figures that stand are traceable to the SI',
      'Where the leads were placed', 'Measured values', 'No. Step Leads Function Limits Value ± U Verdict Evidence',
      ...steps.slice(2, 4).map(({ title }, index) => `${index + 3} ${title} red:`), '(9.25 ± 0.17) kΩ', 'k = 2.00', 'U is the expanded uncertainty',
      'Decision rule Simple acceptance (ILAC-G8:09/2019)', 'Where the limits come from', 'Skipped steps', '5 D2 forward', 'The coating could not be pierced there.', 'What could not be judged', 'Earlier values that do not stand',
      'Taken back: the technician stepped back at event 31.', 'Preparation and proof of de-energisation The board was shown to be de-energised.', 'The proof lapsed 2026-03-14 08:40:00 +01:00', 'P1 Take off supplies and cables',
      'Meter: Bench meter', 'C-2026-0117, Harrowby Calibration', 'Lead check leads joined: 0.12 Ω ± 60 mΩ', '; not taken off in steps', 'Traceability claimed in', 'Check resistor A', 'Cautions shown', 'Notes of the technician', 'Repairs R3: replaced, 220 Ω 1 %',
      'Opinion: what Probewright concludes. It was not measured', 'Uncertainty budgets', 'stated accuracy of the meter rectangular', 'combined', 'The temperature was not given; it is taken as 18 °C to 28 °C.', 'Identity and signature', `Record ${content.number}, number 1 of chain`,
      keyInWords(file.seal.sha256), keyInWords(file.seal.publicKey), keyInWords(file.seal.signature), 'What is signed is the JSON file attached to this PDF',
    ]
    let at = 0
    for (const words of inOrder) {
      const found = text.indexOf(words, at)
      expect(found, `“${words}” after “…${text.slice(Math.max(0, at - 60), at)}”`).toBeGreaterThanOrEqual(at)
      at = found + words.length
    }
    // Every step of the sequence has its row, with what was measured.
    for (const [index, { title }] of steps.entries()) expect(text).toContain(`${index + 1} ${title}`)
  })

  it.skipIf(!popplerIsHere)('has verdict, probability and risk on a line each, on both papers', async () => {
    const likely = (verdict: RecordStep['verdict']): TestRecordContent => {
      const made = fullRecord(6, { pictureSha256s: [pictureSha256] })
      return { ...made, steps: made.steps.map((step) => (step.part === 'preparation' || step.values.length === 0 ? step : { ...step, verdict, values: step.values.map((value) => ({ ...value, conformance: { probability: 0.9999, falseAcceptance: 0.0001 } })) })) }
    }
    for (const paper of ['a4', 'letter'] as const) {
      for (const verdict of ['pass', 'conditional-pass'] as const) {
        const { words } = wordsOf(await pdfOfContent(likely(verdict), { paper, budgets: false }))
        const follows = (first: string, more: string[]): string[][] => words.flatMap(({ text, top, page }, at) =>
          (text === first ? [words.slice(at + 1, at + 1 + more.length).filter((each) => each.page === page && Math.abs(each.top - top) < 1).map((each) => each.text)] : []))
        const risks = follows('risk:', ['under', '0.1', '%'])
        expect(risks.length).toBeGreaterThan(2)
        expect(new Set(risks.map((each) => each.join(' ')))).toEqual(new Set(['under 0.1 %']))
        expect(follows('P:', ['over', '99.9', '%']).every((each) => each.join(' ') === 'over 99.9 %')).toBe(true)
        if (verdict === 'conditional-pass') expect(new Set(follows('conditional', ['pass']).map((each) => each.join(' ')))).toEqual(new Set(['pass']))
      }
    }
  })

  it.skipIf(!popplerIsHere)('never leaves the last line of a paragraph alone on the next page', async () => {
    const pdf = new PDFDocument({ autoFirstPage: false, bufferPages: true, pdfVersion: '1.7', tagged: true, font: null as unknown as string })
    const pen = createPen(pdf)
    const flow = createFlow(pen, 'a4')
    const style = { face: 'regular', size: 8.6, colour: '#000000' } as const
    // Paragraphs of one to eight lines, with room for none to nine below.
    const cases = [1, 2, 3, 4, 5, 6, 7, 8].flatMap((count) => [0, 1, 2, 3, 4, 5, 6, 7, 8, 9].map((room) => ({ count, room, name: `c${count}r${room}` })))
    for (const { count, room, name } of cases) {
      flow.newPage()
      flow.y = flow.bottom - room * pen.lineHeight(style.size) - 1
      writeTagged(flow, Array.from({ length: count }, () => name), style, 'P')
    }
    const parts: Buffer[] = []
    pdf.on('data', (part: Buffer) => { parts.push(part) })
    await new Promise((resolve) => { pdf.on('end', resolve); pdf.end() })
    const { words } = wordsOf(Buffer.concat(parts))
    for (const { count, room, name } of cases) {
      const own = words.filter(({ text }) => text === name)
      const [first = 0] = own.map(({ page }) => page)
      const overleaf = own.filter(({ page, top }) => page > first || top < 300).length
      expect(own.length, name).toBe(count)
      if (count > 1) expect(overleaf, name).not.toBe(1)
      // And no more is left empty than that takes.
      expect(overleaf, name).toBe(room >= count ? 0 : Math.max(count - room, Math.min(count, 2)))
    }
  })

  it.skipIf(!popplerIsHere)('never leaves the last row of a table alone on the next page, nor its heads on the page before', async () => {
    const pdf = new PDFDocument({ autoFirstPage: false, bufferPages: true, pdfVersion: '1.7', tagged: true, font: null as unknown as string })
    const flow = createFlow(createPen(pdf), 'a4')
    const columns = [{ title: 'HEAD', share: 1 }]
    // Tables of two to twelve rows, some of them higher than a line, with room for a little to a third of a page below.
    const cases = [2, 3, 7, 8, 9, 12].flatMap((count) => [20, 45, 60, 75, 90, 105, 120, 135, 150, 250].map((room) => ({ count, room, name: `c${count}r${room}` })))
    for (const { count, room, name } of cases) {
      flow.newPage()
      flow.y = flow.bottom - room
      drawTable(flow, { columns, rows: Array.from({ length: count }, (_, index) => [index % 3 === 1 ? `${name}\nmore` : name]) })
    }
    const parts: Buffer[] = []
    pdf.on('data', (part: Buffer) => { parts.push(part) })
    await new Promise((resolve) => { pdf.on('end', resolve); pdf.end() })
    const { words } = wordsOf(Buffer.concat(parts))
    for (const { count, name } of cases) {
      const pages = words.filter(({ text }) => text === name).map(({ page }) => page)
      const last = pages.at(-1) ?? 0
      expect(pages.length, name).toBe(count)
      expect(pages.filter((page) => page === last).length, name).toBeGreaterThan(1)
    }
    // Heads stand only where rows do.
    for (const { page } of words.filter(({ text }) => text === 'HEAD')) expect(words.some((word) => word.page === page && /^c\d/.test(word.text)), `page ${page}`).toBe(true)
  })

  it.skipIf(!popplerIsHere)('repeats the heads of a long table on every page of it', async () => {
    const pdf = await pdfOfContent(recordOfRun(sourcesMade({ of: lengthened(200) }, {})), a4)
    const pages = textOf(pdf).split('\f')
    const withRows = pages.filter((page) => page.includes('\nblack: '))
    expect(withRows.length).toBeGreaterThan(8)
    for (const page of withRows) expect(page).toContain('No. Step Leads Function Limits Value ± U Verdict Evidence')
  })

  it.skipIf(!popplerIsHere)('is on A4 (ISO 216: 210 mm × 297 mm) or letter paper (8.5 in × 11 in), as asked', async () => {
    expect(infoOf(await pdfOf([file], a4))).toMatchObject({ 'Page size': expect.stringContaining('(A4)') as string, Title: `Test record ${content.number}`, Creator: 'Probewright' })
    expect(infoOf(await pdfOf([file], letter))['Page size']).toBe('612 x 792 pts (letter)')
  })

  it('has the same bytes each time, in every time zone, and nothing in it is compressed', async () => {
    const zone = process.env.TZ
    const first = await pdfOf([file], letter)
    try {
      process.env.TZ = 'Pacific/Auckland'
      expect((await pdfOf([file], letter)).equals(first)).toBe(true)
      process.env.TZ = 'America/New_York'
      expect((await pdfOf([file], letter)).equals(first)).toBe(true)
    } finally {
      if (zone === undefined) delete process.env.TZ
      else process.env.TZ = zone
    }
    expect(first.includes('FlateDecode')).toBe(false)
    expect((await pdfOf([file], a4)).equals(first)).toBe(false)
  })

  it('prints budgets only on request', async () => {
    expect((await pdfOf([file], { paper: 'letter', budgets: false })).length).toBeLessThan((await pdfOf([file], letter)).length)
  })

  it.skipIf(!zbarIsHere || !popplerIsHere)('has a QR code that another program reads: the record’s number and hash', async () => {
    const pdf = await pdfOf([file], a4)
    expect(codesOn(pdf, Number(infoOf(pdf).Pages))).toEqual([`Probewright test record ${content.number} SHA-256 ${file.seal.sha256}`])
  })

  it('refuses a letter that its typeface lacks, and names letter and place', async () => {
    const odd = { ...content, technician: 'A. 漢' }
    await expect(pdfOfContent(odd, a4)).rejects.toThrow('The typeface of the PDF has no glyph for “漢” (U+6F22) in “A. 漢”. Export JSON or CSV')
    // What turns the direction of writing has no shape, and could show other words than are signed.
    expect(() => pdfOfContent({ ...content, technician: 'A. \u202eFinch' }, a4)).toThrow('must be one line, without control characters')
  })

  it.skipIf(!popplerIsHere)('breaks lines where they were typed, and prints Greek, Cyrillic and accents', async () => {
    const text = textOf(await pdfOfContent(printable({ ...content, item: { ...content.item, conditionAsReceived: 'first\r\nsecond\tline Ω μ ≤ Ž Пример naïve' } }), a4))
    expect(text).toContain('first\nsecond line')
    expect(text).toContain('Пример naïve')
  })
})

describe('the board picture of a PDF', () => {
  const content = recordOfRun(sourcesMade({ of: shortened(8) }, { pictureSha256s: [pictureSha256] }))
  const withPicture = (text: string): [TestRecordContent, Map<string, Uint8Array>] => {
    const bytes = Buffer.from(text)
    const sha256 = createHash('sha256').update(bytes).digest('hex')
    return [{ ...content, board: { ...content.board, picture: content.board.picture === null ? null : { ...content.board.picture, sha256 } } }, new Map([[sha256, bytes]])]
  }

  it.skipIf(!popplerIsHere)('is drawn with its own words, and every point a lead was on is named on it', async () => {
    const text = textOf(await pdfOfContent(content, a4))
    expect(text).toContain('VENT DRIVER NODE')
    const used = content.steps.flatMap(({ placement }) => (placement !== null && 'red' in placement ? [placement.red.point, placement.black.point] : []))
    const [before = ''] = text.split('Measured values')
    expect(used.length).toBeGreaterThan(3)
    for (const point of used) expect(before).toContain(point)
  })

  it.skipIf(!popplerIsHere)('that is not at hand is replaced by its outline, and the page says so', async () => {
    const text = textOf(await pdfOfContent(content, a4, none)).replace(/\s+/g, ' ')
    expect(text).toContain(`The board’s picture (SHA-256 ${pictureSha256.slice(0, 16)}…) was not at hand when these pages were made.`)
    expect(text).not.toContain('VENT DRIVER NODE')
    expect(text).toContain('C8.1')
  })

  it.skipIf(!popplerIsHere).each([
    ['<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 520"><image href="x.png"/></svg>', 'it has <image>.'],
    ['<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 520"><rect width="9" height="9" style="fill:red"/></svg>', 'it has the attribute style at <rect>.'],
    ['<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 520"><text x="5" y="9">漢</text></svg>', 'it has the text “?”, for which the typeface of the PDF lacks a glyph.'],
    ['<!DOCTYPE svg [<!ENTITY a "b">]><svg viewBox="0 0 720 520"/>', 'is no XML that is read here'],
    ['GIF89a', 'loose text'],
  ])('that goes beyond what can be drawn is replaced too, and the page says why', async (svg, why) => {
    const [record, at] = withPicture(svg)
    const text = textOf(await pdfOfContent(record, a4, at)).replace(/\s+/g, ' ')
    expect(text).toContain('The board’s picture could not be drawn')
    if (svg !== 'GIF89a') expect(text).toContain(why)
  })
})

describe('the board pictures of a board that has several', () => {
  /** Every other test point lies on the lower side; a third picture has none. */
  const sides = (steps: number): ReturnType<typeof shortened> => {
    const whole = shortened(steps)
    const [top] = whole.board.pictures
    if (top === undefined) throw new Error('the sample has no picture')
    return { ...whole, board: {
      ...whole.board, pictures: [top, { ...top, id: 'lower side', file: 'lower.svg' }, { ...top, id: 'lid', file: 'lid.svg' }],
      testPoints: whole.board.testPoints.map((point, index) => ({ ...point, picture: index % 2 === 0 ? 'top' : 'lower side' })),
    } }
  }
  const lower = Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 720 520"><rect x="8" y="8" width="704" height="504" fill="#dfe7df"/><text x="40" y="60" font-size="22">SOLDER SIDE</text></svg>')
  const lowerSha256 = createHash('sha256').update(lower).digest('hex')
  const both = new Map<string, Uint8Array>([...pictures, [lowerSha256, lower]])
  const pictureSha256s = [pictureSha256, lowerSha256, null]
  const content = recordOfRun(sourcesMade({ of: sides(10) }, { pictureSha256s }))

  it('are recorded where a placement lies on them, and no other', () => {
    expect(content.board).toMatchObject({ picture: { id: 'top', sha256: pictureSha256 }, otherPictures: [{ id: 'lower side', sha256: lowerSha256, width: 720, height: 520 }] })
    expect(recordOfRun(sourcesMade({ of: shortened(2) }, { pictureSha256s: [pictureSha256] })).board).not.toHaveProperty('otherPictures')
  })

  it.skipIf(!popplerIsHere || !qpdfIsHere)('are each drawn, named and attached, with the points of their own marked', async () => {
    const pdf = await pdfOfContent(content, a4, both)
    expect(checkedByQpdf(pdf)).toMatch(/No syntax or stream encoding errors found/)
    const text = textOf(pdf).replace(/\s+/g, ' ')
    const [drawn = ''] = text.split('Picture “lower side”. Where the leads were placed')
    const [onTop = '', onLower = ''] = drawn.split('Picture “top”. Where the leads were placed')
    expect([onTop.includes('VENT DRIVER NODE'), onTop.includes('SOLDER SIDE'), onLower.includes('SOLDER SIDE')]).toEqual([true, false, true])
    const used = content.steps.flatMap(({ placement }) => (placement !== null && 'red' in placement ? [placement.red, placement.black] : []))
    expect(new Set(used.map(({ picture: on }) => on))).toEqual(new Set(['top', 'lower side']))
    for (const { point, picture: on } of used) expect(on === 'top' ? onTop : onLower).toContain(point)
    expect(text).not.toMatch(/Not on (this|these) picture/)
    const attached = [...pdf.toString('latin1').matchAll(/board-[0-9a-f]{16}\.svg/g)].map(([name]) => name)
    expect(new Set(attached)).toEqual(new Set([pictureSha256, lowerSha256].map((sha256) => `board-${sha256.slice(0, 16)}.svg`)))
  })

  it.skipIf(!popplerIsHere)('show the second alone where every placement lies on it', async () => {
    const { board, ...more } = sides(4)
    const flipped = { ...more, board: { ...board, testPoints: board.testPoints.map((point) => ({ ...point, picture: 'lower side' })) } }
    const text = textOf(await pdfOfContent(recordOfRun(sourcesMade({ of: flipped }, { pictureSha256s })), a4, both))
    expect([text.includes('SOLDER SIDE'), text.includes('VENT DRIVER NODE')]).toEqual([true, false])
  })
})

it('a record that was issued before is printed as it was: pages that come out otherwise are another layoutVersion', async () => {
  const text = readFileSync(join(root, 'tests/service/record/issued-record.json'), 'utf8')
  const [judged] = judgeText(text, checks)
  if (judged?.is !== 'record') throw new Error('The record is not as it was signed.')
  const bytes = await recordPdf(text, [judged.file], pictures, { paper: 'a4', budgets: true })
  expect([layoutVersion, createHash('sha256').update(bytes).digest('hex')]).toEqual([6, 'e78efc90b40443bff04df27d982fc602a1c8b2ad5fae4eb316956d06d9f69bcc'])
})

/** ISO 32000-1:2008, 14.8 (from memory), as poppler reads it. */
describe.skipIf(!popplerIsHere)('the structure of the PDF', () => {
  const wide = (text: string): string => text.replace(/\s+/g, '')
  it('has every word of the record in order, its headings, every row and cell of its tables, and words for its figures', async () => {
    const file = sealedRecord(fullRecord(24, { pictureSha256s: [pictureSha256] }))
    const pdf = await pdfOf([file], letter)
    const structure = structureOf(pdf)
    const blocks = sectionsOf([file], { budgets: true }).flatMap((section) => section.blocks)
    const elements = structure.split('\n').flatMap((line) => /^ *([A-Z][A-Za-z0-9]*)(?: \(\w+\))?:?$/.exec(line)?.[1] ?? [])
    const count = (tag: string): number => elements.filter((each) => each === tag).length
    const of = <K extends (typeof blocks)[number]['kind']>(kind: K) => blocks.filter((block): block is Extract<(typeof blocks)[number], { kind: K }> => block.kind === kind)
    const [tables, facts, seals] = [of('table'), of('facts'), of('seal')]
    expect(elements.slice(0, 3)).toEqual(['Document', 'Sect', 'H1'])
    expect(count('H1')).toBe(1)
    expect(count('H2')).toBe(of('heading').length)
    expect(count('Table')).toBe(tables.length + facts.length + seals.length)
    const rows = tables.reduce((sum, table) => sum + 1 + table.rows.length, 0) + facts.reduce((sum, each) => sum + Math.ceil(each.rows.length / each.columns), 0) + seals.reduce((sum, each) => sum + each.rows.length, 0)
    expect(count('TR')).toBe(rows)
    expect(structure.match(/\/Scope \/Column/g)).toHaveLength(tables.reduce((sum, table) => sum + table.columns.length, 0))
    // The board and the QR code.
    expect(count('Figure')).toBe(2)
    const bytes = pdf.toString('latin1')
    expect(bytes.match(/\/S \/Figure/g)).toHaveLength(2)
    const [board = '', code = ''] = [...bytes.matchAll(/\/Alt \((.*)\)$/gm)].map(([, alt]) => alt ?? '')
    for (const { label } of of('board').flatMap(({ marks }) => marks)) expect(board).toContain(` ${label} `)
    expect(code).toContain(file.seal.sha256)
    expect(infoOf(pdf).Tagged).toBe('yes')

    // What is read aloud is what is printed, but for what stands above and below on every page.
    const said = [...structure.matchAll(/"([^\n]*)"\n/g)].map(([, text]) => text ?? '').join(' ')
    const flat = wide(said)
    const printed = new Set(textOf(pdf).split(/\s+/))
    const edges = new Set(['page', 'of', 'SHA-256', ...Array.from({ length: 60 }, (_, k) => String(k))])
    expect([...printed].filter((word) => !edges.has(word) && !flat.includes(word))).toEqual([])
    // No two words run together where a line ends.
    for (const { text } of of('text')) expect(said).toContain(text.replace(/\s+/g, ' '))
  })
})
