/** Carries out what a screen asks of records: the sheet, issuing, correcting, lists, and what leaves the app as signed files. */
import { randomUUID } from 'node:crypto'
import { basename, join } from 'node:path'
import type { CommandInput } from '../../../src-core/contract'
import type { RecordEntry, recordCommands, RecordExportKind } from '../../../src-core/record/commands'
import { recordExportName, statementOf } from '../../../src-core/record/export'
import { airAt } from '../../../src-core/meter/surroundings'
import { boardMissingWords, placeBehind, refusalToRecord } from '../../../src-core/record/from-run'
import { localDay, withOffset } from '../../../src-core/record/offset-time'
import { recordSchema, type SignedRecord, type TestRecordContent } from '../../../src-core/record/schema'
import { fileText, sealStatement } from '../../../src-core/record/seal'
import { checkedSheet, offeredFrom, sheetBehind, type RecordSheet } from '../../../src-core/record/sheet'
import type { Assets } from '../assets'
import { mostBytes } from '../downloads'
import { Refusal, type Handlers } from '../dispatcher'
import { createExporting, type Progress } from '../exporting'
import { createInTurn } from '../in-turn'
import type { RunReader } from '../run-reader'
import type { Job, RecordStore } from '../store/record-store'
import type { ShopStore } from '../store/shop-store'
import { createTurns, nextTurn } from '../turns'
import type { Printing } from './printing'
import type { MetersKept } from './run-meters'
import { offsetAt, type RunRead, type ToSeal } from './seal-run'
import type { Sealing } from './sealing'
import { makeFirstKey, readShopKey, shopSigner } from './shop-key'
import { sha256 } from './signatures'

type Commands = keyof typeof recordCommands
export type Issuing = { handlers: Pick<Handlers, Commands>; stopExport: () => void }

export type IssuingSurroundings = {
  dataFolder: string; version: string
  printing: Printing
  records: RecordStore; shop: ShopStore; reader: RunReader; assets: Assets
  metersKept: (ids: readonly string[]) => MetersKept
  sealing: Sealing
  /** How many events a run has by now. */
  lastSeq: (run: string) => number
  now: () => Date
  progress: (progress: Progress | null) => void
}

const rowsAPage = 50

const types: Record<RecordExportKind, string> = { json: 'application/json', pdf: 'application/pdf', csv: 'text/csv; charset=utf-8' }

/** A key that cannot be used, or a disk that cannot be written, is for a person to mend: said as it is. */
const notIssued = (error: unknown): Refusal =>
  (error instanceof Refusal ? error : new Refusal(`No record was issued: ${error instanceof Error ? error.message : String(error)}`, { cause: error }))

const inWords = <T>(work: () => T): T => {
  try {
    return work()
  } catch (error) {
    throw notIssued(error)
  }
}

export const createIssuing = (around: IssuingSurroundings): Issuing => {
  const { records, shop, reader, assets, printing } = around
  const exporting = createExporting(around.progress)

  const entryOf = (number: string): RecordEntry => {
    const found = records.entry(number)
    if (found === null) throw new Refusal(`There is no record ${number} in this data folder.`)
    return found
  }

  const readRecord = (number: string): SignedRecord => recordSchema.parse(JSON.parse(records.text(number) ?? ''))

  const sheetFrom = (typed: RecordSheet, utc: string): RecordSheet => {
    const checked = checkedSheet(typed, localDay(utc, offsetAt(utc)))
    if ('refused' in checked) throw new Refusal(checked.refused)
    return checked.sheet
  }

  /** A picture is kept under its SHA-256, which is its name. */
  const picturesOf = (boardSha256: string): (string | null)[] => shop.boardPictures(boardSha256).map((path) => {
    const name = basename(path).split('.')[0] ?? ''
    return /^[0-9a-f]{64}$/.test(name) ? name : null
  })

  /** The records of a run that no other stands in for: at most one. */
  const standingOf = (run: string): RecordEntry | null => records.ofRun(run).find(({ replacedBy }) => replacedBy === null) ?? null

  const issuedBefore = ({ number }: RecordEntry): string => `This run has its record, ${number}. If something in it is wrong, correct it: that makes a new record which names the old one.`

  /** The place in the chain is kept from the last record to the stored new one: one record is made at a time. */
  const inTurn = createInTurn()

  /** @throws Refusal where no record can be made of this run, with this sheet, or by this shop. */
  const gathered = (read: RunRead, typed: RecordSheet, replaces: TestRecordContent['replaces']): ToSeal => {
    const board = shop.boardBody(read.board)
    if (read.refused !== null || board === null) throw new Refusal(read.refused ?? boardMissingWords)
    const utc = around.now().toISOString()
    const sheet = sheetFrom(typed, utc)
    const last = records.last()
    const job: Job | null = sheet.job === '' ? null : { customer: sheet.customer === '' ? null : sheet.customer, job: sheet.job }
    const place = placeBehind(last?.chain ?? randomUUID(), last, job === null ? null : records.lastInJob(job), job !== null, replaces)
    // The first record makes the key.
    inWords(() => { makeFirstKey(around.dataFolder, sheet.issuer) })
    return { board, sheet, place, issuedUtc: utc, version: around.version, dataFolder: around.dataFolder, meters: around.metersKept(read.meters), pictureSha256s: picturesOf(read.board) }
  }

  /**
   * A run that changed while the worker sealed it is read again.
   * @param replacing which record it stands in for; throws a Refusal where there may be none. Asked again before it is stored.
   */
  const issue = async (run: string, typed: RecordSheet, replacing: () => TestRecordContent['replaces']): Promise<RecordEntry> => {
    const { issued, read, added } = await around.sealing.seal({ pieces: reader.pieces(run), gather: (run) => gathered(run, typed, replacing()) })
      .catch((error: unknown) => { throw notIssued(error) })
    await nextTurn()
    replacing()
    if (around.lastSeq(run) !== read.events) return issue(run, typed, replacing)
    inWords(() => { records.append(issued, () => { shop.saveRecordSheet(added.sheet) }) })
    await nextTurn()
    records.settle()
    return entryOf(issued.entry.number)
  }

  /** The text of a file, in pieces of one record each. */
  async function* piecesOf(numbers: readonly string[], asList: boolean, statement: string | null): AsyncGenerator<string> {
    if (asList) yield '['
    for (const [index, number] of numbers.entries()) {
      const text = records.text(number)
      if (text === null) throw new Refusal(`There is no record ${number} in this data folder.`)
      yield `${index > 0 ? ',' : ''}${text.trimEnd()}`
    }
    if (statement !== null) yield `,${statement.trimEnd()}`
    yield asList ? ']\n' : '\n'
  }

  /** The records of a job with the signed statement that ends them. */
  const jobExport = (job: Job): { numbers: string[]; statement: string } => {
    const links = records.linksOfJob(job)
    const last = links.at(-1)
    if (last === undefined) throw new Refusal(`There is no record of job ${job.job}${job.customer === null ? '' : ` of ${job.customer}`} in this data folder.`)
    const { record } = readRecord(last.number)
    const utc = around.now().toISOString()
    const statement = inWords(() => sealStatement(statementOf(record, links, withOffset(utc, offsetAt(utc))), shopSigner(around.dataFolder, record.issuer), sha256))
    return { numbers: links.map(({ number }) => number), statement: fileText(statement) }
  }

  const exportRecords = async ({ numbers: asked, ofJob, as, paper = shop.paper(), budgets = false }: CommandInput<'export-records'>): Promise<{ path: string; name: string }> => {
    const { numbers, statement } = ofJob === undefined ? { numbers: [...new Set(asked)], statement: null } : jobExport(ofJob)
    const ordered = numbers.map(entryOf).sort((a, b) => a.sequence - b.sequence)
    const asList = statement !== null || ordered.length > 1
    const json = await exporting.make(ordered.length, piecesOf(ordered.map(({ number }) => number), asList, statement), createTurns())
    if (as === 'pdf') shop.savePaper(paper)
    const bytes = as === 'json' ? json : await printing.print({ text: json.toString('utf8'), as, paper, budgets, picturesIn: [join(around.dataFolder, 'pictures')] })
    if (bytes.length > mostBytes) throw new Refusal(`This export would be larger than ${mostBytes / 2 ** 20} MB. Nothing was exported; choose fewer records.`)
    const name = recordExportName(ordered, ofJob?.job ?? null, `.${as}`)
    const path = assets.offer({ name, type: types[as], bytes })
    if (path === null) throw new Refusal(`Exports that nobody has fetched fill the ${mostBytes / 2 ** 20} MB kept for them. Try again in five minutes.`)
    return { path, name }
  }

  return {
    stopExport: () => {
      exporting.stop()
      printing.stop()
    },
    handlers: {
      'record-sheet': async ({ run }) => {
        const { state, board } = await reader.read(run)
        const last = shop.recordSheet()
        const standing = standingOf(run)
        return {
          sheet: standing === null ? offeredFrom(last, airAt(state.started.kit.air, Date.parse(state.started.utc))) : sheetBehind(readRecord(standing.number).record),
          lastCondition: standing === null ? last?.conditionAsReceived ?? '' : '', records: records.ofRun(run),
          refused: refusalToRecord(state, board) ?? (standing === null ? null : issuedBefore(standing)),
          paper: shop.paper(),
          makesKey: inWords(() => readShopKey(around.dataFolder)) === null,
        }
      },
      'issue-record': ({ run, sheet }) => inTurn(() => issue(run, sheet, () => {
        const standing = standingOf(run)
        if (standing !== null) throw new Refusal(issuedBefore(standing))
        return null
      })),
      'correct-record': ({ number, because, sheet }) => inTurn(() => issue(entryOf(number).run, sheet, () => {
        const old = entryOf(number)
        if (old.replacedBy !== null) throw new Refusal(`${number} was replaced by ${old.replacedBy} already. Correct that one.`)
        if (because.trim() === '') throw new Refusal('Say what was wrong with the record: its successor names the reason.')
        return { number, sha256: old.sha256, because: because.trim() }
      })),
      'list-records': ({ run, ofJob, after }) => {
        if (run !== undefined) return { records: records.ofRun(run), next: null }
        const found = records.list(ofJob ?? null, after ?? null, rowsAPage + 1)
        const shown = found.slice(0, rowsAPage)
        return { records: shown, next: found.length > rowsAPage ? shown.at(-1)?.sequence ?? null : null }
      },
      'read-record': ({ number }) => readRecord(entryOf(number).number),
      'export-records': exportRecords,
    },
  }
}
