/** A leg that was lifted and put back is asked for no more, and nothing read at it counts. */
import { describe, expect, it } from 'vitest'
import { usualBenchKit, type Meter } from '../../../src-core/meter/instrument'
import { seconds } from '../../../src-core/quantity/units'
import type { FollowsRun } from '../../../src-core/repair/entry'
import { elsewhereRequestOf } from '../../../src-core/run/elsewhere-request'
import type { RunEvent } from '../../../src-core/run/event'
import type { Chosen } from '../../../src-core/run/measure-elsewhere'
import { readingsOf } from '../../../src-core/run/readings-of'
import { rebuild } from '../../../src-core/run/state'
import { checkedMeter, play, smallBoard, type Play } from './a-run'

/** C8 across R2; its first pad has a test point of its own. It is lifted and put back by steps of the sequence, or lifted before the run. */
const boardWith = (steps: unknown[], change: Record<string, unknown> = {}) => smallBoard({
  pictures: [{ id: 'top', file: 'top.svg', width: 320, height: 260 }],
  testPoints: [
    { id: 'J1.1', net: 'IN', picture: 'top', x: 60, y: 60, words: 'terminal 1' }, { id: 'C8.1', net: 'MID', picture: 'top', x: 200, y: 60, words: 'upper end of C8' },
    { id: 'C1.1', net: 'VCC', picture: 'top', x: 260, y: 60, words: 'plus of C1' }, { id: 'C1.2', net: 'GND', picture: 'top', x: 200, y: 160, words: 'minus of C1' },
  ],
  parts: [
    { ref: 'R1', kind: 'resistor', value: 220, tolerance: 0.05, pins: { 1: 'IN', 2: 'MID' } }, { ref: 'R2', kind: 'resistor', value: 47, tolerance: 0.05, pins: { 1: 'MID', 2: 'GND' } },
    { ref: 'C8', kind: 'capacitor', value: 1e-7, tolerance: 0.1, pins: { 1: 'MID', 2: 'GND' } },
  ],
  sequence: { id: 'input', version: 1, steps },
  ...change,
})
const r1 = { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'C8.1', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, parts: ['R1'] }
const lift = { kind: 'do', id: 'lift', title: 'Lift C8', words: 'Lift pin 1 of C8.', leaves: [{ ref: 'C8', pin: '1', is: 'lifted' }] }
const back = { kind: 'do', id: 'back', title: 'C8 back', words: 'Solder C8 back.', leaves: [{ ref: 'C8', is: 'back' }] }

const liftedBefore = (ref: string): FollowsRun => ({ run: '22222222-2222-4333-8444-555555555555', purpose: 'whole', state: [{ ref, pin: '1', is: 'lifted' }], repairs: [], coolUtc: null })

/** Behind a repair in which C8, or another part, was lifted. */
const atR1 = (meter: Meter = checkedMeter, board = boardWith([r1]), ref = 'C8'): Play => {
  const bench = play(board, meter, { kit: usualBenchKit, follows: liftedBefore(ref) })
  bench.confirm(); bench.open('dc-voltage')
  bench.confirm(); bench.confirm(); bench.lift('resistance')
  expect(bench.step()).toBe('r1')
  return bench
}
const ask = (bench: Play, what: Chosen['function'], red = '~C8.1', black = 'C1.2') => bench.give({ kind: 'elsewhere', red, black, function: what, at: seconds(bench.at()) })
const goBack = (bench: Play): void => { bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) }) }
const readings = (bench: Play) => readingsOf(bench.state(), bench.bench().context.plan).readings

describe('a leg that was put back', () => {
  // A resistor: no charge is asked after, only whether its leg is lifted.
  const liftR2 = { ...lift, leaves: [{ ref: 'R2', pin: '1', is: 'lifted' }] }
  const r2Back = { ...back, leaves: [{ ref: 'R2', is: 'back' }] }

  it('is led to by no ←: the step behind it is asked for', () => {
    const bench = play(boardWith([liftR2, r2Back, r1]), checkedMeter, { kit: usualBenchKit })
    bench.confirm(); bench.open('dc-voltage'); bench.confirm(); bench.lift('resistance')
    expect([bench.step(), ask(bench, 'resistance', '~R2.1').refused]).toEqual(['back', null])
    bench.touch('resistance', 47)
    expect(bench.step()).toBe('back')
    goBack(bench)
    // It is lifted as yet.
    expect(bench.step()).toBe('elsewhere:1')
    bench.touch('resistance', 47)
    bench.confirm(); bench.lift('resistance')
    const seen = ['r1', 'back', 'back', 'lift'].map(() => { const at = bench.step(); goBack(bench); bench.lift('resistance'); return at })
    expect(seen).toEqual(['r1', 'back', 'back', 'lift'])
    expect(elsewhereRequestOf(bench.bench())).toBeNull()
  })

  it('is no reading of the diagnosis, where a run of before recorded one as if it were lifted', () => {
    const bench = atR1(checkedMeter, boardWith([r1]), 'R2')
    ask(bench, 'resistance', '~R2.1')
    bench.touch('resistance', 47)
    expect(readings(bench)).toHaveLength(1)
    // The same events in a run that found R2 on its pad.
    const events = bench.events().map((event): RunEvent => {
      if (event.kind !== 'started') return event
      const { follows: _follows, ...found } = event
      return found
    })
    expect(readingsOf(rebuild(events), bench.bench().context.plan).readings).toEqual([])
  })
})
