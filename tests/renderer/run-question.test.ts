/** What the fields of Records ask for, and how a day is bounded. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { boardKey, countWords, noFields, questionOf, startOfDay } from '../../src-renderer/records/run-question'
import { withFirstPage } from '../../src-renderer/records/use-run-list'
import type { RunEntry } from '../../src-core/run/run-list'

describe('a local day', () => {
  const before = process.env.TZ
  // Central European time has a day of 23 hours and one of 25 (Directive 2000/84/EC: last Sundays of March and October).
  beforeEach(() => { process.env.TZ = 'Europe/Vienna' })
  afterEach(() => { if (before === undefined) delete process.env.TZ; else process.env.TZ = before })

  it('goes from its midnight to the next one, in UTC', () => {
    expect(startOfDay('2026-03-14')).toBe('2026-03-13T23:00:00.000Z')
    expect(startOfDay('2026-03-14', 1)).toBe('2026-03-14T23:00:00.000Z')
    expect(startOfDay('2025-12-31', 1)).toBe('2025-12-31T23:00:00.000Z')
  })

  it.each([['2026-03-29', 23], ['2026-10-25', 25], ['2026-06-01', 24]])('%s has %d hours', (day, hours) => {
    expect(Date.parse(startOfDay(day, 1) ?? '') - Date.parse(startOfDay(day) ?? '')).toBe(hours * 3_600_000)
  })

  it('that is none asks for nothing', () => {
    expect(startOfDay('')).toBeNull()
    expect(startOfDay('14.3.')).toBeNull()
  })
})

describe('the fields', () => {
  it('left alone ask for everything', () => {
    expect(questionOf(noFields)).toEqual({})
  })

  it('filled in ask for what they say', () => {
    expect(questionOf({ ...noFields, serialNumber: ' 0417 ', board: boardKey('vent-driver-node', 'C'), verdict: 'not-ended', practice: 'real' }))
      .toEqual({ serialNumber: '0417', board: 'vent-driver-node', revision: 'C', verdict: 'not-ended', practice: false })
    expect(questionOf({ ...noFields, board: boardKey('vent-driver-node', null), verdict: 'nonsense' })).toEqual({ board: 'vent-driver-node' })
    expect(Object.keys(questionOf({ ...noFields, from: '2026-03-14', to: '2026-03-14' }))).toEqual(['from', 'to'])
  })
})

describe('a list that is read anew', () => {
  const row = (run: string, startedUtc: string): RunEntry => ({ run, board: 'b', revision: 'A', name: 'B', serialNumber: '', practice: false, startedUtc, verdict: null, values: 0 })
  it('keeps what was loaded behind the first page, and no row twice', () => {
    const [a, b, c, d] = [row('a', '2026-04'), row('b', '2026-03'), row('c', '2026-02'), row('d', '2026-01')]
    const fresh = row('n', '2026-05')
    const page = { runs: [fresh, a], total: 5, next: { startedUtc: a.startedUtc, run: a.run } }
    expect(withFirstPage([a, b, c, d], page).map(({ run }) => run)).toEqual(['n', 'a', 'b', 'c', 'd'])
    expect(withFirstPage([a, b], { runs: [a], total: 1, next: null }).map(({ run }) => run)).toEqual(['a'])
  })
})

describe('how many there are', () => {
  it('is said in words: of all runs, of those that fit, and why none can', () => {
    expect(countWords(1, 1, noFields)).toBe('1 run')
    expect(countWords(50, 120, noFields)).toBe('120 runs, newest first; the first 50 are shown')
    expect(countWords(1, 1, { ...noFields, verdict: 'fail' })).toBe('1 run fits')
    expect(countWords(3, 3, { ...noFields, serialNumber: 'VD' })).toBe('3 runs fit, newest first')
    expect(countWords(0, 0, { ...noFields, serialNumber: 'VD' })).toBe('No run fits.')
    expect(countWords(0, 0, { ...noFields, from: '2026-03-15', to: '2026-03-14' })).toBe('No run fits: From is a later day than To.')
    expect(countWords(1, 1, { ...noFields, from: '2026-03-14', to: '2026-03-14' })).toBe('1 run fits')
  })
})
