import { describe, expect, it } from 'vitest'
import { refusalToStart } from '../../../src-core/run/admission'
import { checkedMeter, newMeter, play, smallBoard, type Play } from './a-run'

/** Unplugs, reads the known source if asked, and finds the store empty. */
const prove = (bench: Play): void => {
  bench.confirm()
  if (bench.step() === 'prepare/known-source') bench.touch('dc-voltage', 1.55)
  bench.lift('dc-voltage')
  bench.open('dc-voltage')
}

describe('rule 12: right jacks, right way round', () => {
  it('a meter never checked makes air, diode both ways and joined leads before the first part', () => {
    const bench = play(smallBoard(), newMeter)
    expect(bench.step()).toBe('prepare/leads-apart/diode')
    bench.hold('diode', 'overload', 2.4); bench.confirm()
    expect(bench.step()).toBe('prepare/known-diode')
    bench.touch('diode', 0.58)
    expect(bench.step()).toBe('prepare/known-diode-reversed')
    bench.open('diode')
    expect(bench.step()).toBe('prepare/leads-apart/resistance')
    bench.hold('resistance', 'overload', 2.4); bench.confirm()
    expect(bench.step()).toBe('prepare/leads-joined')
    bench.touch('resistance', 0.2)
    expect(bench.step()).toBe('prepare/leads-apart/dc-voltage')
    bench.hold('dc-voltage', 0.002, 2.4); bench.confirm()
    expect(bench.step()).toBe('prepare/disconnect')
    const { meter } = bench.bench().context
    expect(meter.leadCheck?.ohms).toBeCloseTo(0.2, 6)
    expect(meter.diodeCheck?.forwardVolts).toBeCloseTo(0.58, 6)
    expect(meter.air.map((pattern) => pattern.function)).toEqual(['diode', 'resistance', 'dc-voltage'])
  })

  it.each([0.01, 0.6])('joined leads of %d Ω are refused and asked for again', (value) => {
    const bench = play(smallBoard(), { ...checkedMeter, leadCheck: null })
    expect(bench.step()).toBe('prepare/leads-joined')
    const coarse = { resolution: 0.01, range: 60 }
    const touch = (): void => {
      bench.lift('resistance')
      for (let k = 0; k < 10; k += 1) bench.give({ kind: 'reading', reading: { at: (bench.wait(0.2), bench.at()) as never, function: 'resistance', value, unit: 'Ω', flags: ['manual-range'], raw: k.toString(16).padStart(2, '0'), ...coarse } })
      bench.lift('resistance')
    }
    touch(); touch()
    expect(bench.step()).toBe('prepare/leads-joined')
    expect(bench.events().filter((event) => event.kind === 'decided').at(-1)).toMatchObject({ step: 'prepare/leads-joined', verdict: 'fail' })
    expect(bench.bench().context.meter.leadCheck).toBeNull()
  })

  it('0.0 Ω is allowed where one count is 0.1 Ω', () => {
    const bench = play(smallBoard(), { ...checkedMeter, leadCheck: null })
    bench.touch('resistance', 0)
    expect(bench.step()).toBe('prepare/disconnect')
  })

  it('the check holds for 12 hours on the same meter, and not a minute longer', () => {
    const at = (hours: number): string => new Date(Date.UTC(2026, 2, 14, 8, 1, 40) - hours * 3_600_000).toISOString()
    const aged = (hours: number) => ({ ...checkedMeter, leadCheck: { ...checkedMeter.leadCheck!, utc: at(hours) }, diodeCheck: { ...checkedMeter.diodeCheck!, utc: at(hours) } })
    expect(play(smallBoard(), aged(11.9)).step()).toBe('prepare/disconnect')
    expect(play(smallBoard(), aged(12.1)).step()).toBe('prepare/known-diode')
  })
})

describe('rule 13: de-energised, proven', () => {
  it('no part is measured before the board is disconnected and its store read empty', () => {
    const bench = play()
    expect(bench.step()).toBe('prepare/disconnect')
    bench.confirm()
    expect(bench.step()).toBe('prepare/store/C1')
    bench.hold('dc-voltage', 0.001, 3)
    expect(bench.step()).toBe('prepare/store/C1')
    bench.confirm()
    expect(bench.step()).toBe('look')
  })

  it('the known source is asked for when an hour has gone since it was last read', () => {
    const bench = play(smallBoard(), { ...checkedMeter, sourceCheck: { ...checkedMeter.sourceCheck!, utc: new Date(Date.UTC(2026, 2, 14, 6, 59, 0)).toISOString() } })
    bench.confirm()
    expect(bench.step()).toBe('prepare/known-source')
    bench.touch('dc-voltage', 1.55)
    expect(bench.step()).toBe('prepare/store/C1')
  })

  it('a known source that reads nothing is never taken for a proof', () => {
    const bench = play(smallBoard(), { ...checkedMeter, sourceCheck: null })
    bench.confirm()
    bench.open('dc-voltage')
    expect(bench.step()).toBe('prepare/known-source')
  })

  it('a charged store is discharged, waited for, and read again', () => {
    const bench = play()
    bench.confirm()
    bench.touch('dc-voltage', 4.2)
    expect(bench.step()).toBe('prepare/discharge/C1')
    bench.confirm()
    expect(bench.step()).toBe('prepare/again/C1')
    bench.open('dc-voltage')
    expect(bench.step()).toBe('prepare/again/C1')
    bench.hold('dc-voltage', 0.001, 30); bench.confirm()
    expect(bench.step()).toBe('look')
  })

  it('a store above the limit for people ends the run: the board is not what its file says', () => {
    const bench = play()
    bench.confirm()
    bench.touch('dc-voltage', 75)
    expect(bench.state().ended).toMatchObject({ verdict: 'incomplete' })
    expect(bench.state().ended?.because).toMatch(/60 V/)
  })

  it('a hazardous board proves source, store, discharge, store and source again, for every board', () => {
    const bench = play(smallBoard({ hazard: 'hazardous', mainsReferenced: true }), { ...checkedMeter, air: [...checkedMeter.air, { function: 'ac-voltage', range: null, apart: { from: 0, to: 0.01 }, joined: null }] })
    const seen: string[] = []
    const note = (): void => { seen.push(bench.step() ?? '') }
    note(); bench.confirm()
    note(); bench.touch('dc-voltage', 1.55)
    note(); bench.open('dc-voltage')
    note(); bench.lift('ac-voltage'); bench.open('ac-voltage', 0.001)
    note(); bench.confirm()
    note(); bench.hold('dc-voltage', 0.001, 32); bench.confirm()
    note(); bench.hold('ac-voltage', 0.001, 2); bench.confirm()
    note(); bench.lift('dc-voltage'); bench.touch('dc-voltage', 1.55)
    note()
    expect(seen).toEqual(['prepare/disconnect', 'prepare/known-source', 'prepare/store/C1', 'prepare/store/C1/ac', 'prepare/discharge/C1', 'prepare/again/C1', 'prepare/again/C1/ac', 'prepare/known-source-after', 'look'])
  })

  it('a terminal that field wiring reaches is read in AC too on an extra-low board, and what feeds it is unplugged before it is discharged', () => {
    const store = { id: 'valve', red: 'C1.1', black: 'C1.2', kind: 'rail', dischargeOhms: 1000, limitVolts: 0.5, fieldWiring: true }
    const bench = play(smallBoard({ energyStores: [store] }), { ...checkedMeter, air: [...checkedMeter.air, { function: 'ac-voltage', range: null, apart: { from: 0, to: 0.01 }, joined: null }] })
    bench.confirm()
    bench.open('dc-voltage')
    expect(bench.step()).toBe('prepare/store/valve/ac')
    bench.lift('ac-voltage'); bench.touch('ac-voltage', 24.3)
    expect(bench.step()).toBe('prepare/discharge/valve')
    const discharge = bench.bench().context.plan.preparation.find(({ id }) => id === 'prepare/discharge/valve')
    expect(discharge?.kind === 'do' && discharge.words).toMatch(/^Find what still feeds valve from outside, and unplug it or switch it off\. Discharge valve through 1000 Ω/)
  })

  it.each([
    ['a pause', (bench: Play) => { bench.give({ kind: 'press', press: 'pause', at: bench.at() as never }); bench.give({ kind: 'press', press: 'resume', at: bench.at() as never }) }],
    ['a kill', (bench: Play) => { bench.kill() }],
    ['10 minutes without contact', (bench: Play) => { bench.wait(605) }],
    ['a reconnection', (bench: Play) => { bench.give({ kind: 'meter-lost', at: bench.at() as never }); bench.give({ kind: 'meter-back', other: false, at: bench.at() as never }); bench.give({ kind: 'press', press: 'same-meter', at: bench.at() as never }) }],
  ])('the proof lapses after %s: the store is read again before the next part', (_why, happens) => {
    const bench = play()
    prove(bench); bench.confirm()
    expect(bench.step()).toBe('r1')
    happens(bench)
    expect(bench.step()).toBe('prepare/disconnect')
    expect(bench.events().some((event) => event.kind === 'proof-lapsed')).toBe(true)
    prove(bench)
    expect(bench.step()).toBe('r1')
  })

  it('a negative resistance says the board is charged: the proof lapses and the store comes next', () => {
    const bench = play()
    prove(bench); bench.confirm()
    bench.lift('resistance')
    bench.hold('resistance', -1.2, 1)
    expect(bench.step()).toBe('prepare/disconnect')
    expect(bench.state().lapsedBecause).toMatch(/charged/)
    expect(bench.events().filter((event) => event.kind === 'captured' && event.step === 'r1')).toEqual([])
  })

  it('the preparation cannot be skipped', () => {
    const bench = play()
    const done = bench.give({ kind: 'skip', reason: 'no time', at: bench.at() as never })
    expect(done.events).toEqual([])
    expect(done.refused).toMatch(/cannot be skipped/)
  })
})

describe('rule 14: isolation', () => {
  it('a meter not known to be isolated is refused on a board referenced to mains', () => {
    for (const isolated of ['no', 'unknown'] as const) {
      expect(refusalToStart(smallBoard({ mainsReferenced: true }), { ...checkedMeter, isolated })).toMatch(/isolated/)
      expect(refusalToStart(smallBoard(), { ...checkedMeter, isolated })).toBeNull()
    }
    expect(refusalToStart(smallBoard({ mainsReferenced: true }), checkedMeter)).toBeNull()
  })

  it('and for a step made under power', () => {
    const board = smallBoard()
    const steps = board.sequence.steps.map((step) => (step.kind === 'measure' ? { ...step, powered: true } : step))
    expect(refusalToStart({ ...board, sequence: { ...board.sequence, steps } }, { ...checkedMeter, isolated: 'unknown' })).toMatch(/under power/)
  })
})
