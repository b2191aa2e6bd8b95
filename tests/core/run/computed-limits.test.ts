/** A run with a step whose limits nobody typed: computed once, kept with the run, and said wherever the verdict is. */
import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { blankRegisterEntry } from '../../../src-core/meter/register'
import { recordOfRun } from '../../../src-core/record/from-run'
import { testRecordContent } from '../../../src-core/record/schema'
import { ruleBlocks } from '../../../src-core/record/print/rule'
import { valuesTable } from '../../../src-core/record/print/values'
import { compareRuns } from '../../../src-core/run/compare'
import { computedOfBoard } from '../../../src-core/run/computed-words'
import { runDetailOf } from '../../../src-core/run/detail'
import { eventInWords } from '../../../src-core/run/event-words'
import { answerLimits, limitsRequestOf } from '../../../src-core/run/limits-request'
import { liveView } from '../../../src-core/run/live'
import { benchView } from '../../../src-core/run/show'
import { rebuild } from '../../../src-core/run/state'
import { tableRows } from '../../../src-core/run/value-table'
import { sourcesMade } from '../../bench-tools/made-records'
import { checkedMeter, play, smallBoard, type Play } from './a-run'

const board = (() => {
  const { sequence, ...rest } = smallBoard()
  return { ...rest, sequence: { ...sequence, steps: sequence.steps.map((step) => { if (step.id !== 'r1' || step.kind !== 'measure') return step; const { limits: _typed, ...bare } = step; return bare }) } }
})()

const atR1 = (meter = checkedMeter): Play => {
  const bench = play(board, meter)
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  expect(bench.step()).toBe('r1')
  return bench
}
const answer = (bench: Play) => {
  const asked = limitsRequestOf(bench.bench())
  if (asked === null) throw new Error('nothing is asked for')
  return answerLimits(asked)
}
const compute = (bench: Play): void => { bench.give({ kind: 'limits-computed', answer: answer(bench), at: seconds(bench.at()) }) }
const lineOf = (bench: Play): string => liveView(bench.bench(), seconds(bench.at())).state
const captured = (bench: Play) => bench.events().filter((event) => event.kind === 'captured' && event.step === 'r1')

describe('a step without limits', () => {
  it('is not measured before they are computed, and the line says what it waits for', () => {
    const bench = atR1()
    expect(lineOf(bench)).toBe('computing the limits')
    bench.touch('resistance', 221.4)
    expect(captured(bench)).toEqual([])
    expect(bench.give({ kind: 'press', press: 'confirm', at: seconds(bench.at() + 1) }).refused).toBe('The limits of this step are being computed for this meter.')
    compute(bench)
    bench.touch('resistance', 221.4)
    expect(captured(bench)).toHaveLength(1)
  })
  it('shows them as computed, with what a good board reads, whose source and which temperatures', () => {
    const bench = atR1()
    compute(bench)
    const view = benchView(bench.bench(), null, null)
    expect([view.step?.limits, view.step?.limitsAre]).toEqual([expect.stringMatching(/^20\d Ω to 2[34]\d Ω$/), 'computed'])
    expect(view.steps.find(({ id }) => id === 'r1')?.limits).toBe(`${view.step?.limits}, computed`)
    expect(view.steps.find(({ id }) => id === 'd1')?.limits).toBe('open')
    expect(view.step?.where).toContain('Limits computed: a good board reads 220 Ω (a typical meter source, 15 °C to 35 °C).')
    expect(view.step?.scale).not.toBeNull()
  })
  it('judges a good value pass and a fault fail, and the verdict says that its limits were computed', () => {
    const [good, bad] = [atR1(), atR1()]
    compute(good); good.touch('resistance', 221.4); good.open('diode')
    expect(good.state().ended).toMatchObject({ verdict: 'pass', because: 'Every step that was asked for lies within its limits. Limits computed for a good board, with a typical meter source, 15 °C to 35 °C: R1.' })
    compute(bad); bad.touch('resistance', 330); bad.touch('resistance', 330); bad.open('diode')
    expect(bad.state().ended).toMatchObject({ verdict: 'fail', because: 'Outside limits: R1. Limits computed for a good board, with a typical meter source, 15 °C to 35 °C: R1.' })
  })
  it('is judged alike when its events are read years later: the limits stand in the run', () => {
    const bench = atR1()
    compute(bench); bench.touch('resistance', 330); bench.touch('resistance', 330); bench.open('diode')
    const again = rebuild(JSON.parse(JSON.stringify(bench.events())) as ReturnType<Play['events']>)
    expect(again).toEqual(bench.state())
    const [touch] = captured(bench)
    const computed = bench.state().limits?.steps.r1
    expect(computed !== undefined && 'limits' in computed && touch?.kind === 'captured' && touch.limits).toEqual(computed !== undefined && 'limits' in computed ? computed.limits : null)
    // Another board file of the same name, and another solver, change nothing of it.
    const detail = runDetailOf(again, { ...board, parts: board.parts.map((part) => (part.ref === 'R1' ? { ...part, value: 470 } : part)) })
    expect(detail.steps.find(({ id }) => id === 'r1')).toMatchObject({ limits: expect.stringMatching(/^20\d Ω to 2[34]\d Ω, computed$/) as string, verdict: 'fail' })
    expect(detail.events.map(({ words }) => words)).toContain('Limits computed for a good board from 15 °C to 35 °C: R1.')
  })
  it('keeps them when a step is taken back, and after a kill', () => {
    const bench = atR1()
    compute(bench); bench.touch('resistance', 221.4)
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    bench.kill()
    expect(bench.events().filter(({ kind }) => kind === 'limits-computed')).toHaveLength(1)
    expect(limitsRequestOf(bench.bench())).toBeNull()
  })
  it('with another meter has them computed again for that one, and not before it is known which it is', () => {
    const bench = atR1({ ...checkedMeter, register: { ...blankRegisterEntry, sources: [{ function: 'resistance', range: null, volts: 1.2, ohms: 1000, amperes: null, plus: 'red' }] as never } })
    const before = answer(bench)
    compute(bench)
    expect(bench.state().limits?.steps.r1).toMatchObject({ source: { volts: 1.2, ohms: 1000, amperes: null, plus: 'red', typical: false } })
    expect(benchView(bench.bench(), null, null).step?.where).toContain('this meter’s own source')
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', other: false, at: seconds(bench.at()) })
    expect(limitsRequestOf(bench.bench())).toBeNull()
    bench.give({ kind: 'press', press: 'other-meter', at: seconds(bench.at()) })
    expect([bench.state().limits, benchView(bench.bench(), null, null).steps.find(({ id }) => id === 'r1')?.limits]).toEqual([null, 'being computed'])
    // An answer to the question of before is none to this one.
    expect(bench.give({ kind: 'limits-computed', answer: before, at: seconds(bench.at()) }).events).toEqual([])
    compute(bench)
    expect(bench.state().limits?.steps.r1).toMatchObject({ source: { typical: true } })
  })
  it('shows everywhere what a value was judged with, not what another meter came to later; of an ended run nothing is being computed', () => {
    const bench = atR1()
    compute(bench); bench.touch('resistance', 221.4)
    const judgedWith = benchView(bench.bench(), null, null).steps.find(({ id }) => id === 'r1')?.limits
    bench.give({ kind: 'meter-lost', at: seconds(bench.at()) })
    bench.give({ kind: 'meter-back', other: true, at: seconds(bench.at()) })
    const asked = limitsRequestOf(bench.bench())
    if (asked === null) throw new Error('nothing is asked for')
    const wide = { limits: { between: [1, 9000] as [number, number] }, value: 220, low: 1, high: 9000, source: null }
    const everywhere = (of = bench): (string | undefined)[] => {
      const state = of.state()
      const compared = compareRuns({ state, board }, { state: { ...state, started: { ...state.started, run: '22222222-2222-4333-8444-555555555555' } }, board })
      return [benchView(of.bench(), null, null).steps, runDetailOf(state, board).steps, 'comparison' in compared ? compared.comparison.steps : []].map((steps) => steps.find(({ id }) => id === 'r1')?.limits)
    }
    expect(everywhere()).toEqual([judgedWith, judgedWith, judgedWith])
    bench.give({ kind: 'limits-computed', answer: { ...answerLimits(asked), steps: { r1: wide } }, at: seconds(bench.at()) })
    expect(everywhere()).toEqual([judgedWith, judgedWith, judgedWith])
    const early = play(board)
    early.give({ kind: 'end', reason: 'fetched', at: seconds(early.at()) })
    expect(everywhere(early)).toEqual(['not computed', 'not computed', 'not computed'])
  })
  it('that has none with this meter is refused with the reason, and can be skipped', () => {
    const bench = atR1()
    const asked = limitsRequestOf(bench.bench())
    if (asked === null) throw new Error('nothing is asked for')
    bench.give({ kind: 'limits-computed', answer: { ...answerLimits(asked), steps: { r1: { refused: 'A junction does not conduct there.' } } }, at: seconds(bench.at()) })
    expect(lineOf(bench)).toBe('no limits for this step: skip it')
    expect(benchView(bench.bench(), null, null).step).toMatchObject({ limits: 'none on this meter', scale: null, where: expect.stringContaining('No limits for this step: A junction does not conduct there. Skip it, or write limits into the board file.') as string })
    bench.touch('resistance', 221.4)
    expect(captured(bench)).toEqual([])
    bench.give({ kind: 'skip', reason: 'not needed here', step: 'r1', at: seconds(bench.at()) })
    bench.open('diode')
    expect(bench.state().ended?.verdict).toBe('incomplete')
    const told = bench.events().find(({ kind }) => kind === 'limits-computed')
    expect(told === undefined ? '' : eventInWords(told, () => 'R1')).toBe('Limits computed for a good board from 15 °C to 35 °C. None for R1: A junction does not conduct there.')
  })
})

describe('a step with limits that name the source they were made with', () => {
  const source = { volts: 3, ohms: 2500, amperes: 1e-3, plus: 'red' as const }
  const sourced = (() => {
    const { sequence, ...rest } = smallBoard()
    // Forward through D1, so that the meter's own current decides.
    return { ...rest, sequence: { ...sequence, steps: sequence.steps.map((step) => (step.id === 'd1' && step.kind === 'measure' ? { ...step, red: 'C1.2', black: 'R1.2', limits: { between: [0.5, 0.65] as [number, number] }, source } : step)) } }
  })()
  const meterDriving = (ohms: number) => ({ ...checkedMeter, register: { ...blankRegisterEntry, sources: [{ function: 'diode' as const, range: null, volts: 3, ohms, amperes: 1e-3, plus: 'red' as const, basis: 'entered' as const }] } })
  const atD1 = (ohms: number): Play => {
    const bench = play(sourced, meterDriving(ohms))
    bench.confirm(); bench.open('dc-voltage'); bench.confirm()
    bench.touch('resistance', 221.4)
    expect(bench.step()).toBe('d1')
    return bench
  }
  const shown = (bench: Play) => benchView(bench.bench(), null, null).step

  it('is judged by them with a meter that drives so, and says that they hold', () => {
    const bench = atD1(2500)
    expect(lineOf(bench)).toBe('computing the limits')
    compute(bench)
    expect(shown(bench)).toMatchObject({ limits: '0.5 V to 0.65 V', where: expect.stringContaining('Limits of the board file, made with 3 V behind 2.5 kΩ, at most 1 mA, plus on red: a good board reads alike with this meter’s source.') as string })
    expect(shown(bench)).not.toHaveProperty('limitsAre')
    bench.touch('diode', 0.58)
    expect(bench.state().ended).toMatchObject({ verdict: 'pass', because: 'Every step that was asked for lies within its limits.' })
    const told = bench.events().find(({ kind }) => kind === 'limits-computed')
    expect(told === undefined ? '' : eventInWords(told, () => 'D1')).toContain('Limits of the board file hold with this meter’s source: D1.')
    expect(JSON.stringify(recordOfRun(sourcesMade({}, { state: bench.state(), board: sourced })))).not.toContain('"computed"')
  })
  it('is judged by others, computed again, with a meter that drives a hundredth of it; screen, verdict and record say so', () => {
    const bench = atD1(250_000)
    compute(bench)
    expect(shown(bench)).toMatchObject({ limitsAre: 'computed', where: expect.stringMatching(/Limits computed again, since those of the board file were made with 3 V behind 2\.5 kΩ, at most 1 mA, plus on red: a good board reads 0\.3\d\d V \(this meter’s own source/) as string })
    bench.touch('diode', 0.37)
    expect(bench.state().ended).toMatchObject({ verdict: 'pass', because: expect.stringContaining('Limits computed for a good board, with this meter’s own source') as string })
    const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: bench.state(), board: sourced })))
    expect(record.steps.find(({ id }) => id === 'd1')?.values[0]?.limits.from).toContain('those in the file were made with 3 V behind 2.5 kΩ')
  })
})

describe('what is kept of computed limits', () => {
  const run = atR1()
  compute(run); run.touch('resistance', 221.4); run.open('diode')
  const record = testRecordContent.parse(recordOfRun(sourcesMade({}, { state: run.state(), board })))
  const value = record.steps.find(({ id }) => id === 'r1')?.values[0]
  const from = 'computed from parts and nets of the board file of Soil probe revision A, sequence input version 1: a typical meter source of 0.5 V behind 10 kΩ, at most 1 mA, plus on red; good boards from 15 °C to 35 °C'

  it('the record has the limits, the value of a good board, its interval, the source and the temperatures', () => {
    expect(value?.limits).toMatchObject({ kind: 'between', nominal: null, from, computed: { value: 220, celsius: { from: 15, to: 35 }, source: { volts: 0.5, ohms: 10_000, amperes: 0.001, plus: 'red', typical: true } } })
    expect(record.steps.find(({ id }) => id === 'd1')?.values[0]?.limits).not.toHaveProperty('computed')
  })
  it('its printed page says computed in the table, and where the limits come from step by step', () => {
    const [table] = valuesTable(record, 'sequence')
    expect(JSON.stringify(table)).toContain('\\ncomputed')
    expect(JSON.stringify(ruleBlocks(record))).toContain(from)
  })
  it('the table of values says so too', () => expect(tableRows({ state: run.state(), board }).flat()).toContainEqual(expect.stringMatching(/Ω, computed$/)))
  it('the Boards screen has it for each such step, and says while it is not known yet', () => {
    expect(computedOfBoard(board, null)).toEqual({ r1: { limits: 'being computed', says: 'The limits of this step are being computed for this meter.' } })
    expect(computedOfBoard(board, answer(atR1())).r1).toMatchObject({ limits: expect.stringMatching(/, computed$/) as string, says: expect.stringContaining('220 Ω') as string })
  })
})
