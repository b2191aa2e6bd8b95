import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { lineInput } from '../../bench-tools/lifted-board'
import { sampled } from '../../bench-tools/sampled'
import { mistValve } from '../../bench-tools/small-board'
import { sampleBoard, shippedDescription } from './shipped'
import { practise, type Practised } from './practise'

const verdict = ({ bench }: Practised): string => bench.run.ended?.verdict ?? 'not ended'
const captured = ({ bench }: Practised) => bench.run.events.filter((event) => event.kind === 'captured')
const failedIn = ({ bench }: Practised): string[] =>
  bench.run.events.flatMap((event) => (event.kind === 'decided' && event.verdict === 'fail' && !event.step.startsWith('prepare/')
    ? [event.step] : []))
const passedOver = ({ bench }: Practised): string[] => {
  const decided = new Set(bench.run.events.flatMap((event) => (event.kind === 'decided' ? [event.step] : [])))
  return bench.context.plan.steps.filter(({ id }) => !decided.has(id)).map(({ id }) => id)
}

describe('a whole run that lifts and puts back', () => {
  const play = (faults: string[]): Practised => practise(faults, 3, undefined, 600, lineInput())
  it('passes on a good board: the input pair is read with the clamps lifted, the terminator with all back', () => {
    const run = play([])
    expect([verdict(run), failedIn(run), run.refusals]).toEqual(['pass', [], []])
    const valueAt = (id: string): number => Number(captured(run).find(({ step }) => step === id)?.value)
    expect([valueAt('pair') > 18_000, valueAt('r1') > 115 && valueAt('r1') < 125]).toEqual([true, true])
  })
  it('ends beyond repair on an input that only shows so', () => {
    const run = play(['U1.A:leaky=500'])
    expect([verdict(run), failedIn(run)]).toEqual(['beyond-repair', ['pair']])
  })
})

describe('a step that the practice meter is too coarse for', () => {
  it('is skipped with that reason, and the run goes on to its end', () => {
    const parts = mistValve.parts.map((part) => (part.ref === 'R1' ? { ...part, value: 10 } : part)) as BoardType['parts']
    const steps = mistValve.sequence.steps.map((step) => (step.id === 'r1' && step.kind === 'measure' ? { ...step, limits: { between: [9.6, 10.4] as [number, number] } } : step))
    const run = practise([], 1, undefined, 600, { ...mistValve, parts, sequence: { ...mistValve.sequence, steps } })
    expect(run.bench.run.events.flatMap((event) => (event.kind === 'skipped' ? [[event.step, event.reason]] : []))).toEqual([['r1', 'meter too coarse']])
    expect([verdict(run), run.refusals, passedOver(run)]).toEqual(['incomplete', [], []])
  })
})

describe('the technician plays a whole run on the practice meter', () => {
  it.each(sampled([1, 2, 3, 4], 1))('a good board passes in less than 70 s of bench time, every step made with one touch (seed %d)', (seed) => {
    const run = practise([], seed)
    expect([verdict(run), failedIn(run), passedOver(run), run.refusals]).toEqual(['pass', [], [], []])
    expect(captured(run).every(({ touch }) => touch === 1)).toBe(true)
    expect(run.seconds).toBeLessThan(70)
    expect(captured(run).filter(({ step }) => !step.startsWith('prepare/'))).toHaveLength(sampleBoard().sequence.steps.filter(({ kind }) =>
      kind === 'measure').length)
  })

  it.each(sampled<[string, string[]]>([
    ['R4:open', ['r4']], ['D5:short', ['d5-forward', 'u2-b']], ['R3:drifted=2.2', ['r3']], ['D2:reversed', ['d2-forward', 'd2-reverse']],
    ['T1.1:short', ['t1-a']], ['F1:open', ['f1']], ['D3:short', ['supply-pair', 'd3-forward']], ['U2.A:leaky=1200', ['d4-reverse', 'u2-a']],
  ], 1))('%s fails %j and nothing else', (fault, steps) => {
    const run = practise([fault], 7)
    expect([verdict(run), failedIn(run)]).toEqual(['fail', steps])
  })
  it('a shorted clamp makes the sequence pass its reverse step over', () =>
    expect(passedOver(practise(['D5:short'], 7))).toEqual(['d5-reverse']))
  it('a burnt winding of the choke ends beyond repair, with the reason of the board file', () => {
    const run = practise(['T1.1:open'], 7)
    expect([verdict(run), failedIn(run)]).toEqual(['beyond-repair', ['t1-a']])
    expect(run.bench.run.ended?.because).toMatch(/^A winding of T1 has burnt through/)
  })
  it('a finite fail stands on two touches, an open on one press', () => {
    expect(captured(practise(['R3:drifted=2.2'], 7)).filter(({ step }) => step === 'r3').map(({ touch, evidence }) =>
      [touch, evidence])).toEqual([[1, 'steady'], [2, 'steady']])
    expect(captured(practise(['R3:open'], 7)).filter(({ step }) => step === 'r3').map(({ touch, evidence }) =>
      [touch, evidence])).toEqual([[1, 'confirmed']])
  })
  it.each(sampled(['line-meter-a.json', 'line-meter-b.json'] as const, 1))('%s as it ships, conversion times and all, comes through too', (file) => {
    expect(verdict(practise(['R4:open'], 3, shippedDescription(file)))).toBe('fail')
  })
})

describe('the other shipped boards, byte by byte', () => {
  const on = (folder: 'vent-driver-node-d' | 'soil-relay', faults: string[], seed: number): Practised =>
    practise(faults, seed, undefined, undefined, sampleBoard(folder))
  it.each(sampled([['vent-driver-node-d', 1], ['vent-driver-node-d', 2], ['soil-relay', 1], ['soil-relay', 2], ['soil-relay', 3], ['soil-relay', 4]] as const, 1))('%s, good, seed %d: passes, every step with one touch', (folder, seed) => {
    const run = on(folder, [], seed)
    expect([verdict(run), failedIn(run), passedOver(run), run.refusals]).toEqual(['pass', [], [], []])
    expect(captured(run).every(({ touch }) => touch === 1)).toBe(true)
    if (folder === 'soil-relay') expect(run.seconds).toBeLessThan(60)
  })
  it.each(sampled([
    ['vent-driver-node-d', 'L1:open', 'fail', ['l1']], ['vent-driver-node-d', 'L1:short', 'fail', ['l1']],
    ['soil-relay', 'K1:open', 'fail', ['k1']], ['soil-relay', 'R3:open', 'fail', ['k1']], ['soil-relay', 'D3:open', 'fail', ['d3-forward']],
    ['soil-relay', 'K1-contact:short', 'fail', ['k1-contact']], ['soil-relay', 'U2.OUT:short', 'fail', ['supply-pair', 'k1']], ['soil-relay', 'D2:short', 'fail', ['supply-pair', 'd2-forward']],
  ] as const, 1))('%s, %s: %s at %j', (folder, fault, ends, steps) => {
    const run = on(folder, [fault], 7)
    expect([verdict(run), failedIn(run)]).toEqual([ends, steps])
  })
  it('a burnt series coil of the soil relay ends its run at once, with the reason of the board file', () => {
    const run = on('soil-relay', ['L1:open'], 7)
    expect([verdict(run), failedIn(run), passedOver(run)[0]]).toEqual(['fail', ['l1'], 'd1-forward'])
    expect(run.bench.run.ended?.because).toMatch(/^L1 has burnt through although F1 stands before it/)
  })
  it('a shorted flyback diode passes its own step over, and a shorted reverse diode its reverse', () => {
    expect(passedOver(on('soil-relay', ['D3:short'], 7))).toEqual(['d3-forward'])
    expect(passedOver(on('soil-relay', ['D1:short'], 7))).toEqual(['d1-reverse'])
  })
})
