/** The readings file: only values that stand, at points on the board, and only what is known. */
import { describe, expect, it } from 'vitest'
import { readingsFile } from '../../../src-core/circuit/readings-file'
import { planOfRun } from '../../../src-core/run/detail'
import type { RunEvent } from '../../../src-core/run/event'
import { readingsOf } from '../../../src-core/run/readings-of'
import { rebuild } from '../../../src-core/run/state'
import { seconds } from '../../../src-core/quantity/units'
import { checkedMeter, play, smallBoard } from './a-run'

const prepared = () => {
  const bench = play()
  bench.confirm(); bench.open('dc-voltage'); bench.confirm()
  return bench
}

const fileOf = (events: RunEvent[]) => {
  const state = rebuild(events)
  const plan = planOfRun(state, smallBoard())
  if (plan === null) throw new Error('the board is known')
  const file = readingsOf(state, plan)
  expect(readingsFile.parse(JSON.parse(JSON.stringify(file)))).toEqual(file)
  return file
}

describe('the readings file of a run', () => {
  it('has one entry for each value that stands, and none of the preparation', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4); bench.open('diode')
    const file = fileOf(bench.events())
    expect(file).toMatchObject({ schema: 'probewright/readings/1', board: { id: 'soil-probe', revision: 'A' }, state: [] })
    expect('celsius' in file).toBe(false)
    for (const { value, U = 0 } of file.readings) for (const figure of [value, U]) if (typeof figure === 'number') expect(figure).toBe(Number(figure.toPrecision(12)))
    expect(file.readings).toEqual([
      // The 0.1 Ω of the leads are taken off under 100 Ω only: here as shown, and U is 0.1 Ω more than the 3.63 Ω of its spread.
      { red: 'J1.1', black: 'R1.2', function: 'resistance', value: expect.closeTo(221.4, 6), U: expect.closeTo(3.73, 2), k: expect.closeTo(1.645, 2), evidence: 'steady' },
      { red: 'R1.2', black: 'C1.2', function: 'diode', value: 'overload', evidence: 'confirmed' },
    ])
  })

  it('leaves out what was taken back, skipped, or of a doubtful contact', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4)
    bench.wait(1)
    bench.give({ kind: 'press', press: 'back', at: seconds(bench.at()) })
    expect(fileOf(bench.events()).readings).toEqual([])
    bench.give({ kind: 'skip', reason: 'no access', at: seconds(bench.at()) })
    expect(fileOf(bench.events()).readings).toEqual([])
    const doubtful = prepared()
    doubtful.touch('resistance', 300); doubtful.touch('resistance', 340); doubtful.touch('resistance', 380)
    expect(doubtful.state().steps.r1?.decided?.verdict).toBe('doubtful')
    expect(fileOf(doubtful.events()).readings).toEqual([])
  })

  it('writes a value that the open leads show in diode test as an overload with that ceiling', () => {
    const bench = prepared()
    bench.touch('resistance', 221.4); bench.open('diode')
    const shows = (apart: { from: number; to: number }): RunEvent[] => bench.events().map((event) => (
      event.kind === 'started' ? { ...event, meter: { ...checkedMeter, air: [{ function: 'diode' as const, range: null, apart, joined: null }] } }
        : event.kind === 'captured' && event.step === 'd1' ? { ...event, value: 2.61 } : event))
    expect(fileOf(shows({ from: 2.55, to: 2.65 })).readings.at(-1)).toEqual({ red: 'R1.2', black: 'C1.2', function: 'diode', value: 'overload', ceiling: 2.55, evidence: 'confirmed' })
  })
})

describe('the schema', () => {
  const good = { schema: 'probewright/readings/1', board: { id: 'vent-driver-node', revision: 'C' }, celsius: 23, state: [{ ref: 'D2', pin: 'anode', is: 'lifted' }, { ref: 'R3', is: 'removed' }],
    sources: { diode: { volts: 3, ohms: 2500, amperes: 0.001, plus: 'red' } },
    readings: [{ red: 'J1.2', black: 'C8.2', function: 'diode', value: 0.612, U: 0.004, k: 2, evidence: 'steady' }, { red: 'C8.2', black: 'J1.2', function: 'diode', value: 'overload', ceiling: 2.0, evidence: 'confirmed' }] }
  it('takes a whole file and refuses one that says too much or too little', () => {
    expect(readingsFile.parse(good)).toEqual(good)
    expect(readingsFile.safeParse({ ...good, more: 1 }).success).toBe(false)
    expect(readingsFile.safeParse({ ...good, state: [{ ref: 'D2', is: 'lifted' }] }).success).toBe(false)
    expect(readingsFile.safeParse({ ...good, readings: [{ ...good.readings[0], k: undefined }] }).success).toBe(false)
    expect(readingsFile.safeParse({ ...good, readings: [{ ...good.readings[0], ceiling: 2 }] }).success).toBe(false)
  })
})
