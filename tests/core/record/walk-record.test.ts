/** Walks and watches in a record: what was learned, what was followed, and what is printed and tabled of both. */
import { describe, expect, it } from 'vitest'
import { recordOfRun } from '../../../src-core/record/from-run'
import { sectionsOf } from '../../../src-core/record/print/pages'
import { recordColumns, recordRows } from '../../../src-core/record/record-table'
import { testRecordContent, type TestRecordContent } from '../../../src-core/record/schema'
import { judgeText } from '../../../src-core/record/judge-file'
import { pointsUsed } from '../../../src-core/record/points-used'
import { fileText } from '../../../src-core/record/seal'
import { surelyFits } from '../../../src-core/record/quick-shape'
import { seconds } from '../../../src-core/quantity/units'
import { tableColumns, tableRows } from '../../../src-core/run/value-table'
import { runDetailOf } from '../../../src-core/run/detail'
import { checks } from '../../../src-main/service/record/signatures'
import { sealedRecord, sourcesMade } from '../../bench-tools/made-records'
import { lampDimmer } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, knownAfter, toOwnStep, walkAll, watchIt } from '../../bench-tools/walking'
import type { Play } from '../run/a-run'

const board = lampDimmer()
const learning = watchIt(walkAll(beginWalk(board), goodPoints))
const checked = (): Play => {
  const play = walkAll(beginWalk(board, knownAfter(board, learning)), [10100, 12000, 12010, 1010, 333])
  play.lift('resistance')
  play.hold('resistance', 0.5, 1.4); play.hold('resistance', 'overload', 0.6); play.hold('resistance', 0.7, 4)
  return play
}
const recordOf = (play: Play): TestRecordContent => testRecordContent.parse(recordOfRun(sourcesMade({}, { state: play.state(), board })))
const stepOf = (record: TestRecordContent, id: string) => record.steps.find((step) => step.id === id)
const printed = (record: TestRecordContent): string => JSON.stringify(sectionsOf([sealedRecord(record)], { budgets: true }))
const cells = (columns: readonly string[], rows: readonly (readonly unknown[])[], ...wanted: string[]): unknown[][] => rows.map((row) => wanted.map((name) => row[columns.indexOf(name)]))

describe('the record of a run in which a walk was learned', () => {
  const record = recordOf(learning)
  it('tells each point with its readings and uncertainty, and no verdict', () => {
    const step = stepOf(record, 'walk')
    expect(step).toMatchObject({ kind: 'walk', values: [], verdict: 'pass', placement: { clipped: { point: 'J1.2' } }, done: { note: '4 points learned' } })
    expect(step?.points?.map(({ red, words }) => [red, words])).toEqual([['F1.2', '10.0000 kΩ'], ['R1.2', '4.7000 kΩ'], ['R2.2', '1.0000 kΩ'], ['J2.1', '330.0 Ω']])
    expect(step?.points?.every(({ readings, uncertainty }) => readings.raw.length === readings.conversions && uncertainty !== null)).toBe(true)
    expect(record.outcome.because).toContain('Learned here and not judged: Legs to 0 V.')
  })
  it('prints them in a table of their own, which says that nothing was judged by them', () => {
    const words = printed(record)
    expect(words).toContain('Points of walks learned on this item')
    expect(words).toContain('Nothing was judged by them. Where this run passed, what it read here is among what later items are held to.')
    // Nobody is asked whether the item works: the record does not say so.
    expect(words).not.toMatch(/said to work/)
    expect(words).toContain('not judged')
    expect(pointsUsed(record.steps).filter(({ red }) => red).map(({ point }) => point)).toEqual(['F1.2', 'R1.2', 'R2.2', 'J2.1', 'J1.1'])
  })
  it('names the meter of its points among those used, and claims nothing of a figure that is not traceable', () => {
    expect(record.meters.map(({ name }) => name)).toEqual(['Bench meter'])
    expect(record.traceable.claimed).toBe(false)
  })
})

describe('the record of a board that was held to it', () => {
  const record = recordOf(checked())
  it('tells each point as a step of the walk, with its limits and where they come from', () => {
    const step = stepOf(record, 'walk/R1.2')
    expect(step).toMatchObject({ kind: 'walk', title: 'Legs to 0 V, R1.2', verdict: 'fail', placement: { red: { point: 'R1.2' }, black: { point: 'J1.2' } } })
    expect(step?.values.map(({ limits, stands }) => [limits.low, limits.high, limits.from, stands])).toEqual([
      [3990, 5410, 'good boards: 15 % either way of 4.7 kΩ on one good board.', false], [3990, 5410, 'good boards: 15 % either way of 4.7 kΩ on one good board.', true],
    ])
  })
  it('tells the watch with both extremes, the dropout and every frame', () => {
    const watch = stepOf(record, 'flex')?.watch
    expect(watch).toMatchObject({ verdict: 'fail', stands: true, what: 'Flex the board gently along its long edge.', minimum: { value: 0.4 }, maximum: { value: 0.6 }, dropouts: [{ shows: 'no-contact', seconds: 0.6 }], limits: { high: 2 } })
    expect(watch?.raw.length).toBeGreaterThan(watch?.conversions ?? Infinity)
    expect(printed(record)).toContain('1 dropout, 0.6 s')
  })
  it('is sealed and verified as any other, by zod and by the quick look', () => {
    const text = fileText(sealedRecord(record))
    expect(judgeText(text, checks)).toMatchObject([{ is: 'record', asIssued: true }])
    expect(surelyFits(testRecordContent)(record)).toBe(true)
  })
  it('has rows in the table of records and in that of runs: a point each, and two for a watch', () => {
    expect(cells(recordColumns, recordRows([sealedRecord(record)]), 'step', 'kind', 'value', 'evidence', 'step_verdict').filter(([step]) => step === 'flex')).toEqual([
      ['flex', 'watch', 0.4, 'minimum', 'fail'], ['flex', 'watch', 0.6, 'maximum', 'fail'],
    ])
    expect(cells(tableColumns, tableRows({ state: learning.state(), board }), 'step', 'red', 'black', 'value', 'step_verdict').filter(([step]) => step === 'walk')).toEqual(
      goodPoints.map((value, index) => ['walk', ['F1.2', 'R1.2', 'R2.2', 'J2.1'][index], 'J1.2', value, 'pass']))
  })
})

it('the screen of a run tells what was learned and followed', () => {
  const detail = runDetailOf(learning.state(), board)
  expect(detail.steps.find(({ id }) => id === 'walk')?.found?.map(({ words }) => words.replace(/ ±.*\)/, ''))).toEqual(['F1.2: 10.0000 kΩ, steady', 'R1.2: 4.7000 kΩ, steady', 'R2.2: 1.0000 kΩ, steady', 'J2.1: 330.0 Ω, steady'])
  expect(detail.steps.find(({ id }) => id === 'flex')).toMatchObject({ watched: '0.4 Ω to 0.4 Ω, no dropout, in 4.0 s' })
  expect(detail.events.map(({ words }) => words)).toEqual(expect.arrayContaining(['Legs to 0 V: point 2 learned, 4.7000 kΩ, steady.', 'Flex at the fuse: followed, 0.4 Ω to 0.4 Ω, no dropout, in 4.0 s, pass.']))
})

describe('what was walked and followed, and does not stand', () => {
  const atTheWatch = (): Play => { const play = walkAll(beginWalk(board), goodPoints); play.lift('resistance'); return play }
  const failed = (play: Play): Play => { play.hold('resistance', 0.5, 1); play.hold('resistance', 'overload', 0.6); play.hold('resistance', 0.5, 4); return play }
  const back = (play: Play) => { play.wait(0.6); return play.give({ kind: 'press', press: 'back', at: seconds(play.at()) }) }
  const end = (play: Play): Play => { play.give({ kind: 'end', reason: 'The bench is needed.', at: seconds(play.at()) }); return play }
  const again = (): Play => { const play = failed(atTheWatch()); back(play); return watchIt(toOwnStep(play)) }
  it('a watch that failed, was taken back and passed is in the record, sealed with it, printed and tabled', () => {
    const play = again()
    expect(play.state().steps['flex']).toMatchObject({ watched: { verdict: 'pass' }, earlierWatched: [{ verdict: 'fail' }] })
    const record = recordOf(play)
    expect(stepOf(record, 'flex')).toMatchObject({ verdict: 'pass', watch: { stands: true, verdict: 'pass' }, earlierWatches: [{ stands: false, verdict: 'fail', dropouts: [{ shows: 'no-contact' }], ended: 'time' }] })
    expect(printed(record)).toContain('It was taken back, or followed again.')
    expect(judgeText(fileText(sealedRecord(record)), checks)).toMatchObject([{ is: 'record', asIssued: true }])
    expect(surelyFits(testRecordContent)(record)).toBe(true)
    expect(cells(recordColumns, recordRows([sealedRecord(record)]), 'step', 'evidence', 'standing', 'value_verdict').filter(([step]) => step === 'flex').map((row) => row.slice(1))).toEqual(
      [['minimum', 'no', 'fail'], ['maximum', 'no', 'fail'], ['minimum', 'yes', 'pass'], ['maximum', 'yes', 'pass']])
    expect(cells(tableColumns, tableRows({ state: play.state(), board }), 'step', 'standing', 'value_verdict').filter(([step]) => step === 'flex').map((row) => row.slice(1))).toEqual([['no', 'fail'], ['no', 'fail'], ['yes', 'pass'], ['yes', 'pass']])
    expect(runDetailOf(play.state(), board).steps.find(({ id }) => id === 'flex')?.found?.filter(({ words }) => words.includes('does not stand')).length).toBe(4)
  })
  it('so is one that was interrupted, once', () => {
    const play = atTheWatch()
    play.hold('resistance', 0.5, 1); play.hold('resistance', 'overload', 0.6); play.hold('resistance', 0.5, 0.6); play.hold('diode', 0.5, 0.4)
    expect(play.state().steps['flex']).toMatchObject({ watched: null, earlierWatched: [{ ended: 'interrupted' }] })
    watchIt(play)
    back(play)
    watchIt(toOwnStep(play))
    expect(stepOf(recordOf(play), 'flex')?.earlierWatches?.map(({ ended, verdict }) => [ended, verdict])).toEqual([['interrupted', 'fail'], ['time', 'pass']])
  })
  it('and each point of a walk that was taken back, skipped or left', () => {
    const taken = walkAll(beginWalk(board), [10000, 4900])
    back(taken)
    walkAll(taken, [4700, 1000, 330])
    const step = stepOf(recordOf(watchIt(taken)), 'walk')
    expect([step?.points?.map(({ value }) => value), step?.earlierPoints?.map(({ value }) => value)]).toEqual([goodPoints, [4900]])
    const skipped = walkAll(beginWalk(board), [10000, 4700])
    skipped.give({ kind: 'skip', reason: 'The pads are coated.', at: seconds(skipped.at()) })
    end(skipped)
    const left = end(walkAll(beginWalk(board), [10000, 4700]))
    for (const record of [skipped, left].map(recordOf)) {
      expect([stepOf(record, 'walk')?.points, stepOf(record, 'walk')?.earlierPoints?.map(({ value, red }) => [red, value])]).toEqual([undefined, [['F1.2', 10000], ['R1.2', 4700]]])
      expect(printed(record)).toContain('The walk was taken back, made again, or left.')
    }
  })
})
