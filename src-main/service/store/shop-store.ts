/** What the shop keeps beside its runs: meters, bench kit, decision rule, and board files by their SHA-256. */
import { z } from 'zod'
import { boardType, type BoardType } from '../../../src-core/board/board-type'
import { benchKit, meter, usualBenchKit, type BenchKit, type Meter } from '../../../src-core/meter/instrument'
import { decisionRule, type DecisionRule } from '../../../src-core/metrology/limits'
import { noScatter, scatter, type Scatter } from '../../../src-core/metrology/scatter'
import { paperName, type PaperName } from '../../../src-core/record/commands'
import { recordSheet, type RecordSheet } from '../../../src-core/record/sheet'
import { benchSettings, usualBenchSettings, type BenchSettings } from '../../../src-core/settings/bench-settings'
import type { Database } from './open-store'

export type ShopStore = {
  /** Last used first. */
  meters: () => Meter[]
  /** The same as they lie in the file, JSON texts. */
  meterBodies: () => string[]
  saveMeter: (meter: Meter, utc: string) => void
  /** One that turned out to be another meter of the shop. */
  forgetMeter: (id: string) => void
  /** How a meter's readings scatter, as its touches have shown; of one that nothing is known of, none. */
  scatter: (meter: string) => Scatter
  /** To be called within the transaction of the events that taught it. */
  keepScatter: (meter: string, known: Scatter) => void
  kit: () => BenchKit
  saveKit: (kit: BenchKit) => void
  rule: () => DecisionRule
  saveRule: (rule: DecisionRule) => void
  settings: () => BenchSettings
  saveSettings: (settings: BenchSettings) => void
  /** The answers of the last record that was issued. */
  recordSheet: () => RecordSheet | null
  saveRecordSheet: (sheet: RecordSheet) => void
  /** The paper that was asked for last. */
  paper: () => PaperName
  savePaper: (paper: PaperName) => void
  /** `pictures`: the paths a screen asks for, in the board's order. */
  keepBoard: (sha256: string, board: BoardType, pictures: readonly string[]) => void
  board: (sha256: string) => BoardType | null
  /** The same as it lies in the file, JSON text. */
  boardBody: (sha256: string) => string | null
  /** Empty where none is kept; of a board that an older app kept, the first alone. */
  boardPictures: (sha256: string) => string[]
}

const paths = z.array(z.string())
const simpleAcceptance: DecisionRule = { kind: 'simple-acceptance', r: 0 }

export const openShopStore = (database: Database): ShopStore => {
  const readMeters = database.prepare('SELECT body FROM meter ORDER BY used_utc DESC')
  const writeMeter = database.prepare('INSERT INTO meter (id, body, used_utc) VALUES (?, ?, ?) ON CONFLICT (id) DO UPDATE SET body = excluded.body, used_utc = excluded.used_utc')
  const deleteMeter = database.prepare('DELETE FROM meter WHERE id = ?')
  const readScatter = database.prepare('SELECT body FROM meter_scatter WHERE meter = ?')
  const writeScatter = database.prepare('INSERT INTO meter_scatter (meter, body) VALUES (?, ?) ON CONFLICT (meter) DO UPDATE SET body = excluded.body')
  const readSetting = database.prepare('SELECT body FROM setting WHERE name = ?')
  const writeSetting = database.prepare('INSERT INTO setting (name, body) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET body = excluded.body')
  const readBoard = database.prepare('SELECT body FROM board_file WHERE sha256 = ?')
  const readPictures = database.prepare('SELECT picture, other_pictures FROM board_file WHERE sha256 = ?')
  const writeBoard = database.prepare(`INSERT INTO board_file (sha256, body, picture, other_pictures, name) VALUES (?, ?, ?, ?, ?)
    ON CONFLICT (sha256) DO UPDATE SET other_pictures = excluded.other_pictures WHERE other_pictures IS NULL`)

  const setting = <T>(name: string, schema: z.ZodType<T>, usual: T): T => {
    const row = readSetting.get(name)
    return row === undefined ? usual : schema.parse(JSON.parse(String(row.body)))
  }
  const meterBodies: ShopStore['meterBodies'] = () => readMeters.all().map((row) => String(row.body))
  const boardBody: ShopStore['boardBody'] = (sha256) => {
    const row = readBoard.get(sha256)
    return row === undefined ? null : String(row.body)
  }
  return {
    meterBodies, boardBody,
    meters: () => meterBodies().map((body) => meter.parse(JSON.parse(body))),
    saveMeter: (each, utc) => { writeMeter.run(each.id, JSON.stringify(meter.parse(each)), utc) },
    forgetMeter: (id) => { deleteMeter.run(id) },
    scatter: (id) => {
      const row = readScatter.get(id)
      return row === undefined ? noScatter : scatter.parse(JSON.parse(String(row.body)))
    },
    keepScatter: (id, known) => { writeScatter.run(id, JSON.stringify(scatter.parse(known))) },
    kit: () => setting('kit', benchKit, usualBenchKit),
    saveKit: (kit) => { writeSetting.run('kit', JSON.stringify(benchKit.parse(kit))) },
    rule: () => setting('rule', decisionRule, simpleAcceptance),
    saveRule: (rule) => { writeSetting.run('rule', JSON.stringify(decisionRule.parse(rule))) },
    settings: () => setting('bench', benchSettings, usualBenchSettings),
    saveSettings: (settings) => { writeSetting.run('bench', JSON.stringify(benchSettings.parse(settings))) },
    recordSheet: () => setting<RecordSheet | null>('record-sheet', recordSheet, null),
    saveRecordSheet: (sheet) => { writeSetting.run('record-sheet', JSON.stringify(recordSheet.parse(sheet))) },
    paper: () => setting<PaperName>('paper', paperName, 'a4'),
    savePaper: (paper) => { writeSetting.run('paper', JSON.stringify(paper)) },
    keepBoard: (sha256, board, [first = null, ...others]) => { writeBoard.run(sha256, JSON.stringify(board), first, JSON.stringify(others), board.name) },
    boardPictures: (sha256) => {
      const row = readPictures.get(sha256)
      if (typeof row?.picture !== 'string') return []
      return [row.picture, ...(typeof row.other_pictures === 'string' ? paths.parse(JSON.parse(row.other_pictures)) : [])]
    },
    board: (sha256) => {
      const body = boardBody(sha256)
      return body === null ? null : boardType.parse(JSON.parse(body))
    },
  }
}
