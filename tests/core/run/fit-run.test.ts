/** Fitting a source at the bench: the placements asked for, the way the leads go, and what is kept with the meter. */
import { describe, expect, it } from 'vitest'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { blankRegisterEntry, type MeterSource } from '../../../src-core/meter/register'
import { fitPlan, withFitted } from '../../../src-core/run/fit-run'
import { seconds } from '../../../src-core/quantity/units'
import { designs, displayed } from '../metrology/simulated-sources'
import { checkedMeter, play, type Play } from './a-run'

const entered: MeterSource = { function: 'diode', range: null, volts: 2.5, ohms: 1000, amperes: null, plus: 'red', basis: 'entered' }
const old: MeterSource = { ...entered, volts: 9, basis: 'fitted' }

/** Makes every step that is asked for with what a simulated meter of this design displays. */
const playThrough = (index: number, sources: MeterSource[], stopAt: string | null = null): { p: Play; asked: string[] } => {
  const design = designs[index]
  if (design === undefined) throw new Error('no such design')
  const readings = displayed(design, 3)
  const plan = fitPlan(usualBenchKit)
  const p = play(plan.board, { ...checkedMeter, register: { ...blankRegisterEntry, sources } }, { plan, kit: usualBenchKit })
  const asked: string[] = []
  for (let turn = 0; turn < 20 && p.state().ended === null && p.step() !== stopAt; turn += 1) {
    const step = p.bench().context.plan.steps.find(({ id }) => id === p.step())
    if (step?.kind !== 'measure') throw new Error(`${String(p.step())} is no step to measure`)
    asked.push(step.id)
    const placement = step.purpose?.kind === 'source-fit' ? step.purpose.placement : 'apart'
    const value = readings.find((each) => each.function === step.function && each.placement === placement)?.value ?? 'overload'
    const open = step.function === 'diode' ? readings.find((each) => each.function === 'diode' && each.placement === 'apart')?.value ?? 'overload' : 'overload'
    p.hold(step.function, open, placement === 'apart' ? 3 : 0.8)
    if (placement !== 'apart') p.hold(step.function, value, 1.6)
    const inAir = value === open || (typeof value === 'number' && typeof open === 'number' && Math.abs(value - open) < 0.01)
    if (inAir) p.confirm()
    p.hold(step.function, open, 0.8)
  }
  return { p, asked }
}

describe('fitting a source at the bench', () => {
  it('asks for open leads, two resistors and the diode in both functions, and keeps what it found', () => {
    const { p, asked } = playThrough(0, [entered, old])
    expect(asked).toEqual([
      'fit/diode/apart', 'fit/diode/first', 'fit/diode/second', 'fit/diode/diode', 'fit/diode/diode-reversed', 'fit/diode/across',
      'fit/resistance/first', 'fit/resistance/second', 'fit/resistance/diode', 'fit/resistance/diode-reversed', 'fit/resistance/series',
    ])
    expect(p.state().ended?.verdict).toBe('pass')
    expect(p.state().ended?.because).toMatch(/Diode test: plus is at the red lead\. Diode test: (2\.9\d?|3|3\.0\d) V .*Kept with the meter: diode test/)
    const { sources } = p.bench().context.meter.register
    expect(sources.map(({ function: fn, basis }) => [fn, basis])).toEqual([['diode', 'entered'], ['diode', 'fitted'], ['resistance', 'fitted']])
    expect(sources.find(({ function: fn, basis }) => fn === 'diode' && basis === 'fitted')?.volts).toBeCloseTo(3, 0)
  })
  it('what is said to be kept is kept where the last step is skipped, and nothing where the run is ended by hand', () => {
    const kept = playThrough(0, [], 'fit/resistance/series').p
    // Skipped one way round, it is asked for the other way round.
    for (const more of [1, 2]) kept.give({ kind: 'skip', reason: 'no second hand', at: seconds(kept.at() + more) })
    expect(kept.state().ended?.because).toMatch(/Kept with the meter: diode test\.$/)
    expect(kept.bench().context.meter.register.sources.map(({ function: fn }) => fn)).toEqual(['diode'])
    const left = playThrough(0, [], 'fit/resistance/series').p
    left.give({ kind: 'end', reason: 'no time', at: seconds(left.at() + 1) })
    expect([left.state().ended?.verdict, left.bench().context.meter.register.sources]).toEqual(['incomplete', []])
  })
  it('turns the leads where plus is on black in resistance', () => {
    const { p, asked } = playThrough(1, [])
    expect(asked.at(-1)).toBe('fit/resistance/series-reversed')
    expect(p.state().ended?.because).toMatch(/plus is at the black lead/)
  })
  it('a fitted source takes the place of a fitted one of that function; what was entered stays, and so does another function', () => {
    const other: MeterSource = { ...old, function: 'resistance' }
    const anew: MeterSource = { ...old, volts: 3 }
    expect(withFitted([entered, old, other], { fitted: [{ source: anew, ohmsAtMost: false, sure: { volts: 0.01, ohms: 0.02 } }], found: [], open: [] })).toEqual([entered, other, anew])
    expect(withFitted([entered, old], { fitted: [], found: [], open: [] })).toEqual([entered, old])
  })
})
