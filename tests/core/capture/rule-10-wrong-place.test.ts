/** Rule 10, the wrong place: a value that fits a neighbouring placement on a good board better than the likeliest fault here is said so. */
import { describe, expect, it } from 'vitest'
import { boardType } from '../../../src-core/board/board-type'
import { seconds } from '../../../src-core/quantity/units'
import { recordOfRun } from '../../../src-core/record/from-run'
import { answerPlacements, placementsRequestOf } from '../../../src-core/run/placements-request'
import { liveView } from '../../../src-core/run/live'
import { runDetailOf } from '../../../src-core/run/detail'
import { rebuild } from '../../../src-core/run/state'
import { meterByEye } from '../../../src-core/meter/by-eye'
import { sourcesMade } from '../../bench-tools/made-records'
import { checkedMeter, play, smallBoard, type Play } from '../run/a-run'

/** R3 and R4 side by side, of different values, and a diode that can be touched the wrong way round. */
const board = boardType.parse({
  ...smallBoard(), nets: ['IN', 'MID', 'OUT', 'GND', 'VCC'],
  testPoints: [...smallBoard().testPoints, { id: 'R4.2', net: 'OUT', picture: 'top', x: 20, y: 14, words: 'inner end of R4' }],
  parts: [
    { ref: 'R3', kind: 'resistor', value: 220, tolerance: 0.02, pins: { 1: 'IN', 2: 'MID' } }, { ref: 'R4', kind: 'resistor', value: 470, tolerance: 0.02, pins: { 1: 'IN', 2: 'OUT' } },
    { ref: 'D1', kind: 'diode', pins: { anode: 'GND', cathode: 'MID' } },
  ],
  sequence: { id: 'input', version: 1, steps: [
    { kind: 'measure', id: 'r3', title: 'R3', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.08 }, parts: ['R3'] },
    { kind: 'measure', id: 'r4', title: 'R4', red: 'J1.1', black: 'R4.2', function: 'resistance', limits: { nominal: 470, tolerance: 0.08 }, parts: ['R4'] },
    { kind: 'measure', id: 'd1-reverse', title: 'D1 reverse', red: 'R1.2', black: 'C1.2', function: 'diode', limits: { atLeast: 1.5 }, parts: ['D1'] },
  ] },
})

const know = (bench: Play): void => {
  const asked = placementsRequestOf(bench.bench())
  if (asked !== null) bench.give({ kind: 'placements-known', answer: answerPlacements(asked), at: seconds(bench.at()) })
}
const atR3 = (meter = checkedMeter): Play => {
  const bench = play(board, meter)
  know(bench)
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  expect(bench.step()).toBe('r3')
  return bench
}
const lineOf = (bench: Play) => liveView(bench.bench(), seconds(bench.at()))
const kinds = (bench: Play): string[] => bench.events().flatMap((event) => ('step' in event && event.step?.startsWith('prepare/') === false ? [event.kind] : []))

describe('rule 10: the wrong place', () => {
  it('rule 10: “this looks like R4; are you on R3?” is asked at once, nothing is recorded, and the leads are to be lifted', () => {
    const bench = atR3()
    bench.lift('resistance'); bench.hold('resistance', 469.2, 1.6)
    expect(kinds(bench)).toEqual(['questioned'])
    expect(lineOf(bench)).toMatchObject({ state: 'looks like R4: are you on R3?', tone: 'warn', wants: 'lift' })
    expect(lineOf(bench).spoken).toMatchObject({ kind: 'hint', sentences: ['looks like R4, are you on R3?'] })
    bench.lift('resistance')
    expect(lineOf(bench).state).toBe('right place? touch it again')
    expect(bench.step()).toBe('r3')
  })
  it('rule 10: with a meter whose accuracy is known, a value off R4’s is not taken for it; with a usual one’s it is', () => {
    // R4 is 470 Ω ± 2 %: 460.6 Ω to 479.4 Ω, a little more with the warmth; a usual meter adds 8 Ω and more, this one half an ohm.
    const exact = { ...checkedMeter, accuracy: { resistance: { percent: 0.05, counts: 2 } } }
    const byRange = { ...checkedMeter, register: { ...checkedMeter.register, ranges: [{ function: 'resistance' as const, range: 600, percent: 0.05, counts: 2 }] } }
    const asked = [checkedMeter, exact, byRange].map((meter) => {
      const bench = atR3(meter)
      bench.lift('resistance'); bench.hold('resistance', 486.5, 1.6)
      return kinds(bench)
    })
    expect(asked).toEqual([['questioned'], ['captured'], ['captured']])
    // On R4 itself it is asked with each of them.
    for (const meter of [exact, byRange]) {
      const bench = atR3(meter)
      bench.lift('resistance'); bench.hold('resistance', 469.2, 1.6)
      expect(kinds(bench)).toEqual(['questioned'])
    }
  })
  it('rule 10: on the right place then, the step has one touch like any other', () => {
    const bench = atR3()
    bench.touch('resistance', 469.2); bench.touch('resistance', 221)
    expect(kinds(bench)).toEqual(['questioned', 'captured', 'decided'])
    expect(bench.state().steps.r3?.decided?.verdict).toBe('pass')
  })
  it('rule 10: the same value touched again is the answer: it is recorded, asked for once more as any failing one, and stands', () => {
    const bench = atR3()
    bench.touch('resistance', 469.2); bench.touch('resistance', 469.4)
    expect(kinds(bench)).toEqual(['questioned', 'captured'])
    bench.touch('resistance', 469.1)
    expect([kinds(bench).filter((kind) => kind === 'questioned').length, bench.state().steps.r3?.decided?.verdict]).toEqual([1, 'fail'])
  })
  it('rule 10: it is asked once: a worn contact that reads another value each time comes to its three touches', () => {
    const bench = atR3()
    for (const ohms of [465, 476, 466, 478]) bench.touch('resistance', ohms)
    expect(kinds(bench)).toEqual(['questioned', 'captured', 'captured', 'captured', 'decided'])
    expect(bench.state().steps.r3?.decided?.verdict).toBe('fail')
  })
  it('rule 10: leads exchanged are named', () => {
    const bench = atR3()
    bench.touch('resistance', 221); bench.touch('resistance', 469.8)
    expect(bench.step()).toBe('d1-reverse')
    bench.lift('diode'); bench.hold('diode', 0.58, 1.6)
    expect(lineOf(bench).state).toBe('looks like leads exchanged: red on R1.2?')
  })
  it('rule 10: a value that passes is never asked about, nor is one that a fault explains better, nor an open end', () => {
    const drifted = atR3()
    drifted.touch('resistance', 310); drifted.touch('resistance', 310)
    expect([kinds(drifted).includes('questioned'), drifted.state().steps.r3?.decided?.verdict]).toEqual([false, 'fail'])
    const open = atR3()
    open.lift('resistance'); open.open('resistance')
    expect([kinds(open).includes('questioned'), open.state().steps.r3?.decided?.verdict]).toEqual([false, 'fail'])
  })
  it('rule 10: a slip at the second touch is asked about too, and counts for nothing', () => {
    const bench = atR3()
    bench.touch('resistance', 310); bench.touch('resistance', 469.2); bench.touch('resistance', 310)
    expect(kinds(bench)).toEqual(['captured', 'questioned', 'captured', 'decided'])
    expect(bench.state().steps.r3?.decided).toMatchObject({ verdict: 'fail' })
  })
  it('rule 10: what failed there before is no good board’s reading, so it is not what this looks like', () => {
    const swapped = { ...board, sequence: { ...board.sequence, steps: [board.sequence.steps[1], board.sequence.steps[0], board.sequence.steps[2]].flatMap((step) => step ?? []) } }
    const bench = play(swapped)
    know(bench)
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 900); bench.touch('resistance', 900)
    expect(bench.state().steps.r4?.decided?.verdict).toBe('fail')
    bench.touch('resistance', 469.2)
    expect(kinds(bench).includes('questioned')).toBe(false)
  })
  it('rule 10: without what the board would read elsewhere, or with another meter’s, nothing is asked', () => {
    const bench = play(board)
    const asked = placementsRequestOf(bench.bench())
    if (asked === null) throw new Error('nothing is asked for')
    bench.give({ kind: 'placements-known', answer: { key: asked.key, readings: { steps: [], neighbours: [], spread: [], cells: [] } }, at: seconds(bench.at()) })
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 469.2)
    expect(kinds(bench)).toEqual(['captured'])
    const other = atR3()
    other.give({ kind: 'placements-known', answer: { ...answerPlacements(asked), key: 'another' }, at: seconds(other.at()) })
    other.touch('resistance', 469.2)
    expect(kinds(other)).toEqual(['captured'])
    expect(placementsRequestOf(other.bench())).not.toBeNull()
  })
  it('rule 10: a typed value is asked about in the same words, and typed again it stands', () => {
    const bench = play(board, { ...meterByEye, air: checkedMeter.air, leadCheck: checkedMeter.leadCheck, diodeCheck: checkedMeter.diodeCheck, sourceCheck: checkedMeter.sourceCheck })
    know(bench)
    const type = (text: string, touch = 1) => bench.give({ kind: 'typed', text, step: bench.step() ?? '', touch, at: seconds(bench.at()) })
    bench.confirm(); type('0.000'); bench.confirm()
    expect(bench.step()).toBe('r3')
    type('469.2')
    expect(lineOf(bench)).toMatchObject({ state: 'looks like R4: are you on R3?', wants: 'type' })
    type('469.2')
    expect(kinds(bench)).toEqual(['questioned', 'captured'])
  })
  it('rule 10: what was asked is never silent: it stands in the events, in the run as it is read, and in the record', () => {
    const bench = atR3()
    bench.touch('resistance', 469.2); bench.touch('resistance', 221); bench.touch('resistance', 469.8)
    bench.lift('diode'); bench.open('diode')
    const words = 'R3: 469.2 Ω was not recorded. It fits what a good board reads at R4 better than a fault here, and it was asked where the leads are.'
    const again = rebuild(JSON.parse(JSON.stringify(bench.events())) as ReturnType<Play['events']>)
    expect(again).toEqual(bench.state())
    expect(runDetailOf(again, board).events.map((each) => each.words)).toContain(words)
    expect(recordOfRun(sourcesMade({}, { state: again, board })).notes).toEqual([{ at: expect.any(String) as string, step: 'r3', words }])
  })
})
