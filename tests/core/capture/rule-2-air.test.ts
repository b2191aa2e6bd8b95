/** Rule 2, the air pattern: what this meter shows with its leads apart or joined is no contact. */
import { describe, expect, it } from 'vitest'
import type { CaptureTask } from '../../../src-core/capture/task'
import { atBench, secondsToCapture, type Look } from './streams'

const noContact = (task: Partial<CaptureTask>, meter: Partial<Look>, shown: (since: number) => number): void => {
  const hand = atBench(task, meter)
  hand.hold(shown, 30)
  expect(hand.captured()).toEqual([])
  expect(hand.outputs().filter((output) => output.kind === 'contact')).toEqual([])
}

const diode: Partial<CaptureTask> = {
  function: 'diode', limits: { between: [0.4, 0.8] }, lowestRange: 6,
  air: [{ function: 'diode', range: null, apart: { from: 2.95, to: 3.05 }, joined: null }],
}
const diodeLook: Partial<Look> = { function: 'diode', resolution: 0.001, range: 6 }
const picofarads: Partial<CaptureTask> = {
  function: 'capacitance', limits: { atLeast: 1e-9 }, lowestRange: 6e-9,
  air: [{ function: 'capacitance', range: 6e-9, apart: { from: 20e-12, to: 60e-12 }, joined: 'overload' }],
}
const picofaradLook: Partial<Look> = { function: 'capacitance', resolution: 1e-12, range: 6e-9 }

describe('rule 2: the air pattern', () => {
  it('rule 2: overload with the leads apart is no contact', () => {
    const hand = atBench().apart(30)
    expect(hand.outputs()).toEqual([])
    expect(hand.status()).toEqual({ kind: 'touch', open: true })
  })

  it('rule 2: a ceiling voltage shown as a number is no contact, and a junction below it is one', () => {
    noContact(diode, diodeLook, () => 3.002)
    const hand = atBench(diode, diodeLook).hold(3.002, 2)
    expect(secondsToCapture(hand, 0.58, 3)).not.toBeNull()
    expect(hand.value().value).toBeCloseTo(0.58, 9)
  })

  it('rule 2: a few tens of picofarads of lead capacitance are no contact, and a nanofarad is one', () => {
    noContact(picofarads, picofaradLook, (since) => 40e-12 + 5e-12 * Math.sin(since))
    const hand = atBench(picofarads, picofaradLook).hold(40e-12, 2)
    expect(secondsToCapture(hand, 2e-9, 3)).not.toBeNull()
  })

  it('rule 2: a millivolt that drifts with the leads apart is no contact', () => {
    const air: CaptureTask['air'] = [{ function: 'dc-voltage', range: 0.6, apart: { from: -0.03, to: 0.03 }, joined: null }]
    const task: Partial<CaptureTask> = { function: 'dc-voltage', limits: { between: [0.2, 0.4] }, lowestRange: 0.6, air }
    const look: Partial<Look> = { resolution: 0.0001, range: 0.6 }
    noContact(task, look, (since) => 0.03 * Math.sin(since / 3))
    const hand = atBench(task, look).hold(0.01, 2)
    expect(secondsToCapture(hand, 0.3, 3)).not.toBeNull()
  })

  it('rule 2: where nothing was learned, zero volts within 3 counts is no contact', () => {
    const task: Partial<CaptureTask> = { function: 'dc-voltage', limits: { between: [-1, 1] } }
    noContact(task, {}, (since) => 0.003 * Math.sign(Math.sin(since)))
    const hand = atBench(task).apart(2)
    expect(secondsToCapture(hand, 0.05, 3)).not.toBeNull()
  })

  it('rule 2: volts as the joined leads show them are no contact', () => {
    const joined = { from: -0.012, to: 0.012 }
    const air: CaptureTask['air'] = [{ function: 'dc-voltage', range: null, apart: { from: 0.04, to: 0.08 }, joined }]
    noContact({ function: 'dc-voltage', limits: { between: [-1, 1] }, air }, {}, () => 0.01)
  })

  it('rule 2: the pattern is kept per function: what diode test shows in air is a value in volts', () => {
    const hand = atBench({ ...diode, function: 'dc-voltage', limits: { between: [2, 4] } }, {}).apart(2)
    expect(secondsToCapture(hand, 3.002, 3)).not.toBeNull()
  })

  it('rule 2: the pattern is kept per range: 40 pF shown on another range than it was learned on is a contact', () => {
    const here = { ...picofaradLook, resolution: 1e-13, range: 6e-10 }
    const task: Partial<CaptureTask> = { ...picofarads, lowestRange: 6e-10, limits: { atLeast: 1e-11 } }
    const hand = atBench(task, here).hold(40e-12, 2, picofaradLook)
    hand.hold(100e-12, 1)
    expect(hand.outputs().map((output) => output.kind)).toContain('contact')
    const other = atBench(task, here).hold(40e-12, 2, picofaradLook).hold(40e-12, 1)
    expect(other.outputs().map((output) => output.kind)).toContain('contact')
    const same = atBench(task, here).hold(40e-12, 3, picofaradLook)
    expect(same.outputs()).toEqual([])
  })

  it('rule 2: above 200 kΩ the prompt says to keep fingers off the tips; below it does not', () => {
    const look = { resolution: 1000, range: 6e6 }
    const task: Partial<CaptureTask> = { limits: { nominal: 1e6, tolerance: 0.5 } }
    const high = atBench(task, look).apart(2).hold(1.2e6, 0.3)
    expect(high.status().kind).toBe('fingers-off')
    const low = atBench({ limits: { nominal: 150e3, tolerance: 0.5 } }, { resolution: 100, range: 600e3 }).apart(2).hold(150e3, 0.3)
    expect(low.status().kind).toBe('steadying')
  })
})
