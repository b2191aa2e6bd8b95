/** The free order of steps: each is made once, none is made that a branch leads past, and what changes the board stays where it is. */
import { describe, expect, it } from 'vitest'
import type { Bench } from '../../../src-core/run/bench'
import type { RunEventBody } from '../../../src-core/run/event'
import { isPassedOver, nextInFreeOrder, openBeside } from '../../../src-core/run/order'
import { planStep } from '../../../src-core/run/plan'
import type { RunState } from '../../../src-core/run/state'
import { opinionOf } from '../../../src-core/record/steps-of-run'
import { promptStandsAfter, takeDiagnosis, takeProposal } from '../../../src-core/run/propose'
import { seconds } from '../../../src-core/quantity/units'
import { foresee } from '../../../src-core/run/decide-step'
import { play, smallBoard } from './a-run'

const ohms = (id: string, more: Record<string, unknown> = {}) =>
  ({ kind: 'measure', id, title: id, red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, ...more })
const board = (steps: Record<string, unknown>[]) => smallBoard({ sequence: { id: 'input', version: 1, steps } })

/** A run begun in free order on these steps, proven and at its first. */
const begun = (steps: Record<string, unknown>[]) => {
  const bench = play(board(steps))
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  const free = (): Bench => { const now = bench.bench(); return { ...now, run: { ...now.run, started: { ...now.run.started, order: 'tells-most' } } } }
  return { bench, free }
}

const decided = (step: string, value: number): RunEventBody[] => [
  { kind: 'captured', step, touch: 1, function: 'resistance', range: null, resolution: 0.1, unit: 'Ω', value, median: value, sd: 0, conversions: 3, seconds: 1, raw: [],
    uncertainty: null, limits: { nominal: 220, tolerance: 0.05 }, rule: { kind: 'simple-acceptance', r: 0 }, verdict: 'fail', evidence: 'steady' },
  { kind: 'decided', step, verdict: 'fail', from: [1], next: 'end' },
]

describe('the free order of steps', () => {
  const short = [{ when: { below: 1 }, goTo: 'd' }]
  const steps = [ohms('a'), ohms('b', { then: short }), ohms('c'), ohms('d'), { kind: 'do', id: 'lift', title: 'lift', words: 'lift R1' }, ohms('e')]

  it('offers the open measure steps up to the next thing done to the board, those behind a branch once it is decided', () => {
    const { free } = begun(steps)
    const { context: { plan }, run } = free()
    expect(openBeside(plan, run, 'a').map(({ id }) => id)).toEqual(['a', 'b', 'd'])
    expect(openBeside(plan, foresee(run, decided('b', 300)), 'a').map(({ id }) => id)).toEqual(['a', 'c', 'd'])
    expect(openBeside(plan, foresee(run, decided('b', 0.2)), 'a').map(({ id }) => id)).toEqual(['a', 'd'])
    expect([isPassedOver(plan, foresee(run, decided('b', 0.2)), 'c'), isPassedOver(plan, foresee(run, decided('b', 300)), 'c')]).toEqual([true, false])
    expect(openBeside(plan, run, 'lift')).toEqual([])
  })

  it('keeps where a branch led as it was taken, whatever the file or the limits say later', () => {
    const { free } = begun(steps)
    const { context: { plan }, run } = free()
    const led: RunEventBody[] = decided('b', 0.2).map((event) => (event.kind === 'decided' ? { ...event, next: 'a', asSequence: 'd' } : event))
    const changed = { ...plan, steps: plan.steps.map((step) => ({ ...step, then: [] })) }
    expect(isPassedOver(changed, foresee(run, led), 'c')).toBe(true)
    // Kept by a run of before: by the limits of its value, not by those of another meter since.
    const under = { ...plan, steps: plan.steps.map((step) => (step.id === 'b' && step.kind === 'measure' ? { ...step, limits: { atMost: 5 }, then: [{ when: 'under-limits' as const, goTo: 'd' }] } : step)) }
    expect(isPassedOver(under, foresee(run, decided('b', 0.2)), 'c')).toBe(true)
  })

  it('goes on to what was left out before, and only then to what is done to the board', () => {
    const { free } = begun(steps)
    const { context: { plan }, run } = free()
    const after = (...made: [string, number][]) => made.reduce<RunState>((state, [step, value]) => foresee(state, decided(step, value)), run)
    expect(nextInFreeOrder(plan, after(['d', 220]), 'd', 'lift')).toBe('a')
    expect(nextInFreeOrder(plan, after(['d', 220], ['a', 220], ['b', 0.2]), 'b', 'd')).toBe('lift')
    expect(nextInFreeOrder(plan, after(['d', 220], ['a', 220], ['b', 300]), 'b', 'c')).toBe('c')
    const stop = { stop: 'fail' as const, because: 'burnt' }
    expect(nextInFreeOrder(plan, after(['a', 9e9]), 'a', stop)).toBe(stop)
  })

  it('leaves alone steps that keep their contact, steps under power, and sequences that lead back', () => {
    const kept = begun([ohms('a'), ohms('b'), ohms('c', { keepsContact: true }), ohms('d', { powered: true }), ohms('e')]).free()
    expect(['a', 'b', 'c', 'd', 'e'].map((id) => openBeside(kept.context.plan, kept.run, id).map((step) => step.id))).toEqual([['a'], [], [], [], ['e']])
    const back = begun([ohms('a'), ohms('b', { then: [{ when: 'fail', goTo: 'a' }] })]).free()
    expect(openBeside(back.context.plan, back.run, 'a')).toEqual([])
  })
})

describe('what the diagnosis proposes', () => {
  const proposed = [{ step: 'c', because: 'it tells 1.2 bits' }]
  const steps = [ohms('a'), ohms('b'), ohms('c')]

  it('is asked for next in free order, as an event that gives the reason, and goes when it is undone', () => {
    const { free } = begun(steps)
    const bench = free()
    const done = takeProposal(bench, proposed, bench.shown.since)
    expect(done.events).toEqual([{ kind: 'asked', step: 'c', because: 'it tells 1.2 bits' }])
    const asked = foresee(bench.run, done.events)
    expect(asked.cursor).toBe('c')
    expect(foresee(asked, [{ kind: 'undone', to: bench.run.events.length }]).cursor).toBe(bench.run.cursor)
    expect(planStep(bench.context.plan, 'c')?.title).toBe('c')
  })

  it('stays asked for while it is still worth measuring, and gives way where it is not', () => {
    const { free } = begun(steps)
    const bench = free()
    const first = takeProposal(bench, proposed, bench.shown.since)
    const asked = { ...bench, run: foresee(bench.run, first.events) }
    const b = { step: 'b', because: 'it tells 1.5 bits' }
    expect(takeProposal(asked, [b, ...proposed], bench.shown.since).events).toEqual([])
    expect(takeProposal(asked, [b], bench.shown.since).events).toEqual([{ kind: 'asked', ...b }])
  })

  it('changes nothing in the fixed sequence, late, of a step that is closed, or once a touch is begun', () => {
    const { bench, free } = begun(steps)
    const none = (from: Bench, at = from.shown.since, what = proposed) => expect(takeProposal(from, what, at).events).toEqual([])
    none(bench.bench())
    none(free(), seconds(free().shown.since + promptStandsAfter + 0.1))
    none(free(), undefined, [{ step: 'nowhere', because: 'x' }])
    none(free(), undefined, [{ step: 'a', because: 'it is asked for already' }, ...proposed])
    const touching = free()
    none({ ...touching, run: foresee(touching.run, decided('a', 300).slice(0, 1)) })
  })
})

describe('what the diagnosis concludes', () => {
  const diagnosed = { proposed: [], concludes: ['R1 is faulty (97 % likely to be faulty). R1 is open.'] }

  it('is kept once with a run that has ended, stands in its record as an opinion, and goes when the end is taken back', () => {
    const { bench } = begun([ohms('a')])
    const running = bench.bench()
    expect(takeDiagnosis(running, diagnosed, running.shown.since).events).toEqual([])
    const ended: Bench = { ...running, run: foresee(running.run, [...decided('a', 9e5), { kind: 'ended', verdict: 'fail', because: 'Outside limits: a.' }]) }
    const { events } = takeDiagnosis(ended, diagnosed, running.shown.since)
    expect(events).toEqual([{ kind: 'inferred', words: diagnosed.concludes }])
    const kept = { ...ended, run: foresee(ended.run, events) }
    expect(takeDiagnosis(kept, diagnosed, running.shown.since).events).toEqual([])
    expect(takeDiagnosis({ ...ended, record: true }, diagnosed, running.shown.since).events).toEqual([])
    expect(opinionOf(kept.run, kept.context.plan)).toEqual([{ about: 'Diagnosis', words: diagnosed.concludes[0] }])
    const back = foresee(kept.run, [{ kind: 'undone', to: running.run.events.length }])
    expect(opinionOf(back, kept.context.plan)).toEqual([])
  })
})
