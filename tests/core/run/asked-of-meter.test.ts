/** A meter that the app sets: what it is set to for a step, and that nobody is asked for a dial. */
import { describe, expect, it } from 'vitest'
import { unitOf, type MeterFunction } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { askedOfMeter } from '../../../src-core/run/asked-of-meter'
import { currentStep, type Bench } from '../../../src-core/run/bench'
import { conduct } from '../../../src-core/run/conduct'
import { liveView } from '../../../src-core/run/live'
import { benchView } from '../../../src-core/run/show'
import { play, shown } from './a-run'

const setByApp = (bench: Bench): Bench => ({
  ...bench, context: { ...bench.context, facts: Object.fromEntries(Object.entries(bench.context.facts).map(([fn, facts]) => [fn, { ...facts, setByApp: true }])) },
})

/** The bench at its first measured step of this function, its time, and what is asked by. */
const atStep = (fn: MeterFunction): { bench: Bench; at: number } => {
  const made = play()
  for (let turn = 0; turn < 40; turn += 1) {
    const step = currentStep(made.bench())
    if (step === null) break
    if (step.kind !== 'measure') made.confirm()
    else if (step.function === fn) return { bench: setByApp(made.bench()), at: made.at() }
    else made.open(step.function)
  }
  throw new Error(`the run has no step in ${fn}`)
}

describe('a meter that the app can set', () => {
  it('is asked for function and range of the step, with the largest value it expects', () => {
    const { bench, at } = atStep('resistance')
    // 220 Ω and 5 %, and a fifth of room above.
    expect(askedOfMeter(bench, seconds(at))).toEqual({ step: 'r1', function: 'resistance', range: 'auto', about: 277 })
  })

  it('is asked for nothing where the dial is the technician\'s, the step measures nothing, or the run is paused', () => {
    const { bench, at } = atStep('resistance')
    expect(askedOfMeter(play().bench(), seconds(100))).toBeNull()
    expect(askedOfMeter({ ...bench, context: { ...bench.context, facts: {} } }, seconds(at))).toBeNull()
    expect(askedOfMeter({ ...bench, run: { ...bench.run, status: 'paused' } }, seconds(at))).toBeNull()
    expect(askedOfMeter({ ...bench, asksSameMeter: true }, seconds(at))).toBeNull()
  })

  it('has no dial asked for, on screen, in speech or by a tone, while it shows another function', () => {
    const { bench, at } = atStep('resistance')
    const done = conduct(bench, { kind: 'reading', reading: shown('dc-voltage', 0.001, at + 0.2) })
    expect(done.tones).toEqual([])
    const live = liveView(done.bench, seconds(at + 0.2))
    expect(live).toMatchObject({ state: 'setting the meter to resistance', tone: 'busy', wants: 'wait' })
    const view = benchView(done.bench, null, null)
    expect(view.step?.where).toContain('The app sets the meter to resistance.')
    expect(JSON.stringify([view.step, view.spoken, live.spoken])).not.toMatch(/dial/i)

    const byHand = { ...bench, context: { ...bench.context, facts: {} } }
    const asked = conduct(byHand, { kind: 'reading', reading: shown('dc-voltage', 0.001, at + 0.2) })
    expect(asked.tones).toEqual(['wrong-function'])
    expect(liveView(asked.bench, seconds(at + 0.2)).state).toBe('turn the dial to resistance')
  })

  it('is asked for the larger of two ranges that alternate', () => {
    const { bench, at } = atStep('resistance')
    let now = { bench, at }
    for (let turn = 0; turn < 5; turn += 1) now = { bench: conduct(now.bench, { kind: 'reading', reading: shown('resistance', 'overload', now.at + 0.2) }).bench, at: now.at + 0.2 }
    for (let turn = 0; turn < 30; turn += 1) {
      const high = turn % 2 === 0
      const reading = {
        at: seconds(now.at + 0.2), function: 'resistance' as const, value: 598 + (turn % 3), unit: unitOf.resistance, resolution: high ? 1 : 0.1, range: high ? 6000 : 600,
        flags: ['auto-range' as const], raw: turn.toString(16).padStart(4, '0'),
      }
      now = { bench: conduct(now.bench, { kind: 'reading', reading }).bench, at: now.at + 0.2 }
    }
    expect(askedOfMeter(now.bench, seconds(now.at))).toMatchObject({ range: 6000 })
    expect(liveView(now.bench, seconds(now.at)).wants).toBe('wait')
  })
})
