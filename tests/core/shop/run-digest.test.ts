import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { conclusionsOf } from '../../../src-core/run/diagnosis-view'
import type { RunEvent, RunEventBody } from '../../../src-core/run/event'
import { rebuild } from '../../../src-core/run/state'
import { seconds } from '../../../src-core/quantity/units'
import { digestOf, type CountKind } from '../../../src-core/shop/run-digest'
import { boardNamed, madeRun, type MadeRun } from '../../bench-tools/made-runs'

const of = boardNamed('vent-driver-node', 'Vent driver node', 'C')
const made = (verdict: MadeRun['verdict'], more: Partial<MadeRun> = {}): RunEvent[] =>
  madeRun({ of, run: '00000000-0000-4000-8000-000000000001', session: '00000000-0000-4000-8000-000000000002', startedMs: Date.UTC(2026, 10, 3), serialNumber: 'VD-1', verdict, random: seededRandom(4), ...more })
const keys = (events: readonly RunEvent[], what: CountKind): string[] => (digestOf(rebuild(events), of.board)?.counts ?? []).filter((count) => count.what === what).map(({ key }) => key)
const behind = (events: readonly RunEvent[], bodies: readonly RunEventBody[]): RunEvent[] => {
  const last = events.at(-1)
  if (last === undefined) return []
  return [...events, ...bodies.map((body, at): RunEvent => ({ ...body, v: 1, run: last.run, seq: last.seq + 1 + at, session: last.session, utc: last.utc, at: seconds(last.at + 60 * (at + 1)) }))]
}

describe('what is learnt of a run', () => {
  it('counts its verdict, month, touches, confirmations and minutes, and keeps its values', () => {
    const events = made('pass')
    const digest = digestOf(rebuild(events), of.board)
    const measured = of.board.sequence.steps.filter(({ kind }) => kind === 'measure').length
    expect(digest).toMatchObject({ board: 'vent-driver-node', revision: 'C', serialNumber: 'VD-1', passed: true })
    expect(digest?.values.length).toBe(measured)
    expect(keys(events, 'verdict')).toEqual(['pass'])
    expect(keys(events, 'month')).toEqual(['2026-11 pass'])
    expect(keys(events, 'touches')).toEqual([`${measured}`])
    expect(keys(events, 'judged').length).toBe(measured)
    expect(keys(events, 'confirmations')).toEqual([`${digest?.values.filter(({ value }) => value === null).length ?? 0}`])
    expect(keys(events, 'minutes')).toEqual([`${Math.round((4 * (events.length - 1)) / 60)}`])
  })
  it('is nothing for one that has not ended, for practice, and for one whose end was taken back', () => {
    const events = made('pass')
    expect(digestOf(rebuild(made(null)), of.board)).toBeNull()
    expect(digestOf(rebuild(made('pass', { practice: true })), of.board)).toBeNull()
    expect(digestOf(rebuild(behind(events, [{ kind: 'undone', to: 3 }])), of.board)).toBeNull()
  })
  it('counts a unit once, with its first run: one behind it keeps its minutes alone, and a loose part is no board', () => {
    const [first, ...rest] = made('fail')
    if (first?.kind !== 'started') throw new Error('There is no run.')
    const behindIt = { ...first, follows: { run: '00000000-0000-4000-8000-000000000009', purpose: 'whole' as const, state: [], repairs: [], coolUtc: null } }
    expect(digestOf(rebuild([behindIt, ...rest]), of.board)).toEqual({ ...digestOf(rebuild([first, ...rest]), of.board), values: [], counts: [] })
    const loose = { ...first, board: { ...first.board, id: 'donor-vent-driver-node' } }
    expect(digestOf(rebuild([loose, ...rest]), of.board)).toBeNull()
  })
  it('leaves pauses and the time between two sessions out of the minutes', () => {
    const [first, ...rest] = made('pass')
    if (first === undefined) throw new Error('There is no event.')
    const stamp = (event: RunEvent, seq: number, at: number, body: RunEventBody): RunEvent => ({ ...body, v: 1, run: event.run, seq, session: event.session, utc: event.utc, at: seconds(at) })
    const pause = [stamp(first, 2, first.at, { kind: 'paused' }), stamp(first, 3, first.at + 3600, { kind: 'resumed' })]
    const afterPause = rest.map((event): RunEvent => ({ ...event, seq: event.seq + 2, at: seconds(event.at + 3600) }))
    expect(keys([first, ...pause, ...afterPause], 'minutes')).toEqual(keys([first, ...rest], 'minutes'))
    const later = rest.map((event): RunEvent => ({ ...event, session: '00000000-0000-4000-8000-000000000003', at: seconds(event.at + 9000) }))
    expect(Number(keys([first, ...later], 'minutes')[0])).toBeLessThanOrEqual(Number(keys([first, ...rest], 'minutes')[0]))
  })
  it('takes the parts at fault from what was concluded, in the words it is kept in', () => {
    const view = {
      run: 'x', after: 1, readings: 3, problem: null, likely: [], enough: null, notes: [], next: [], expected: [],
      parts: [{ ref: 'D5', report: 'faulty' as const, chance: '97 %', says: 'D5 is shorted.', spot: null }, { ref: 'T1', report: 'faulty' as const, chance: '96 %', says: 'T1 is open.', spot: null },
        { ref: 'C8', report: 'masked' as const, chance: '8 %', says: '', spot: null }],
    }
    const events = behind(made('fail'), [{ kind: 'inferred', words: conclusionsOf(view) }])
    expect(keys(events, 'part')).toEqual(['D5', 'T1'])
    expect(keys(events, 'pair')).toEqual(['D5 T1'])
    expect(keys(events, 'number')).toEqual(['2'])
    expect(keys(made('pass'), 'number')).toEqual([])
  })
  it('where nothing was concluded takes the only part of a step that failed', () => {
    const events = made('fail')
    const failed = events.flatMap((event) => (event.kind === 'decided' && event.verdict === 'fail' ? [event.step] : []))
    const alone = of.board.sequence.steps.filter(({ id, parts }) => failed.includes(id) && parts.length === 1).flatMap(({ parts }) => parts)
    expect(failed.length).toBe(1)
    expect(keys(events, 'failed')).toEqual(failed)
    expect(keys(events, 'part')).toEqual(alone)
  })
})
