import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { expectedInside } from '../../../src-core/circuit/failed-steps'
import { type Fault, parseFaults } from '../../../src-core/circuit/faults'
import { lineDecoder } from '../../../src-core/meter/decode-line'
import { linesOf } from '../../../src-core/meter/framing'
import type { MeterDescription } from '../../../src-core/meter/description'
import type { MeterFunction, Reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import type { Hand, Tips } from '../../../src-core/practice/hand'
import { createPracticeMeter, type PracticeMeter, quickened } from '../../../src-main/service/practice/practice-meter'
import { leadOhms } from '../../../src-main/service/practice/settled-reading'
import { lifted, lineInput } from '../../bench-tools/lifted-board'
import { sampleBoard, shippedDescription } from './shipped'

const board = sampleBoard()
const lineA = shippedDescription('line-meter-a.json')

const faultsOf = (on: BoardType, faults: string[]): Fault[] => {
  const parsed = parseFaults(on, faults)
  if ('problems' in parsed) throw new Error(parsed.problems.join(' '))
  return parsed.faults
}
const meterWith = (faults: string[], seed: number, description = lineA, on: BoardType = board): PracticeMeter =>
  createPracticeMeter({ board: on, faults: faultsOf(on, faults), seed, description, startsAt: seconds(0) })
const readingsUntil = (meter: PracticeMeter, at: number, description: MeterDescription = lineA): Reading[] => {
  const decode = lineDecoder(description)
  return meter.bytesUntil(seconds(at)).map(({ at: sent, bytes }) => {
    const reading = decode(bytes.slice(0, bytes.length - linesOf(description).delimiter.length / 2), sent)
    if ('reject' in reading) throw new Error(`${Buffer.from(bytes).toString()}: ${reading.reject}`)
    return reading
  })
}
/** Leads off until 1 s, then on for `hold` seconds: what is sent during the touch. */
const touch = (meter: PracticeMeter, hand: Hand, from: number, hold: number, description = lineA): Reading[] => {
  meter.setHand({ tips: 'lifted', function: hand.function }, seconds(from))
  readingsUntil(meter, from + 1, description)
  meter.setHand(hand, seconds(from + 1))
  return readingsUntil(meter, from + 1 + hold, description)
}
const settledOf = (tips: Tips, what: MeterFunction, seed = 1, faults: string[] =
  []): number | 'overload' | 'negative-overload' | undefined =>
  touch(meterWith(faults, seed), { tips, function: what }, 0, 4).at(-1)?.value

/** Every measure step in turn, 5 s of touch each, on one meter: the ids of those whose last reading is outside the limits. */
const stepsFailed = (faults: string[], seed: number, description = lineA): string[] => {
  const meter = meterWith(faults, seed, description)
  return board.sequence.steps.filter((step) => step.kind === 'measure').flatMap((step, at) => {
    const last = touch(meter, { tips: { leads: { red: step.red, black: step.black } }, function: step.function }, at * 6, 5,
      description).at(-1)
    if (last === undefined) throw new Error(`nothing was sent in ${step.id}`)
    if (last.value === 'negative-overload') return [step.id]
    const ohmic = step.function === 'resistance' || step.function === 'continuity'
    const value = typeof last.value === 'number' && ohmic && last.value < 100 ? last.value - leadOhms : last.value
    return step.limits !== undefined && expectedInside(step.limits, value, step.function) ? [] : [step.id]
  })
}

describe('a good practice board', () => {
  it('passes every measure step, whatever values its parts were drawn with', () => {
    for (let seed = 1; seed <= 25; seed += 1) expect([seed, stepsFailed([], seed)]).toEqual([seed, []])
  })
  it('passes on the other shipped meter too', () => {
    for (let seed = 1; seed <= 5; seed += 1) expect(stepsFailed([], seed, shippedDescription('line-meter-b.json'))).toEqual([])
  })
})

describe('a practice board with one detectable fault fails', () => {
  it.each([
    ['D1:short', 'd1'], ['D1:leaky=5000', 'd1'], ['R7:open', 'r7'], ['R7:drifted=1.5', 'r7'], ['R4:open', 'r4'], ['R3:drifted=1.5', 'r3'],
      ['R3:short', 'r3'],
    ['D4:short', 'd4-forward'], ['D4:open', 'd4-forward'], ['D4:reversed', 'd4-reverse'], ['D5:short', 'd5-reverse'],
      ['D5:leaky=1200', 'd5-reverse'],
    ['T1.1:open', 't1-a'], ['T1.3:short', 't1-b'], ['R5:open', 'r5'], ['R6:drifted=0.5', 'r6'], ['U2.A:short', 'u2-a'],
      ['U2.B:open', 'u2-b'], ['U2.B:leaky=3000', 'u2-b'],
    ['U2.VCC:short', 'rail-5v'], ['F1:open', 'f1'], ['D2:short', 'd2-forward'], ['D2:open', 'd2-forward'], ['D2:reversed', 'd2-reverse'],
      ['D3:short', 'supply-pair'],
    ['D3:leaky=1200', 'supply-pair'], ['C8:short', 'supply-pair'], ['R9:open', 'supply-pair'],
      ['U1.OUT:leaky=800', 'rail-5v'], ['C9:short', 'rail-5v'],
  ])('%s at %s', (fault, step) => {
    for (const seed of [1, 2, 3]) expect(stepsFailed([fault], seed)).toContain(step)
  })
})

describe('the practice meter', () => {
  it('sends the same bytes for the same seed and hand', () => {
    const play = (seed: number): string[] => {
      const meter = meterWith(['R4:open'], seed)
      meter.setHand({ tips: { leads: { red: 'J1.2', black: 'R3.2' } }, function: 'resistance' }, seconds(0.33))
      return meter.bytesUntil(seconds(3)).map(({ bytes }) => Buffer.from(bytes).toString('hex'))
    }
    expect(play(5)).toEqual(play(5))
    expect(play(5)).not.toEqual(play(6))
  })
  it('reads the board as it is: with the clamps lifted and the terminator open it sees the input alone, faulty or good, and put back the terminator again', () => {
    const read = (faults: string[]): (number | 'overload' | 'negative-overload' | undefined)[] => {
      const meter = meterWith(faults, 4, lineA, lineInput())
      const pair: Hand = { tips: { leads: { red: 'J1.1', black: 'J1.2' } }, function: 'resistance' }
      const whole = touch(meter, pair, 0, 3).at(-1)?.value
      const lies = (state: typeof lifted | []) => ({ faults: faultsOf(lineInput(), faults), state, powered: false })
      meter.setBoard(lies(lifted), seconds(4))
      const open = touch(meter, pair, 4, 3).at(-1)?.value
      meter.setBoard(lies([]), seconds(8))
      return [whole, open, touch(meter, pair, 8, 3).at(-1)?.value]
    }
    // 120 Ω of R1 before both inputs in a row, 12 kΩ ± 20 % each; a leak of 500 Ω at one of them shows only then.
    const [good, bad] = [read([]), read(['U1.A:leaky=500'])]
    for (const [whole, open, back] of [good, bad]) {
      expect([Number(whole) > 100 && Number(whole) < 130, Number(back) > 100 && Number(back) < 130]).toEqual([true, true])
      expect(Number(open)).toBeGreaterThan(5000)
    }
    expect(Number(good[1])).toBeGreaterThan(18_000)
    expect(Number(good[1])).toBeLessThan(30_000)
    expect(Number(bad[1])).toBeLessThan(16_000)
  })
  it('stays as it is when the state it has is said again', () => {
    const [once, again] = [meterWith([], 2, lineA, lineInput()), meterWith([], 2, lineA, lineInput())]
    const hand: Hand = { tips: { leads: { red: 'J1.1', black: 'J1.2' } }, function: 'resistance' }
    for (const meter of [once, again]) { meter.setHand(hand, seconds(0.5)); meter.setBoard({ faults: [], state: lifted, powered: false }, seconds(1)) }
    again.setBoard({ faults: [], state: [...lifted].reverse(), powered: false }, seconds(1.55))
    expect(again.bytesUntil(seconds(3))).toEqual(once.bytesUntil(seconds(3)))
  })
  it('sends the same bytes however often it is asked', () => {
    const hand: Hand = { tips: { leads: { red: 'C8.1', black: 'C8.2' } }, function: 'resistance' }
    const [once, often] = [meterWith([], 3), meterWith([], 3)]
    once.setHand(hand, seconds(0.5))
    const all = once.bytesUntil(seconds(4))
    const pieces = Array.from({ length: 400 }, (_, n) => {
      if (n === 50) often.setHand(hand, seconds(0.5))
      return often.bytesUntil(seconds((n + 1) / 100))
    }).flat()
    expect(pieces).toEqual(all)
  })
  it('converts ten times a second, and the description made quick says so', () => {
    expect(readingsUntil(meterWith([], 1), 5)).toHaveLength(50)
    expect(Object.values(quickened(lineA).functions).every(({ conversionSeconds }) => conversionSeconds === 0.1)).toBe(true)
  })
  it('shows overload in the air for resistance, continuity and diode, and next to nothing in volts', () => {
    for (const what of ['resistance', 'continuity', 'diode'] as const) {
      for (const reading of touch(meterWith([], 1), { tips: 'lifted', function: what }, 0, 2)) expect(reading.value).toBe('overload')
    }
    for (const reading of touch(meterWith([], 1), { tips: 'lifted', function: 'dc-voltage' }, 0,
      2)) expect(Math.abs(Number(reading.value))).toBeLessThan(0.0015)
  })
  it('reads its leads, a known diode both ways and a known source both ways', () => {
    expect(settledOf({ fixture: 'leads-joined', reversed: false }, 'resistance')).toBeCloseTo(leadOhms, 0)
    expect(settledOf({ fixture: 'known-diode', reversed: false }, 'diode')).toBeCloseTo(0.58, 2)
    expect(settledOf({ fixture: 'known-diode', reversed: true }, 'diode')).toBe('overload')
    expect(settledOf({ fixture: 'known-source', reversed: false }, 'dc-voltage')).toBeCloseTo(1.55, 2)
    expect(settledOf({ fixture: 'known-source', reversed: true }, 'dc-voltage')).toBeCloseTo(-1.55, 2)
  })
  it('shows what is left on a store: under 1 mV, inside what it shows in the air', () => {
    const value = settledOf({ leads: { red: 'C8.1', black: 'C8.2' } }, 'dc-voltage')
    expect(Number(value)).toBeGreaterThan(0.0001)
    expect(Number(value)).toBeLessThan(0.001)
  })
  it('does not show the settled value in the first conversion after contact: part of it was air', () => {
    let wrong = 0
    for (let seed = 1; seed <= 20; seed += 1) {
      const meter = meterWith([], seed)
      meter.setHand({ tips: 'lifted', function: 'resistance' }, seconds(0))
      readingsUntil(meter, 1)
      meter.setHand({ tips: { leads: { red: 'J1.2', black: 'R3.2' } }, function: 'resistance' }, seconds(1.05))
      const [first, , ...rest] = readingsUntil(meter, 3)
      if (first?.value === 'overload' || Number(first?.value) > 225) wrong += 1
      expect(rest.every(({ value }) => Math.abs(Number(value) - 220) < 6)).toBe(true)
    }
    expect(wrong).toBe(20)
  })
  it('comes down through its ranges: a coarser reading before the final one', () => {
    const meter = meterWith([], 1)
    const ranges = touch(meter, { tips: { leads: { red: 'J1.2', black: 'R3.2' } }, function: 'resistance' }, 0, 1).map(({ range }) =>
      range).filter((range) => range !== null)
    expect(ranges[0]).toBeGreaterThan(600)
    expect(ranges.at(-1)).toBe(600)
  })
  it('charges C8 from empty with the time constant of the board behind the meter’s source', () => {
    const readings = touch(meterWith([], 1), { tips: { leads: { red: 'C8.1', black: 'C8.2' } }, function: 'resistance' }, 0, 5)
    const last = Number(readings.at(-1)?.value)
    const half = readings.find(({ value }) => typeof value === 'number' && value > last / 2)
    // 5.45 kΩ beside the source’s 10 kΩ, times 100 µF ± 20 %: 0.28 s to 0.42 s; half of it after 0.69 times that.
    expect(Number(half?.at) - 1).toBeGreaterThan(0.15)
    expect(Number(half?.at) - 1).toBeLessThan(0.45)
    expect(last).toBeGreaterThan(3500)
  })
  it('refuses a point that is not there, and its hand stays where it was', () => {
    const meter = meterWith([], 1)
    expect(() => meter.setHand({ tips: { leads: { red: 'X1', black: 'R3.2' } }, function: 'resistance' },
      seconds(1))).toThrow('Vent driver node has no test point X1; the practice hand cannot go there.')
    expect(meter.hand().tips).toBe('lifted')
  })
  it('refuses a function its description does not have', () => {
    expect(() => meterWith([], 1).setHand({ tips: 'lifted', function: 'temperature' },
      seconds(1))).toThrow('Line meter A has no temperature among its functions; the practice meter cannot show it.')
  })
  it('refuses a description whose lines it cannot write, in words', () => {
    expect(() => meterWith([], 1,
      { ...lineA, pattern: '^(?<function>\\w+)~(?<value>[\\d.]+)(?<unit>V)$' })).toThrow(/The practice meter cannot speak "Line meter A"/)
  })
})
