/** The check of a meter as a run: what is captured, what it decides, and what cannot get round it. */
import { describe, expect, it } from 'vitest'
import { usualBenchKit, type BenchKit, type Meter } from '../../../src-core/meter/instrument'
import { checksDecided, checkPlan, failuresLeft, kitStandards, refusalToCheck, refusalToCheckUnconfirmed } from '../../../src-core/run/check-run'
import { benchRunFile, benchRunPlan, benchRuns, isBenchRun } from '../../../src-core/run/bench-runs'
import { runDetailOf } from '../../../src-core/run/detail'
import { benchView } from '../../../src-core/run/show'
import { rebuild } from '../../../src-core/run/state'
import { seconds } from '../../../src-core/quantity/units'
import { checkLimit, type CheckResult } from '../../../src-core/metrology/check-standards'
import { standards } from '../metrology/standards'
import { checkedMeter, newMeter, play, type Play } from './a-run'

const kit: BenchKit = { ...usualBenchKit, checkStandards: standards }
const meter: Meter = { ...checkedMeter, accuracy: { resistance: { percent: 0.5, counts: 2 }, diode: { percent: 0.5, counts: 2 } } }
const begin = (which = meter, of = kit): Play => { const plan = checkPlan(of, which); return play(plan.board, which, { plan, kit: of }) }
const decided = (p: Play): CheckResult[] => checksDecided(p.bench().context.plan, p.state(), p.events())
const ended = (p: Play) => p.state().ended

describe('the check of a meter', () => {
  it('joins the leads, then measures resistor and diode; good values end it well', () => {
    const p = begin()
    expect(p.step()).toBe('check/leads-joined')
    p.touch('resistance', 0.2)
    expect([p.step(), p.bench().context.meter.leadCheck?.ohms]).toEqual(['check/resistor', 0.2])
    p.touch('resistance', 470.4)
    expect(p.step()).toBe('check/diode')
    p.touch('diode', 0.602)
    expect(ended(p)).toMatchObject({ verdict: 'pass' })
    expect(ended(p)?.because).toMatch(/^Check resistor CR-1 reads 470\.4 Ω, should be 470\.0 Ω ± .* Ω: good\. Check diode CD-1 reads 602\.0 mV, should be 600\.0 mV ± .*: good\.$/)
    expect(decided(p).map((check) => [check.standard.kind, check.good, check.meter, check.function])).toEqual([['resistor', true, meter.id, 'resistance'], ['diode', true, meter.id, 'diode']])
    expect(decided(p)[0]).toMatchObject({ value: expect.closeTo(470.4, 6) as number, difference: expect.closeTo(0.4, 6) as number, conversions: expect.any(Number) as number })
  })
  it('the verdict on the value is the verdict of the check: its limits hold its own uncertainty', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 470.4)
    const touch = p.events().find((event) => event.kind === 'captured' && event.step === 'check/resistor')
    if (touch?.kind !== 'captured' || touch.uncertainty === null) throw new Error('no value')
    // Both at k = 2, whatever factor the value's own 95 % asks for; the 0.2 Ω of the leads, left in above 100 Ω, stand whole beside it.
    const { U, k } = touch.uncertainty
    expect(touch.budget?.bias).toBeCloseTo(0.2, 9)
    expect(U).toBeCloseTo(k * (touch.budget?.combined ?? NaN) + 0.2, 9)
    const limit = Math.hypot(2 * (touch.budget?.combined ?? NaN) + 0.2, 0.1)
    expect(touch.limits).toEqual({ between: [expect.closeTo(470 - limit, 6), expect.closeTo(470 + limit, 6)] })
    expect(decided(p)[0]?.limit).toBeCloseTo(limit, 9)
  })
  it('a value off by more is touched twice, fails, and says what it means', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 480)
    expect(p.step()).toBe('check/resistor')
    p.touch('resistance', 480)
    p.touch('diode', 0.6)
    expect(ended(p)?.verdict).toBe('fail')
    expect(ended(p)?.because).toMatch(/Check resistor CR-1 reads 480\.0 Ω, should be 470\.0 Ω ± .*: failed\. .*Values of this meter are not traceable until a good check\.$/)
    expect(decided(p).map((check) => check.good)).toEqual([false, true])
  })
  it('a failed check is decided for good: stepping back or ending by hand does not unmake it', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 480)
    p.touch('resistance', 480)
    p.give({ kind: 'press', press: 'back', at: seconds(p.at() + 1) })
    expect(p.step()).toBe('check/resistor')
    expect(decided(p).map((check) => check.good)).toEqual([false])
    p.touch('resistance', 470)
    expect(decided(p).map((check) => check.good)).toEqual([false, true])
    const q = begin()
    q.touch('resistance', 0.2)
    q.touch('resistance', 480)
    q.touch('resistance', 480)
    q.give({ kind: 'end', reason: 'no time', at: seconds(q.at() + 1) })
    expect(ended(q)?.verdict).toBe('fail')
    expect(decided(q).map((check) => check.good)).toEqual([false])
  })
  it('a touch outside the limits cannot be ended upon or left in doubt: it counts as what it showed', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 480)
    expect(decided(p)).toEqual([])
    p.give({ kind: 'end', reason: 'look later', at: seconds(p.at() + 1) })
    expect(decided(p).map((check) => [check.good, check.value])).toEqual([[false, expect.closeTo(480, 6)]])
    const q = begin()
    q.touch('resistance', 0.2)
    for (const ohms of [480, 490, 500]) q.touch('resistance', ohms)
    q.touch('diode', 0.6)
    expect(q.state().ended?.verdict).toBe('incomplete')
    expect(decided(q).map((check) => [check.standard.kind, check.good])).toEqual([['diode', true], ['resistor', false]])
  })
  it('a touch outside the limits cannot be put aside, nor hidden behind another meter', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 480)
    const left = failuresLeft(p.bench().context.plan, p.state())
    expect(left.map((check) => [check.standard.kind, check.good, check.meter])).toEqual([['resistor', false, meter.id]])
    // Gone on with, decided and ended, it is not counted a second time under another name.
    p.give({ kind: 'meter-lost', at: seconds(p.at() + 1) })
    p.give({ kind: 'meter-back', other: true, at: seconds(p.at() + 2) })
    p.wait(3)
    p.give({ kind: 'end', reason: 'another meter', at: seconds(p.at() + 1) })
    expect(decided(p)).toEqual(left)
    expect(failuresLeft(p.bench().context.plan, p.state())).toEqual([])
  })
  it('an uncertainty stated with another coverage factor is brought to k = 2 before it is held against the standard', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 470.4)
    const events = p.events().map((event) => (event.kind === 'captured' && event.uncertainty !== null ? { ...event, uncertainty: { ...event.uncertainty, U: 3, k: 3 }, budget: undefined } : event))
    const [check] = checksDecided(p.bench().context.plan, rebuild(events), events)
    expect(check?.U).toBeCloseTo(2, 12)
    // √(2² + 0.1²), U_ref = 0.1 Ω: by hand.
    expect(check?.limit).toBeCloseTo(2.002498, 6)
  })
  it('nothing outside the limits, nothing left behind', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 470)
    expect(failuresLeft(p.bench().context.plan, p.state())).toEqual([])
  })
  it('skipping a standard, or one without the other, is no good check', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 470)
    p.give({ kind: 'skip', reason: 'no diode at hand', at: seconds(p.at() + 1) })
    expect(ended(p)).toMatchObject({ verdict: 'incomplete', because: expect.stringMatching(/No good check with the check diode: values of this meter are not traceable\.$/) as string })
    expect(decided(p).map((check) => check.standard.kind)).toEqual(['resistor'])
  })
  it('leads that are refused end it before anything is checked', () => {
    const p = begin()
    p.touch('resistance', 3)
    p.touch('resistance', 3)
    expect(ended(p)).toMatchObject({ verdict: 'fail', because: expect.stringMatching(/^The leads were refused/) as string })
    expect(decided(p)).toEqual([])
  })
  it('another meter in the middle makes it say nothing of either', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.give({ kind: 'meter-lost', at: seconds(p.at() + 1) })
    p.give({ kind: 'meter-back', other: true, at: seconds(p.at() + 2) })
    p.wait(3)
    p.touch('resistance', 470)
    p.touch('diode', 0.6)
    expect(decided(p)).toEqual([])
    expect(ended(p)?.because).toMatch(/^Another meter came into this check/)
  })
  it('a shop’s guard band does not move the criterion', () => {
    const plan = checkPlan(kit, meter)
    const p = play(plan.board, meter, { plan, kit })
    p.bench().context.rule = { kind: 'guard-band', r: 1 }
    p.touch('resistance', 0.2)
    p.touch('resistance', 470.4)
    const touch = p.events().find((event) => event.kind === 'captured' && event.step === 'check/resistor')
    expect(touch).toMatchObject({ verdict: 'pass', rule: { kind: 'simple-acceptance' } })
  })
  it('states its limits before the value with the accuracy of the range that reaches the standard, as the register has it', () => {
    const limitsWith = (ranges: Meter['register']['ranges']) => {
      const step = checkPlan(kit, { ...meter, register: { ...meter.register, ranges } }).steps.find(({ id }) => id === 'check/resistor')
      if (step?.kind !== 'measure' || step.limits === null || typeof step.limits === 'string' || !('between' in step.limits)) throw new Error('the check has no limits')
      return step.limits.between
    }
    const half = ([lo, hi]: readonly [number, number]): number => (hi - lo) / 2
    const [resistor] = kitStandards(kit)
    if (resistor === undefined) throw new Error('the kit has no resistor')
    // 1 % of its value is a rectangle (JCGM 100:2008, 4.3.7): U at k = 2 is 2 / √3 of it, beside the U of the standard.
    const U = (percent: number): number => 2 * (percent / 100) * resistor.value / Math.sqrt(3)
    expect(half(limitsWith([{ function: 'resistance', range: 600, percent: 1, counts: 2 }, { function: 'resistance', range: 6000, percent: 3, counts: 2 }]))).toBeCloseTo(checkLimit(U(1), resistor), 6)
    expect(half(limitsWith([{ function: 'resistance', range: 200, percent: 0.1, counts: 2 }]))).toBeCloseTo(checkLimit(U(0.5), resistor), 6)
  })
  it('a new meter shows its open leads first', () => { expect(begin(newMeter).step()).toBe('prepare/leads-apart/diode') })
  it('is read again from its events, named, with no next board', () => {
    const p = begin()
    p.touch('resistance', 0.2)
    p.touch('resistance', 470)
    p.touch('diode', 0.6)
    const detail = runDetailOf(rebuild(p.events()), null)
    expect(detail.head.board.name).toBe('Check of the meter')
    expect(detail.steps.map(({ title, placement }) => [title, placement])).toEqual([['Leads joined', 'leads joined'], ['Check resistor CR-1', 'check resistor'], ['Check diode CD-1', 'check diode']])
    expect(detail.kit).toContain('check resistor: CR-1, certificate L-2201')
    const view = benchView(p.bench(), null, null)
    expect(view.keys.map(({ action }) => action)).toEqual(['back'])
    expect([view.proof, view.result?.verdict]).toEqual(['', 'pass'])
  })
})

describe('a check that cannot be made', () => {
  const now = '2026-11-29T08:00:00.000Z'
  it('without standards says where to enter them', () => { expect(refusalToCheck(usualBenchKit, now)).toMatch(/no check standards\. Enter .* on the Meters screen, under “Check standards”\.$/) })
  it('with a standard past its due date says which', () => {
    expect(refusalToCheck(kit, now)).toBeNull()
    expect(refusalToCheck(kit, '2027-03-03T08:00:00.000Z')).toMatch(/^Check resistor CR-1 was due for calibration on 2027-03-02/)
    expect(refusalToCheck(kit, '2026-01-03T08:00:00.000Z')).toMatch(/dated 2026-03-02, which is still to come/)
  })
  it('with a meter that is only assumed to be this one asks which it is', () => {
    expect(refusalToCheckUnconfirmed({ name: 'Bench 1', identity: 'assumed' })).toMatch(/^Nobody has confirmed yet that this is Bench 1/)
    expect((['confirmed', 'proven'] as const).map((identity) => refusalToCheckUnconfirmed({ name: 'Bench 1', identity }))).toEqual([null, null])
  })
})

describe('runs with no board', () => {
  it('are known by their id, each with a plan and a file of its own', () => {
    expect(benchRuns.map((each) => benchRunPlan(each, kit, null)?.board.name)).toEqual(['Closing check', 'Check of the meter', 'Source of the meter'])
    expect(new Set(benchRuns.map(benchRunFile)).size).toBe(3)
    expect(benchRunFile('closing-check')).toBe('0'.repeat(64))
    expect([isBenchRun('soil-probe'), benchRunPlan('soil-probe', kit, null)]).toEqual([false, null])
  })
})
