/** Values of a run and the uncertainty budget they are judged with: what the meter's touches have shown counts, and old events stay as they were. */
import { describe, expect, it } from 'vitest'
import { usualBenchKit } from '../../../src-core/meter/instrument'
import { blankRegisterEntry } from '../../../src-core/meter/register'
import { budget } from '../../../src-core/metrology/budget'
import { pooledAt } from '../../../src-core/metrology/scatter'
import { meterByEye } from '../../../src-core/meter/by-eye'
import { seconds } from '../../../src-core/quantity/units'
import { currentStep } from '../../../src-core/run/bench'
import { parseRunEvent } from '../../../src-core/run/event'
import { judged } from '../../../src-core/run/judge'
import { hasLimits } from '../../../src-core/run/plan'
import { rebuild, type Captured } from '../../../src-core/run/state'
import { runDetailOf } from '../../../src-core/run/detail'
import { checkedMeter, play, smallBoard, startMs, type Play } from './a-run'

const measure = { kind: 'measure', red: 'J1.1', black: 'R1.2', function: 'resistance' }
const r1 = { ...measure, id: 'r1', title: 'R1', limits: { nominal: 220, tolerance: 0.05 } }
const boardOf = (steps: readonly unknown[], more: Record<string, unknown> = {}) => smallBoard({ ...more, sequence: { id: 's', version: 1, steps } })
const meter = { ...checkedMeter, accuracy: { resistance: { percent: 0.5, counts: 2 } } }

const prepared = (board = smallBoard(), of = meter): Play => {
  const p = play(board, of)
  p.confirm(); p.open('dc-voltage')
  if (board.sequence.steps[0]?.kind === 'look') p.confirm()
  return p
}
const captured = (p: Play, step: string): Captured[] => p.events().filter((event): event is Captured => event.kind === 'captured' && event.step === step)
const part = (touch: Captured | undefined, what: string) => touch?.budget?.components.find((each) => each.what === what)
/** Touches that show these readings in turn, then the leads leave. */
const dither = (p: Play, readings: readonly number[]): void => {
  p.lift('resistance')
  for (let k = 0; k < 2; k += 1) for (const each of readings) p.hold('resistance', each, 0.2)
  p.lift('resistance')
}

describe('the temperature at the bench', () => {
  const conditions = { celsiusFrom: 18, celsiusTo: 28, months: 12 }
  const board = smallBoard()
  const touched = (celsius: number | null, statedHoursBefore: number) => {
    const stated = new Date(startMs - statedHoursBefore * 3_600_000).toISOString()
    const p = play(board, { ...meter, register: { ...blankRegisterEntry, conditions } }, { kit: { ...usualBenchKit, air: { celsius, relativeHumidityPercent: null, stated } } })
    p.confirm(); p.open('dc-voltage')
    if (board.sequence.steps[0]?.kind === 'look') p.confirm()
    p.touch('resistance', 221.4)
    return captured(p, 'r1').at(-1)
  }
  const half = (touch: Captured | undefined): number => {
    const found = part(touch, 'accuracy of the meter')
    if (found === undefined || !('halfWidth' in found.spread)) throw new Error('the budget has no accuracy')
    return found.spread.halfWidth
  }

  it('that was stated is taken: within the stated conditions nothing is assumed, three degrees above them the accuracy is wider by three tenths', () => {
    const [within, above, unknown] = [touched(22.5, 1), touched(31, 1), touched(null, 1)]
    expect(within?.budget?.remarks.join(' ')).not.toContain('temperature was not given')
    expect(unknown?.budget?.remarks.join(' ')).toContain('The temperature was not given; it is taken as 18 °C to 28 °C.')
    expect(above?.budget?.remarks.join(' ')).toContain('Measured at 31 °C, outside the stated 18 °C to 28 °C')
    // A tenth of the accuracy for each degree outside: common practice, no source.
    expect(half(above)).toBeCloseTo(1.3 * half(within), 9)
  })

  it('of the day before is not: nobody read it today', () => {
    expect(touched(31, 13)?.budget?.remarks.join(' ')).toContain('The temperature was not given')
    expect(half(touched(31, 13))).toBe(half(touched(22.5, 1)))
  })
})

describe('the budget of a captured value', () => {
  it('is kept whole with the event, and its U and k are those the value is judged by', () => {
    const p = prepared()
    p.touch('resistance', 221.4)
    const [touch] = captured(p, 'r1')
    expect(budget.parse(touch?.budget)).toEqual(touch?.budget)
    expect(touch?.uncertainty).toEqual({ U: touch?.budget?.U, k: touch?.budget?.coverage.k, basis: 'budget' })
    expect(touch?.budget?.value).toBe(touch?.value)
    expect(parseRunEvent(JSON.parse(JSON.stringify(touch)))).toEqual(touch)
    expect(rebuild(p.events().map((event) => parseRunEvent(JSON.parse(JSON.stringify(event)))))).toEqual(p.state())
  })

  it('takes the lead check off below 100 Ω with what it is not sure of, and the leads joined have no leads to take off', () => {
    const p = play(boardOf([{ ...measure, id: 'low', title: 'Low', limits: { between: [10, 20] } }]), { ...meter, leadCheck: null })
    p.touch('resistance', 0.2)
    expect(part(captured(p, 'prepare/leads-joined')[0], 'lead resistance')).toBeUndefined()
    expect(captured(p, 'prepare/leads-joined')[0]?.budget?.remarks.join(' ')).not.toMatch(/leads were not checked/)
    p.confirm(); p.open('dc-voltage')
    p.touch('resistance', 15)
    expect(captured(p, 'low')[0]?.value).toBeCloseTo(14.8, 9)
    expect(part(captured(p, 'low')[0], 'lead resistance')).toMatchObject({ sensitivity: -1, from: 'taken off; uncertainty of the lead check', spread: { shape: 'normal', standard: expect.closeTo(0.1 / Math.sqrt(12), 9) as number } })
  })

  it('learns the scatter of the meter from touch to touch, and keeps a doubtful contact out of it', () => {
    const twice = boardOf([{ ...r1, id: 'first' }, { ...r1, id: 'second' }, { ...r1, id: 'third' }])
    const p = prepared(twice)
    dither(p, [221.3, 221.5, 221.4, 221.4])
    const [first] = captured(p, 'first')
    expect(first?.sd).toBeGreaterThan(0)
    expect(part(first, 'repeatability')).toMatchObject({ kind: 'A', degrees: (first?.conversions ?? 0) - 1, from: expect.stringContaining('of this value') as string })
    const place = { function: 'resistance' as const, range: 600 }
    expect(pooledAt(p.bench().context.scatter ?? [], place, 'repeatability')).toMatchObject({ sd: expect.closeTo(first?.sd ?? NaN, 9) as number, groups: 1 })
    p.touch('resistance', 221.4)
    // Its own display stood still; what the meter is known to scatter counts all the same.
    expect(part(captured(p, 'second')[0], 'repeatability')).toMatchObject({ degrees: (first?.conversions ?? 0) - 1, spread: { standard: expect.closeTo(Math.sqrt((first?.sd ?? NaN) ** 2 - 0.01 / 12), 9) as number } })
    const before = p.bench().context.scatter
    for (const far of [150, 180, 120]) p.touch('resistance', far)
    expect(p.state().steps.third?.decided?.verdict).toBe('doubtful')
    expect(p.bench().context.scatter).toEqual(before)
  })

  it('counts the contact once two fresh touches of a placement agreed', () => {
    const p = prepared(boardOf([{ ...r1, id: 'first' }, { ...r1, id: 'second' }]))
    p.touch('resistance', 250); p.touch('resistance', 250.4)
    expect(p.state().steps.first?.decided?.verdict).toBe('fail')
    expect(captured(p, 'first').map((touch) => part(touch, 'contact'))).toEqual([undefined, undefined])
    p.touch('resistance', 221)
    // s of 250.0 and 250.4 is 0.4/√2, the rounding of the display taken off.
    expect(part(captured(p, 'second')[0], 'contact')).toMatchObject({ kind: 'A', degrees: 1, spread: { shape: 'normal', standard: expect.closeTo(Math.sqrt(0.08 - 0.01 / 12), 9) as number } })
  })

  it('adds what the board type says it adds, for the step and for its function', () => {
    const added = [{ what: 'R9 in parallel', plusMinus: 1.5 }]
    const p = prepared(boardOf([{ ...r1, addedUncertainty: added }], { addedUncertainty: [{ function: 'resistance', what: 'flux', plusMinus: 0.3 }, { function: 'diode', what: 'not this', plusMinus: 1 }] }))
    p.touch('resistance', 221.4)
    const [touch] = captured(p, 'r1')
    expect(part(touch, 'R9 in parallel')).toMatchObject({ from: 'stated by the board type', spread: { shape: 'rectangular', halfWidth: 1.5 } })
    expect(part(touch, 'flux')?.spread).toEqual({ shape: 'rectangular', halfWidth: 0.3 })
    expect(part(touch, 'not this')).toBeUndefined()
  })

  it('says what it assumes of temperature and calibration', () => {
    const register = { ...blankRegisterEntry, conditions: { celsiusFrom: 18, celsiusTo: 28, months: 12 } }
    const certificate = { number: 'C-1', laboratory: 'Lab', accreditation: '', calibrated: '2024-06-01', due: '2025-06-01', asFound: 'not stated' as const, asLeft: 'not stated' as const, points: [] }
    const remarks = (of: typeof meter): string => { const p = prepared(smallBoard(), of); p.touch('resistance', 221.4); return captured(p, 'r1')[0]?.budget?.remarks.join(' ') ?? '' }
    expect(remarks({ ...meter, register })).toMatch(/When the meter was calibrated is not known.*The temperature was not given; it is taken as 18 °C to 28 °C\./)
    // 2024-06-01 to 2026-03-14 is 21 months.
    expect(remarks({ ...meter, register: { ...register, certificate } })).toMatch(/holds for 12 months after calibration; it has been 21\./)
  })

  it('another meter starts with nothing known of its scatter', () => {
    const p = prepared()
    p.touch('resistance', 221.4)
    expect(p.bench().context.scatter).not.toEqual([])
    p.give({ kind: 'meter-lost', at: seconds(p.at()) })
    p.give({ kind: 'meter-back', other: false, at: seconds(p.at()) })
    p.give({ kind: 'press', press: 'other-meter', at: seconds(p.at()) })
    expect(p.bench().context.scatter).toEqual([])
  })
})

describe('without a budget', () => {
  it('a figure whose count is not known has no uncertainty, says why, and a guard band leaves it conditional', () => {
    const p = prepared()
    const step = currentStep(p.bench())
    if (step?.kind !== 'measure' || !hasLimits(step)) throw new Error('no step to measure')
    const { at } = p.bench().lastReading ?? { at: seconds(0) }
    const value = { function: 'resistance', unit: 'Ω', range: null, resolution: null, value: 221, shown: 221, median: 221, sd: 0, conversions: 4, seconds: seconds(1), band: null, raw: [], evidence: 'steady', at } as const
    const touch = judged({ ...p.bench().context, rule: { kind: 'guard-band', r: 1 } }, step, { ...value, raw: [] }, 1, startMs)
    expect(touch).toMatchObject({ uncertainty: null, verdict: 'conditional-pass', noBudget: expect.stringContaining('One count of this meter is not known') as string })
    expect('budget' in touch).toBe(false)
  })
  it('an overload has none, and nothing to explain', () => {
    const p = prepared()
    p.touch('resistance', 221.4); p.open('diode')
    const [open] = captured(p, 'd1')
    expect(open?.uncertainty).toBeNull()
    expect(open).not.toHaveProperty('noBudget')
    expect(open).not.toHaveProperty('budget')
  })
  it('an event of before is read as it was: its U, its k of 2 and its verdict', () => {
    const p = prepared()
    p.touch('resistance', 221.4)
    const old = p.events().map((event) => {
      if (event.kind !== 'captured' || event.step !== 'r1') return event
      const { budget: left, ...rest } = event
      expect(left).toBeDefined()
      return { ...rest, uncertainty: { U: 2.53, k: 2, basis: 'specification' as const }, verdict: 'conditional-pass' as const }
    })
    const state = rebuild(old.map((event) => parseRunEvent(JSON.parse(JSON.stringify(event)))))
    const shown = runDetailOf(state, smallBoard()).steps.find(({ id }) => id === 'r1')?.values[0]
    expect(shown).toMatchObject({ uncertainty: '± 2.5 Ω (k = 2, from the meter’s specification)', verdict: 'conditional-pass', budget: null, noBudget: '' })
  })
  it('a value read by eye has one reading behind it and says so', () => {
    const p = play(smallBoard(), { ...meterByEye, air: meter.air, leadCheck: meter.leadCheck, diodeCheck: meter.diodeCheck, sourceCheck: meter.sourceCheck })
    const type = (text: string) => p.give({ kind: 'typed', text, step: p.step() ?? '', touch: 1, at: seconds(p.at()) })
    p.confirm(); type('0.000'); p.confirm()
    expect(type('221.4').refused).toBeNull()
    expect(part(captured(p, 'r1')[0], 'repeatability')).toMatchObject({ kind: 'B', from: 'one reading: taken as ± 1 count' })
  })
})
