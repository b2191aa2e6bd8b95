/** One run as it is read: nothing that was recorded is missing, and nothing is judged anew. */
import { describe, expect, it } from 'vitest'
import { framesOf, runDetailOf } from '../../../src-core/run/detail'
import { runDetail } from '../../../src-core/run/detail-view'
import type { RunEvent } from '../../../src-core/run/event'
import { rebuild } from '../../../src-core/run/state'
import { seconds } from '../../../src-core/quantity/units'
import { tableColumns, tableRows } from '../../../src-core/run/value-table'
import { play, smallBoard } from './a-run'

const prepared = () => {
  const bench = play()
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  return bench
}

const stepOf = (detail: ReturnType<typeof runDetailOf>, id: string) => {
  const step = detail.steps.find((each) => each.id === id)
  if (step === undefined) throw new Error(`there is no step ${id}`)
  return step
}

describe('one run', () => {
  it('shows value, U, limits, verdict and evidence of every step, and fits its schema', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4); bench.open('diode')
    const detail = runDetailOf(bench.state(), smallBoard())
    expect(runDetail.parse(detail)).toEqual(detail)
    expect(detail.head).toMatchObject({ serialNumber: 'S-1', verdict: 'pass', practice: false, meter: 'Bench meter', board: { name: 'Soil probe' } })
    const [r1] = stepOf(detail, 'r1').values
    expect(stepOf(detail, 'r1')).toMatchObject({ placement: 'red J1.1, black R1.2', limits: '209 Ω to 231 Ω', verdict: 'pass' })
    expect(r1).toMatchObject({ standing: true, words: '221.4 Ω', evidence: 'steady', verdict: 'pass', limits: '209 Ω to 231 Ω', rule: 'simple acceptance' })
    // By hand: the accuracy, ± (1.5 % · 221.4 + 5 · 0.1) = ± 3.82 Ω and rectangular, rules; 95 % of it is 3.63 Ω, and
    // the rest is a hundredth of that; the 0.1 Ω of the leads, not taken off above 100 Ω, stand whole beside it.
    expect(r1?.uncertainty).toBe('± 3.7 Ω (k = 1.65, 1.5 % and 5 counts assumed)')
    expect(r1?.budget).toMatchObject({ result: '(221.4 ± 3.7) Ω', conformance: expect.stringContaining('risk of a wrong pass') as string })
    expect(r1?.budget?.rows.map(({ what }) => what)).toEqual(['repeatability', 'resolution', 'accuracy of the meter', 'lead resistance'])
    expect(r1?.ruleWords).toMatch(/^Limits 209 Ω to 231 Ω\. Simple acceptance \(ILAC-G8:09\/2019\)/)
    expect(r1?.frames).toBe(r1?.conversions)
    expect(stepOf(detail, 'd1').values[0]).toMatchObject({ words: 'open', evidence: 'confirmed', uncertainty: '', budget: null, noBudget: '' })
    expect(detail.events.map(({ seq }) => seq)).toEqual(bench.events().map(({ seq }) => seq))
  })

  it('says why no record is issued of it: not of practice, not before it has ended', () => {
    const bench = prepared()
    expect(runDetailOf(bench.state(), smallBoard()).noRecord).toMatch(/has not ended: go on with it, or end it/)
    bench.touch('resistance', 221.4); bench.open('diode')
    const ended = bench.state()
    expect(runDetailOf(ended, smallBoard()).noRecord).toBeNull()
    // It may have been issued while the board file was still there.
    expect(runDetailOf(ended, null).noRecord).toBeNull()
    expect(runDetailOf({ ...ended, started: { ...ended.started, practice: { seed: 1, faults: [] } } }, smallBoard()).noRecord).toMatch(/practice run: its values are simulated/)
  })

  it('keeps a value that was stepped back from as an earlier one, and marks what was taken back', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4)
    bench.wait(1)
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    bench.touch('resistance', 219.8)
    const detail = runDetailOf(bench.state(), smallBoard())
    expect(stepOf(detail, 'r1').values.map(({ words, standing }) => [words, standing])).toEqual([['221.4 Ω', false], ['219.8 Ω', true]])
    const undone = detail.events.filter((event) => event.undone).map(({ words }) => words)
    expect(undone.some((words) => words.includes('221.4 Ω recorded'))).toBe(true)
    expect(undone.some((words) => words.includes('219.8 Ω'))).toBe(false)
  })

  it('tells notes and the reason of a skip at their step', () => {
    const bench = prepared()
    bench.give({ kind: 'note', text: 'flux residue at R1', at: seconds(bench.at()) })
    bench.give({ kind: 'skip', reason: 'no access', at: seconds(bench.at()) })
    const r1 = stepOf(runDetailOf(bench.state(), smallBoard()), 'r1')
    expect(r1).toMatchObject({ notes: ['flux residue at R1'], skipReason: 'no access', verdict: 'not-judged', values: [] })
  })

  it('says of every value which meter it came from, also where a run went on with another and was then read by eye', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4); bench.open('diode')
    const [seqR1, seqD1] = ['r1', 'd1'].map((id) => bench.events().find((event) => event.kind === 'captured' && event.step === id)?.seq ?? 0)
    const back = (meter: { id: string; name: string } | null | undefined, same = false) => ({ kind: 'meter-back' as const, same, ...(meter === undefined ? {} : { meter }) })
    const mixed = (first: ReturnType<typeof back>, second: ReturnType<typeof back>) => {
      const events = bench.events().flatMap((event) => {
        const { v, run, session, utc, at } = event
        const stamped = (body: ReturnType<typeof back>) => ({ v, run, session, utc, at, seq: 1, ...body })
        return event.seq === seqR1 ? [stamped(first), event] : event.seq === seqD1 ? [stamped(second), event] : [event]
      }).map((event, index): RunEvent => ({ ...event, seq: index + 1 }))
      const state = rebuild(events)
      const detail = runDetailOf(state, smallBoard())
      expect(runDetail.parse(detail)).toEqual(detail)
      const column = tableColumns.indexOf('meter')
      const rows = tableRows({ state, board: smallBoard() }).filter((row) => ['r1', 'd1'].includes(String(row[tableColumns.indexOf('step')])))
      const said = ['r1', 'd1'].map((id) => stepOf(detail, id).values[0]?.meter)
      expect(rows.map((row) => row[column])).toEqual(said)
      return [detail.head.meter, ...said]
    }
    const other = { id: 'other', name: 'Second meter' }
    expect(mixed(back(other), back(null))).toEqual(['Bench meter, then Second meter, then read by eye', 'Second meter', 'read by eye'])
    expect(mixed(back(other), back(other, true))).toEqual(['Bench meter, then Second meter', 'Second meter', 'Second meter'])
    // Runs of before: the event does not say which.
    expect(mixed(back(undefined, true), back(undefined))).toEqual(['Bench meter, then another meter', 'Bench meter', 'another meter'])
  })

  it('is read without its board file too, by the names in its events', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4)
    const detail = runDetailOf(bench.state(), null)
    expect(detail.boardKnown).toBe(false)
    expect(stepOf(detail, 'r1')).toMatchObject({ title: 'r1', kind: 'unknown', verdict: 'pass' })
    expect(stepOf(detail, 'r1').values[0]?.words).toBe('221.4 Ω')
  })

  it('does not tell what hides in a practice board before its run has ended', () => {
    const bench = prepared()
    const hide = (events: RunEvent[]): RunEvent[] => events.map((event) => (event.kind === 'started' ? { ...event, practice: { seed: 1, faults: ['R1:open'] } } : event))
    expect(runDetailOf(rebuild(hide(bench.events())), smallBoard()).truth).toBeNull()
    bench.touch('resistance', 221.4); bench.open('diode')
    expect(runDetailOf(rebuild(hide(bench.events())), smallBoard()).truth).toMatch(/^Hidden in the practice board: R1/)
    const byHand = rebuild(bench.events().map((event) => (event.kind === 'started' ? { ...event, practice: { seed: 1, faults: ['R1:open'], by: 'hand' as const } } : event)))
    const way = { steps: ['r1'], shows: true, exact: true, alike: [] }
    expect(runDetailOf(byHand, smallBoard(), way).truth).toMatch(/^Hidden in the practice board: R1 is open\. You made 2 touches, and 1 in the preparation; 1 would have shown it: R1\.$/)
    expect(runDetailOf(byHand, smallBoard(), 'failed').truth).toMatch(/could not be computed\.$/)
    expect(runDetailOf(byHand, smallBoard()).truth).toBe('Hidden in the practice board: R1 is open.')
  })

  it('shows a frame in hex, and as text where all of it can be printed', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4)
    const captured = bench.events().find((event) => event.kind === 'captured' && event.step === 'r1')
    if (captured?.kind !== 'captured') throw new Error('nothing was captured')
    const hexOf = (text: string): string => Buffer.from(text, 'latin1').toString('hex')
    expect(framesOf({ ...captured, raw: [hexOf('RES 221.4 Ohm A\r\n'), '00ff41', ''] })).toEqual([
      { hex: hexOf('RES 221.4 Ohm A\r\n'), text: 'RES 221.4 Ohm A' }, { hex: '00ff41', text: null }, { hex: '', text: null },
    ])
    expect(framesOf(bench.events()[0] ?? null)).toBeNull()
  })
})
