import { describe, expect, it } from 'vitest'
import { meterByEye } from '../../../src-core/meter/by-eye'
import { seconds } from '../../../src-core/quantity/units'
import { touchesSoFar } from '../../../src-core/run/bench'
import { liveView } from '../../../src-core/run/live'
import { benchView } from '../../../src-core/run/show'
import { checkedMeter, newMeter, play, shown, smallBoard, type Play } from './a-run'

const type = (p: Play, text: string, step = p.step() ?? '', touch = touchesSoFar(p.state(), step).length + 1): string | null =>
  p.give({ kind: 'typed', text, step, touch, at: seconds(p.at()) }).refused

/** The preparation with a meter read by eye: a diode both ways, the leads, the known source, the store. */
const prepare = (p: Play): void => {
  for (const text of ['OL', '0.581', 'OL', 'OL', '0.2']) expect(type(p, text)).toBeNull()
  p.confirm() // unplugged
  for (const text of ['1.562', '0.000']) expect(type(p, text)).toBeNull()
}

const captured = (p: Play, step: string) => p.events().flatMap((event) => (event.kind === 'captured' && event.step === step ? [event] : []))

describe('values typed with no meter connected', () => {
  it('go through the preparation and the sequence, and the verdict of the run names them', () => {
    const p = play(smallBoard(), meterByEye)
    expect(p.step()).toBe('prepare/leads-apart/diode')
    prepare(p)
    p.confirm() // looked at
    expect(p.step()).toBe('r1')
    type(p, '221.4')
    type(p, 'OL')
    expect(p.state().ended).toMatchObject({ verdict: 'pass', because: expect.stringContaining('Every value was read by eye and typed in.') as string })
    expect(p.events().filter((event) => event.kind === 'captured').every((event) => event.evidence === 'typed' && event.raw.length === 0)).toBe(true)
  })

  it('a run that ends before its last step names them too, be it by a branch of the board or by a skip', () => {
    const p = play(smallBoard(), meterByEye)
    prepare(p)
    p.confirm()
    type(p, '221.4')
    p.give({ kind: 'skip', reason: 'cannot reach it', at: seconds(p.at()) })
    expect(p.state().ended).toMatchObject({ verdict: 'incomplete', because: 'Not judged: D1 reverse. Every value was read by eye and typed in.' })
  })

  it('no step on a part comes before the proof that the board is de-energised', () => {
    const p = play(smallBoard(), meterByEye)
    for (const text of ['OL', '0.581', 'OL', 'OL', '0.2']) type(p, text)
    p.confirm()
    type(p, '1.562')
    expect(p.step()).toBe('prepare/store/C1')
    type(p, '3.200') // the store still holds 3.2 V
    expect(p.step()).toBe('prepare/discharge/C1')
  })

  it('a store that was discharged is not read before its wait has run', () => {
    const p = play(smallBoard(), meterByEye)
    for (const text of ['OL', '0.581', 'OL', 'OL', '0.2']) type(p, text)
    p.confirm()
    for (const text of ['1.562', '3.200']) type(p, text)
    p.confirm() // discharged
    expect(type(p, '0.000')).toMatch(/^Wait \d+ s more/)
    expect(liveView(p.bench(), seconds(p.at())).state).toMatch(/^wait \d+ s$/)
    p.wait(31)
    expect(type(p, '0.000')).toBeNull()
    expect(p.step()).toBe('look')
  })

  it('the resistance of the leads comes off on the same range, and the uncertainty is the generic one', () => {
    const p = play(smallBoard({ sequence: { id: 'low', version: 1, steps: [
      { kind: 'measure', id: 'coil', title: 'Coil', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { between: [4, 9] } }] } }), meterByEye)
    prepare(p)
    type(p, '6.7')
    // By hand: accuracy ± (1.5 % of the 6.7 shown + 5 counts), one reading ± 1 count, ± half a count, and half a count of the lead check.
    const [coil] = captured(p, 'coil')
    expect(coil).toMatchObject({ value: 6.5, resolution: 0.1, uncertainty: { basis: 'generic' }, budget: { basis: 'generic' } })
    expect(coil?.budget?.combined).toBeCloseTo(Math.sqrt((0.015 * 6.7 + 0.5) ** 2 + 0.1 ** 2 + 0.05 ** 2 + 0.05 ** 2) / Math.sqrt(3), 9)
    expect(coil?.uncertainty?.U).toBe(coil?.budget?.U)
    expect(coil?.budget?.remarks).toContain('The meter’s accuracy was not entered: a usual one of hand-held meters stands in.')
  })

  it('a failing value is asked for once more, an open one stands at once', () => {
    const p = play(smallBoard(), meterByEye)
    prepare(p)
    p.confirm()
    type(p, '480.2')
    expect(p.step()).toBe('r1')
    expect(liveView(p.bench(), seconds(p.at())).state).toBe('touch once more, then type it')
    type(p, '480.9')
    expect(p.step()).toBe('d1')
    expect(p.events().filter((event) => event.kind === 'decided').at(-1)).toMatchObject({ step: 'r1', verdict: 'fail' })
    const open = play(smallBoard(), meterByEye)
    prepare(open)
    open.confirm()
    type(open, 'OL')
    expect(open.state().ended?.verdict).toBe('beyond-repair')
  })

  it('digits left out are asked for: one count must be fine enough for the limits', () => {
    const p = play(smallBoard(), meterByEye)
    expect(type(p, '0.9')).toMatch(/not what leads show that touch nothing/)
    type(p, 'OL')
    expect(type(p, '0.6')).toMatch(/Type every digit the meter shows/)
    expect(captured(p, 'prepare/known-diode')).toEqual([])
    expect(type(p, '0.59')).toBeNull()
  })

  it('a prefix that no meter could show in that function is a slip of the finger: it is said, and nothing is kept', () => {
    const p = play(smallBoard(), meterByEye)
    expect(type(p, '22.1 k')).toMatch(/No meter shows 22\.1 kV in diode test/)
    expect(captured(p, 'prepare/known-diode')).toEqual([])
  })

  it('a negative resistance or diode value means a charged board: nothing is kept and the proof is gone', () => {
    const p = play(smallBoard(), meterByEye)
    prepare(p)
    p.confirm()
    type(p, '-12.0')
    expect(captured(p, 'r1')).toEqual([])
    expect(p.state().lapsedBecause).toMatch(/charged/)
    expect(p.step()).toBe('prepare/disconnect')
  })

  it('is refused while a meter is read, in a step that looks, paused, and after the end', () => {
    const read = play(smallBoard(), newMeter)
    expect(type(read, '0.581')).toMatch(/reads its meter/)
    const p = play(smallBoard(), meterByEye)
    prepare(p)
    expect(type(p, '12')).toMatch(/Nothing is measured/)
    p.give({ kind: 'press', press: 'pause', at: seconds(p.at()) })
    expect(type(p, '12')).toMatch(/paused/)
    p.give({ kind: 'press', press: 'resume', at: seconds(p.at()) })
    p.give({ kind: 'end', reason: 'enough', at: seconds(p.at()) })
    expect(type(p, '12')).toMatch(/ended/)
  })

  it('a figure sent twice is one touch of one step: the second is for a touch that has its value already', () => {
    const p = play(smallBoard(), meterByEye)
    prepare(p)
    p.confirm()
    expect(type(p, '480.2', 'r1', 1)).toBeNull()
    expect(type(p, '480.2', 'r1', 1)).toMatch(/has its value already/)
    expect(captured(p, 'r1')).toHaveLength(1)
    expect(type(p, '480.9', 'r1', 2)).toBeNull()
    expect(type(p, '480.9', 'r1', 2)).toMatch(/has its value already\. Nothing was recorded for D1 reverse/)
    expect(captured(p, 'd1')).toEqual([])
  })

  it('a branch of the board that ends the run keeps the words on what was typed', () => {
    const p = play(smallBoard(), meterByEye)
    prepare(p)
    p.confirm()
    type(p, 'OL')
    expect(p.state().ended?.because).toBe('the trace under R1 is gone. Every value was read by eye and typed in.')
  })

  it('a meter that shows a figure with its leads apart is known by it: the same figure is open, on the known diode and on the board', () => {
    const p = play(smallBoard(), meterByEye)
    for (const text of ['2.803', '0.581', '2.801', 'OL', '0.2']) expect(type(p, text)).toBeNull()
    expect(p.step()).toBe('prepare/disconnect')
    p.confirm()
    for (const text of ['1.562', '0.000']) type(p, text)
    p.confirm()
    type(p, '221.4')
    type(p, '2.802')
    expect(captured(p, 'd1')[0]).toMatchObject({ value: 2.802, verdict: 'pass', evidence: 'typed' })
    expect(p.state().ended?.verdict).toBe('pass')
  })

  it('readings that reach a typed run all the same are not recorded', () => {
    const p = play(smallBoard(), meterByEye)
    prepare(p)
    p.confirm()
    const before = p.events().length
    p.hold('resistance', 221.4, 3)
    p.give({ kind: 'reading', reading: shown('resistance', 221.4, p.at() + 0.2) })
    expect(p.confirm().refused).toMatch(/type what it shows/)
    expect(p.events().length).toBe(before)
  })

  it('the screen is told to take a figure, in the unit of the step, and that no meter is there', () => {
    const p = play(smallBoard(), meterByEye)
    const view = benchView(p.bench(), null, null)
    expect(view).toMatchObject({ byEye: true, step: { typed: { unit: 'V' } } })
    expect(view.keys.map(({ action }) => action)).not.toContain('confirm')
    expect(liveView(p.bench(), seconds(p.at()))).toMatchObject({ wants: 'type', state: 'hold the leads apart, type it' })
    type(p, 'OL')
    expect(liveView(p.bench(), seconds(p.at()))).toMatchObject({ wants: 'type', state: 'touch, then type what it shows' })
    expect(benchView(play(smallBoard(), checkedMeter).bench(), null, null)).toMatchObject({ byEye: false, step: { typed: null } })
  })
})
