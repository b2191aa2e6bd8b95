import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { stepState } from '../../../src-core/run/state'
import { play, smallBoard, type Play } from './a-run'

const atFirstPart = (bench: Play = play()): Play => {
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  expect(bench.step()).toBe('r1')
  bench.lift('resistance')
  return bench
}
const press = (bench: Play, key: 'back' | 'again' | 'pause' | 'found') => bench.give({ kind: 'press', press: key, at: seconds(bench.at()) })

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

  it('going back from the end opens the run again', () => {
    const bench = atFirstPart()
    bench.touch('resistance', 221.4); bench.open('diode')
    press(bench, 'back')
    expect(bench.state().ended).toBeNull()
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
    bench.give({ kind: 'meter-back', at: seconds(bench.at()) })
    bench.hold('resistance', 221.4, 3)
    expect(count()).toBe(before)
  })

  it('another meter after a reconnection makes the whole session check again', () => {
    const bench = atFirstPart()
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', at: seconds(bench.at()) })
    bench.give({ kind: 'press', press: 'other-meter', at: seconds(bench.at()) })
    expect(bench.step()).toBe('prepare/leads-apart/diode')
  })
})
