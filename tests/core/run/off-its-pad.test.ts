/** At a leg that is lifted off its pad: a capacitor is seen at 0 V DC before anything feeds a current into it, and a leg that was put back is asked for no more. */
import { describe, expect, it } from 'vitest'
import { meterByEye } from '../../../src-core/meter/by-eye'
import { usualBenchKit, type Meter } from '../../../src-core/meter/instrument'
import { seconds } from '../../../src-core/quantity/units'
import type { FollowsRun } from '../../../src-core/repair/entry'
import { elsewhereRequestOf } from '../../../src-core/run/elsewhere-request'
import type { RunEvent } from '../../../src-core/run/event'
import type { Chosen } from '../../../src-core/run/measure-elsewhere'
import { readingsOf } from '../../../src-core/run/readings-of'
import { benchView } from '../../../src-core/run/show'
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
const liftAgain = { ...lift, id: 'lift-again', title: 'Lift C8 again' }
const measured = { kind: 'measure', id: 'alone', title: 'R1 alone', red: 'J1.1', black: 'C8.1', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, parts: ['R1'] }
const farads: Meter = { ...checkedMeter, air: [...checkedMeter.air, { function: 'capacitance', range: null, apart: { from: 0, to: 1e-10 }, joined: null }] }

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
const view = (bench: Play) => benchView(bench.bench(), null, null)
/** DC volts across C8: 0 V unless said, as a press confirms it. */
const volts = (bench: Play, value?: number, red = '~C8.1', black = 'C1.2'): void => {
  expect(ask(bench, 'dc-voltage', red, black).refused).toBeNull()
  if (value === undefined) bench.open('dc-voltage')
  else bench.touch('dc-voltage', value)
  bench.lift('dc-voltage')
}
const readings = (bench: Play) => readingsOf(bench.state(), bench.bench().context.plan).readings

describe('a capacitor off its pad', () => {
  it('takes no current before it was seen at 0 V DC', () => {
    const bench = atR1(farads)
    for (const what of ['resistance', 'diode', 'capacitance'] as const) {
      expect(ask(bench, what)).toMatchObject({ events: [], refused: expect.stringMatching(/^C8 is off its pad, .*Discharge it through a resistor, then measure DC volts here, red on lifted pin 1 of C8, black on C1\.2: within ± 10 mV/) as string })
    }
    // Whatever the other place is: the charge is on the leg.
    expect(ask(bench, 'resistance', '~C8.1', 'J1.1').refused).toContain('C8 is off its pad')
    volts(bench)
    expect([bench.step(), ask(bench, 'resistance').refused]).toEqual(['r1', null])
  })

  it('is asked for DC volts with what they are for, by a press at 0 V, and nothing is computed for them', () => {
    const bench = atR1()
    ask(bench, 'dc-voltage')
    const { step, keys } = view(bench)
    expect(step).toMatchObject({ function: 'dc-voltage', limits: '', scale: null })
    expect(step?.caution).toContain('C8 may still hold a charge: the preparation did not empty it. Discharge it through a resistor')
    expect(step?.where).toContain('counts as empty')
    expect(keys.find(({ action }) => action === 'confirm')?.does).toBe('confirm zero')
    expect(elsewhereRequestOf(bench.bench())).toBeNull()
    bench.hold('dc-voltage', 0.001, 1.4)
    expect(bench.step()).toBe('elsewhere:1')
    bench.confirm()
    // It tells of a charge and of no part.
    expect([bench.step(), view(bench).steps.find(({ id }) => id === 'elsewhere:1')?.value, readings(bench)]).toEqual(['r1', '1 mV', []])
  })

  it('is said to be dangerous on a board that can be', () => {
    const hazardous = boardWith([r1], { hazard: 'hazardous' })
    const bench = play(hazardous, checkedMeter, { kit: usualBenchKit, follows: liftedBefore('C8') })
    // The proof of a hazardous board: the source, the store twice with a discharge and its wait of 30 s, the source again.
    bench.confirm(); bench.touch('dc-voltage', 1.55); bench.open('dc-voltage'); bench.confirm(); bench.wait(31); bench.open('dc-voltage'); bench.touch('dc-voltage', 1.55)
    bench.confirm(); bench.confirm(); bench.lift('resistance')
    expect(bench.step()).toBe('r1')
    ask(bench, 'dc-voltage')
    expect(view(bench).step?.caution).toMatch(/^This board can hold a voltage that injures or kills\..*C8 may still hold a charge/)
    bench.touch('dc-voltage', 160)
    // 60 V DC: IEC 61010-1, from memory (preparation.ts).
    expect(view(bench).spoken.flatMap(({ sentences }) => sentences)).toContain('stop, dangerous voltage on the board')
    expect(ask(bench, 'resistance').refused).toContain('Last it read 160.000 V DC.')
  })

  it('with a charge left is refused, whichever way round it was read and whatever was read before', () => {
    for (const charged of [0.9, -0.9, 0.012]) {
      const bench = atR1()
      volts(bench)
      volts(bench, charged)
      expect(ask(bench, 'resistance').refused).toContain('C8 is off its pad')
      // Taken back, the charge is still there.
      goBack(bench); goBack(bench)
      bench.lift('dc-voltage')
      expect([bench.step(), ask(bench, 'resistance').refused]).toEqual(['r1', expect.stringContaining('C8 is off its pad')])
      volts(bench, undefined, 'C1.2', '~C8.1')
      expect(ask(bench, 'resistance').refused).toBeNull()
    }
  })

  it('is seen empty anew behind a negative reading, which only a charge gives', () => {
    const bench = atR1()
    volts(bench)
    ask(bench, 'resistance')
    expect(bench.step()).toBe('elsewhere:2')
    bench.lift('resistance'); bench.hold('resistance', -40, 1.6); bench.lift('resistance')
    expect(bench.events().some(({ kind }) => kind === 'proof-lapsed')).toBe(true)
    bench.confirm(); bench.open('dc-voltage'); bench.lift('resistance')
    expect([bench.step(), readings(bench), ask(bench, 'resistance').refused]).toEqual(['r1', [], expect.stringContaining('C8 is off its pad')])
  })

  it('is seen empty anew after each lift', () => {
    const bench = play(boardWith([lift, measured, back, liftAgain, r1]), checkedMeter, { kit: usualBenchKit })
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.lift('resistance')
    expect(bench.step()).toBe('alone')
    ask(bench, 'dc-voltage'); bench.open('dc-voltage'); bench.lift('dc-voltage')
    expect(ask(bench, 'resistance').refused).toBeNull()
    bench.open('resistance'); bench.lift('resistance')
    bench.touch('resistance', 220)
    bench.confirm(); bench.confirm()
    bench.lift('resistance')
    expect([bench.step(), ask(bench, 'resistance').refused]).toEqual(['r1', expect.stringContaining('C8 is off its pad')])
    volts(bench)
    expect(ask(bench, 'resistance').refused).toBeNull()
  })

  it('reads DC volts across itself only, and with no test point on its other end nothing at all', () => {
    const bench = atR1()
    expect(ask(bench, 'dc-voltage', 'J1.1', 'C1.2').refused).toContain('DC volts are measured only across a capacitor with a leg lifted')
    expect(ask(bench, 'dc-voltage', '~C8.1', 'J1.1').refused).toContain('DC volts are measured only across a capacitor with a leg lifted')
    const hidden = boardWith([r1], { parts: [
      { ref: 'R1', kind: 'resistor', value: 220, tolerance: 0.05, pins: { 1: 'IN', 2: 'MID' } }, { ref: 'C8', kind: 'capacitor', value: 1e-7, tolerance: 0.1, pins: { 1: 'MID', 2: 'INNER' } },
    ], nets: ['IN', 'MID', 'GND', 'VCC', 'INNER'] })
    expect(ask(atR1(checkedMeter, hidden), 'resistance').refused).toContain('measure it off the board')
  })

  it('read by eye wants the digits that tell 10 mV from more', () => {
    const bench = play(boardWith([r1]), { ...checkedMeter, id: meterByEye.id, name: meterByEye.name }, { kit: usualBenchKit, follows: liftedBefore('C8') })
    const type = (text: string) => bench.give({ kind: 'typed', text, step: bench.step() ?? '', touch: 1, at: seconds(bench.at()) })
    bench.confirm(); type('0.001'); bench.confirm(); bench.confirm()
    expect(bench.step()).toBe('r1')
    ask(bench, 'dc-voltage')
    expect([type('0').refused, bench.step()]).toEqual([expect.stringContaining('Type every digit the meter shows'), 'elsewhere:1'])
    type('0.002')
    expect([bench.step(), ask(bench, 'resistance').refused]).toEqual(['r1', null])
  })
})

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
