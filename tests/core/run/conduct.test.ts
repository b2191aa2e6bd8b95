import { describe, expect, it } from 'vitest'
import { meterByEye } from '../../../src-core/meter/by-eye'
import { conduct } from '../../../src-core/run/conduct'
import { liveView } from '../../../src-core/run/live'
import { seconds } from '../../../src-core/quantity/units'
import { stepState } from '../../../src-core/run/state'
import { checkedMeter, play, shown, smallBoard, type Play } from './a-run'

const atFirstPart = (bench: Play = play()): Play => {
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  expect(bench.step()).toBe('r1')
  bench.lift('resistance')
  return bench
}
const press = (bench: Play, key: 'back' | 'again' | 'pause' | 'found') => {
  bench.wait(0.6)
  return bench.give({ kind: 'press', press: key, at: seconds(bench.at()) })
}

describe('a run', () => {
  it('passes when every step lies within its limits, and one press is made for the open value', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4)
    expect(bench.step()).toBe('d1')
    bench.open('diode')
    expect(bench.state().ended).toMatchObject({ verdict: 'pass' })
    expect(bench.events().filter((event) => event.kind === 'captured').map((event) => [event.step, event.evidence, event.verdict])).toEqual([
      ['prepare/store/C1', 'confirmed', 'pass'], ['r1', 'steady', 'pass'], ['d1', 'confirmed', 'pass'],
    ])
  })

  it('takes the lead resistance off a value under 100 Ω and not off one above', () => {
    const bench = play(smallBoard({ sequence: { id: 'input', version: 1, steps: [
      { kind: 'measure', id: 'coil', title: 'coil', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { between: [1, 40] } },
      { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 } },
    ] } }))
    bench.confirm(); bench.open('dc-voltage')
    bench.touch('resistance', 2.1)
    bench.touch('resistance', 220)
    expect(bench.events().filter((event) => event.kind === 'captured').slice(1).map((event) => event.value)).toEqual([expect.closeTo(2.0, 6), expect.closeTo(220, 6)])
  })

  it('a failing value asks for one fresh touch; two that agree let the fail stand', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 480)
    expect(bench.step()).toBe('r1')
    bench.touch('resistance', 480.3)
    expect(bench.step()).toBe('d1')
    const decided = bench.events().find((event) => event.kind === 'decided' && event.step === 'r1')
    expect(decided).toMatchObject({ verdict: 'fail' })
    expect(stepState(bench.state(), 'r1').captured.map((touch) => touch.touch)).toEqual([1, 2])
  })

  it('three touches that do not agree leave the contact doubtful, all three kept, and the run incomplete', () => {
    const bench = atFirstPart()
    for (const value of [480, 390, 310]) bench.touch('resistance', value)
    expect(stepState(bench.state(), 'r1').decided).toMatchObject({ verdict: 'doubtful' })
    expect(stepState(bench.state(), 'r1').captured).toHaveLength(3)
    bench.open('diode')
    expect(bench.state().ended).toMatchObject({ verdict: 'incomplete' })
  })

  it('an open resistor branches to beyond repair, with its reason', () => {
    const bench = atFirstPart()
    bench.open('resistance')
    expect(bench.state().ended).toMatchObject({ verdict: 'beyond-repair', because: 'the trace under R1 is gone' })
  })

  it('damage found by eye fails the look', () => {
    const bench = play()
    bench.confirm(); bench.open('dc-voltage')
    press(bench, 'found')
    expect(stepState(bench.state(), 'look').decided).toMatchObject({ verdict: 'fail' })
  })

  it('a skipped step keeps its reason, and the run is incomplete', () => {
    const bench = atFirstPart()
    bench.give({ kind: 'skip', reason: 'pad lifted', at: seconds(bench.at()) })
    bench.open('diode')
    expect(bench.state().ended).toMatchObject({ verdict: 'incomplete' })
    expect(stepState(bench.state(), 'r1').skipped?.reason).toBe('pad lifted')
  })

  it('a skip asked for a step that has its value meanwhile skips nothing', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4)
    const late = bench.give({ kind: 'skip', reason: 'cannot reach it', step: 'r1', at: seconds(bench.at()) })
    expect([late.events, late.refused]).toEqual([[], 'R1 has its value meanwhile: nothing was skipped.'])
    expect([bench.step(), stepState(bench.state(), 'd1').skipped]).toEqual(['d1', null])
    press(bench, 'back')
    const other = bench.give({ kind: 'skip', reason: 'cannot reach it', step: 'd1', at: seconds(bench.at()) })
    expect([other.events, other.refused]).toEqual([[], 'D1 reverse is not the present step any more: nothing was skipped.'])
    bench.give({ kind: 'skip', reason: 'cannot reach it', step: 'r1', at: seconds(bench.at()) })
    expect(stepState(bench.state(), 'r1').skipped?.reason).toBe('cannot reach it')
  })

  it('a skip that comes when the last step has ended the run skips nothing, and says why', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4); bench.open('diode')
    const late = bench.give({ kind: 'skip', reason: 'cannot reach it', step: 'd1', at: seconds(bench.at()) })
    expect([late.events, late.refused]).toEqual([[], 'D1 reverse has its value meanwhile: nothing was skipped.'])
  })

  it('a note goes to the step it was written at, though the run has moved on', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4)
    bench.give({ kind: 'note', text: 'flux beside it', step: 'r1', at: seconds(bench.at()) })
    bench.give({ kind: 'note', text: 'the next one', at: seconds(bench.at()) })
    expect([stepState(bench.state(), 'r1').notes, stepState(bench.state(), 'd1').notes]).toEqual([['flux beside it'], ['the next one']])
    expect(bench.give({ kind: 'note', text: 'lost?', step: 'r9', at: seconds(bench.at()) })).toMatchObject({ events: [], refused: expect.stringMatching(/no step r9/) as string })
  })

  it('going back keeps the earlier value and measures again', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4)
    press(bench, 'back')
    expect(bench.step()).toBe('r1')
    expect(stepState(bench.state(), 'r1').earlier.map((touch) => touch.value)).toEqual([expect.closeTo(221.4, 6)])
    bench.touch('resistance', 219.8)
    expect(bench.step()).toBe('d1')
    expect(stepState(bench.state(), 'r1').captured.map((touch) => touch.value)).toEqual([expect.closeTo(219.8, 6)])
    expect(stepState(bench.state(), 'r1').earlier).toHaveLength(1)
  })

  it('going back from the end opens the run again, and has the board proven anew', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4); bench.open('diode')
    press(bench, 'back')
    expect(bench.state().ended).toBeNull()
    expect(bench.step()).toBe('prepare/disconnect')
    bench.confirm(); bench.open('dc-voltage')
    expect(bench.step()).toBe('d1')
  })

  it('nothing is recorded while the run is paused, the meter is away, or the question about it is open', () => {
    const bench = atFirstPart()
    const count = (): number => bench.events().filter((event) => event.kind === 'captured').length
    const before = count()
    press(bench, 'pause')
    bench.hold('resistance', 221.4, 3)
    bench.give({ kind: 'press', press: 'resume', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.hold('resistance', 221.4, 3)
    bench.give({ kind: 'meter-back', other: false, at: seconds(bench.at()) })
    bench.hold('resistance', 221.4, 3)
    expect(count()).toBe(before)
  })

  it('another meter after a reconnection makes the whole session check again', () => {
    const bench = atFirstPart()
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', other: false, at: seconds(bench.at()) })
    bench.give({ kind: 'press', press: 'other-meter', at: seconds(bench.at()) })
    expect(bench.step()).toBe('prepare/leads-apart/diode')
    const { meter } = bench.bench().context
    expect(bench.events().findLast(({ kind }) => kind === 'meter-back')).toMatchObject({ same: false, meter: { id: meter.id, name: meter.name } })
  })

  it('a meter that answers as another one stops the run at once, with a note on the run, until it is said which one it is', () => {
    const bench = atFirstPart()
    const taken = (): number => bench.events().filter((event) => event.kind === 'captured').length
    const before = taken()
    const doubt = { kind: 'meter-doubted', because: 'It answers as another one.', at: seconds(bench.at()) } as const
    bench.give(doubt)
    expect(bench.events().slice(-2)).toMatchObject([{ kind: 'meter-lost' }, { kind: 'noted', step: null, text: 'It answers as another one.' }])
    bench.hold('resistance', 221.4, 3)
    expect(taken()).toBe(before)
    // A silence that had been told already is not told again.
    expect(bench.give({ ...doubt, at: seconds(bench.at()) }).events).toMatchObject([{ kind: 'noted' }])
    bench.give({ kind: 'press', press: 'other-meter', at: seconds(bench.at()) })
    expect(bench.step()).toBe('prepare/leads-apart/diode')
    expect(bench.events().findLast(({ kind }) => kind === 'meter-back')).toMatchObject({ same: false })
  })

  it('another meter in its place says what is to be known of the values before, behind its own event', () => {
    const bench = atFirstPart()
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', other: true, because: 'It was taken for another.', at: seconds(bench.at()) })
    const at = bench.events().findIndex(({ kind }) => kind === 'meter-back')
    expect(bench.events().slice(at, at + 2)).toMatchObject([{ kind: 'meter-back', same: false }, { kind: 'noted', step: null, text: 'It was taken for another.' }])
  })

  it('what comes back is named in its event, and a meter read by eye as none', () => {
    const bench = atFirstPart()
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    const eye = { ...bench.bench(), context: { ...bench.bench().context, meter: meterByEye } }
    expect(conduct(eye, { kind: 'meter-back', other: true, at: seconds(bench.at()) }).events[0]).toEqual({ kind: 'meter-back', same: false, meter: null })
    bench.give({ kind: 'meter-back', other: false, at: seconds(bench.at()) })
    bench.give({ kind: 'press', press: 'same-meter', at: seconds(bench.at()) })
    expect(bench.events().findLast(({ kind }) => kind === 'meter-back')).toMatchObject({ same: true, meter: { name: 'Bench meter' } })
  })
})

describe('presses and touches that must not mislead', () => {
  it('the second of two quick presses is not taken for the next step', () => {
    const bench = play()
    bench.confirm()
    bench.hold('dc-voltage', 0.001, 1.4)
    bench.confirm()
    expect(bench.step()).toBe('look')
    const again = bench.give({ kind: 'press', press: 'confirm', at: seconds(bench.at() + 0.2) })
    expect(again.events).toEqual([])
    expect(bench.step()).toBe('look')
  })

  it('a finite failing value is not overruled by leads in the air and a press', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4)
    bench.touch('diode', 0.312)
    expect(bench.step()).toBe('d1')
    bench.open('diode')
    expect(bench.step()).toBe('d1')
    bench.touch('diode', 0.313)
    expect(stepState(bench.state(), 'd1').decided).toMatchObject({ verdict: 'fail' })
  })

  it('a doubtful contact does not branch on its value', () => {
    const steps = [
      { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, then: [{ when: { below: 200 }, stop: 'beyond-repair', because: 'burnt' }] },
      { kind: 'look', id: 'after', title: 'After', words: 'Look.' },
    ]
    const bench = play(smallBoard({ sequence: { id: 'input', version: 1, steps } }))
    bench.confirm(); bench.open('dc-voltage'); bench.lift('resistance')
    for (const value of [80, 500, 40]) bench.touch('resistance', value)
    expect(stepState(bench.state(), 'r1').decided).toMatchObject({ verdict: 'doubtful' })
    expect(bench.step()).toBe('after')
  })

  it('a preparation step that failed in one press can be made again', () => {
    const bench = play(smallBoard(), { ...checkedMeter, diodeCheck: null })
    expect(bench.step()).toBe('prepare/known-diode')
    bench.open('diode')
    expect(bench.step()).toBe('prepare/known-diode')
    bench.touch('diode', 0.58)
    expect(bench.step()).toBe('prepare/known-diode-reversed')
  })

  it('a check that fails takes the old one with it', () => {
    const bench = play(smallBoard(), { ...checkedMeter, sourceCheck: null })
    bench.confirm()
    bench.touch('dc-voltage', 1.2); bench.touch('dc-voltage', 1.2)
    expect(bench.step()).toBe('prepare/known-source')
    expect(bench.bench().context.meter.sourceCheck).toBeNull()
  })

  it('leaving a step under power, even by going back, lapses the proof', () => {
    const steps = [
      { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 } },
      { kind: 'measure', id: 'rail', title: 'rail', red: 'C1.1', black: 'C1.2', function: 'dc-voltage', powered: true, limits: { between: [4.5, 5.5] } },
    ]
    const bench = play(smallBoard({ sequence: { id: 'input', version: 1, steps } }))
    bench.confirm(); bench.open('dc-voltage'); bench.touch('resistance', 220)
    expect(bench.step()).toBe('rail')
    press(bench, 'back')
    expect(bench.step()).toBe('prepare/disconnect')
  })

  it('a meter whose link is not isolated is refused when it comes in mid-run, too', () => {
    const bench = play(smallBoard({ mainsReferenced: true }))
    bench.confirm()
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', other: false, at: seconds(bench.at()) })
    press(bench, 'other-meter' as 'back')
    bench.hold('diode', 'overload', 3)
    bench.confirm()
    expect(bench.events().filter((event) => event.kind === 'captured')).toEqual([])
  })

  it('twelve hours end the lead check in mid-run', () => {
    const bench = atFirstPart()
    bench.give({ kind: 'tick', at: seconds(bench.at()), utcMs: Date.UTC(2026, 2, 14, 20, 30, 0) })
    expect(bench.step()).toBe('prepare/known-diode')
  })
})

describe('what the world does to a run', () => {
  it('a computer that slept lapses the proof, though its own clock stood still', () => {
    const bench = atFirstPart()
    bench.give({ kind: 'tick', at: seconds(bench.at() + 0.1), utcMs: Date.UTC(2026, 2, 14, 8, 50, 0) })
    expect(bench.step()).toMatch(/^prepare\//)
    expect(bench.state().lapsedBecause).toMatch(/slept/)
  })

  it('a step called like something every object has is a step like any other', () => {
    const steps = [{ kind: 'measure', id: 'constructor', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 } }]
    const bench = play(smallBoard({ sequence: { id: 'input', version: 1, steps } }))
    bench.confirm(); bench.open('dc-voltage'); bench.touch('resistance', 220)
    expect(bench.state().ended).toMatchObject({ verdict: 'pass' })
  })
})

describe('a record', () => {
  it('two frames that come in one go are not taken for a faster meter', () => {
    const bench = play()
    const start = bench.at()
    // Five a second, the fourth held up until the fifth is there.
    for (const at of [0, 0.2, 0.4, 0.799, 0.8, 1, 1.2]) bench.give({ kind: 'reading', reading: shown('resistance', 100, start + at) })
    const { perSecond } = liveView(bench.bench(), seconds(start + 1.2))
    expect(perSecond).toBeGreaterThan(4)
    expect(perSecond).toBeLessThan(6)
  })

  it('opened after its end is read only: nothing is taken back or measured', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4); bench.open('diode')
    const ended = bench.state().events.length
    bench.kill()
    expect(bench.bench().record).toBe(true)
    expect(press(bench, 'back').refused).toMatch(/here to be read/)
    bench.hold('diode', 0.6, 3)
    expect(bench.state().events.length).toBe(ended)
  })
})
