/** Builders for tests of runs: a small board of our own, a meter, and readings as a meter sends them. */
import type { BoardType } from '../../../src-core/board/board-type'
import { boardType } from '../../../src-core/board/board-type'
import { usualBenchKit, type BenchKit, type Meter } from '../../../src-core/meter/instrument'
import { blankRegisterEntry } from '../../../src-core/meter/register'
import { unitOf, type MeasuredValue, type MeterFunction, type Reading } from '../../../src-core/meter/reading'
import { seconds } from '../../../src-core/quantity/units'
import { planOfBoard } from '../../../src-core/repair/again'
import type { FollowsRun } from '../../../src-core/repair/entry'
import { absorb, currentStep, openBench, type Bench, type BenchContext } from '../../../src-core/run/bench'
import { conduct, type BenchInput } from '../../../src-core/run/conduct'
import type { Conducted } from '../../../src-core/run/conducted'
import type { RunEvent, RunEventBody } from '../../../src-core/run/event'
import type { KnownGood } from '../../../src-core/run/good-values'
import type { Plan } from '../../../src-core/run/plan'
import { preparationSteps, sessionStepsDue } from '../../../src-core/run/preparation'
import { rebuild, type RunState } from '../../../src-core/run/state'
import type { KnownWalks } from '../../../src-core/run/walk'

export const run = '11111111-2222-4333-8444-555555555555'
export const session = '66666666-7777-4888-9999-aaaaaaaaaaaa'
export const startMs = Date.UTC(2026, 2, 14, 8, 0, 0)

/** A three-part board: two resistors in a row to ground, a diode, and a capacitor that stores. */
export const smallBoard = (change: Record<string, unknown> = {}): BoardType => boardType.parse({
  schema: 'probewright/board-type/1', id: 'soil-probe', name: 'Soil probe', revision: 'A', hazard: 'extra-low', mainsReferenced: false,
  pictures: [], nets: ['IN', 'MID', 'GND', 'VCC'],
  testPoints: [
    { id: 'J1.1', net: 'IN', picture: 'top', x: 10, y: 10, words: 'terminal 1' }, { id: 'R1.2', net: 'MID', picture: 'top', x: 20, y: 10, words: 'inner end of R1' },
    { id: 'C1.1', net: 'VCC', picture: 'top', x: 30, y: 10, words: 'plus of C1' }, { id: 'C1.2', net: 'GND', picture: 'top', x: 30, y: 20, words: 'minus of C1' },
  ],
  parts: [
    { ref: 'R1', kind: 'resistor', value: 220, tolerance: 0.05, pins: { 1: 'IN', 2: 'MID' } },
    { ref: 'D1', kind: 'diode', pins: { anode: 'GND', cathode: 'MID' } },
  ],
  energyStores: [{ id: 'C1', red: 'C1.1', black: 'C1.2', dischargeOhms: 100 }],
  disconnect: ['24 V supply'],
  sequence: { id: 'input', version: 1, steps: [
    { kind: 'look', id: 'look', title: 'Look', words: 'Anything burnt?' },
    { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', limits: { nominal: 220, tolerance: 0.05 }, parts: ['R1'],
      then: [{ when: { above: 1e5 }, stop: 'beyond-repair', because: 'the trace under R1 is gone' }] },
    { kind: 'measure', id: 'd1', title: 'D1 reverse', red: 'R1.2', black: 'C1.2', function: 'diode', limits: 'open', parts: ['D1'] },
  ] },
  ...change,
})

const utc = new Date(startMs - 60_000).toISOString()
/** A meter whose checks are a minute old: no session steps are due. */
export const checkedMeter: Meter = {
  id: 'bench-meter', name: 'Bench meter', description: 'Line meter A', port: null, settings: null, isolated: 'yes', accuracy: {},
  air: [
    { function: 'resistance', range: null, apart: 'overload', joined: null }, { function: 'diode', range: null, apart: 'overload', joined: null },
    { function: 'dc-voltage', range: null, apart: { from: -0.003, to: 0.003 }, joined: null },
  ],
  leadCheck: { utc, ohms: 0.1, U: 0.05, resolution: 0.1, run }, diodeCheck: { utc, forwardVolts: 0.58, run }, sourceCheck: { utc, volts: 1.55, run }, register: blankRegisterEntry,
}
export const newMeter: Meter = { ...checkedMeter, air: [], leadCheck: null, diodeCheck: null, sourceCheck: null }

const resolutions: Partial<Record<MeterFunction, number>> = { resistance: 0.1, diode: 0.001, 'dc-voltage': 0.001, 'ac-voltage': 0.001 }
let frame = 0

/** A reading as the meter sends it; every frame differs a little, as conversions do. */
export const shown = (fn: MeterFunction, value: MeasuredValue, at: number): Reading => ({
  at: seconds(at), function: fn, value, unit: unitOf[fn], resolution: typeof value === 'number' ? resolutions[fn] ?? 1 : null,
  range: typeof value === 'number' ? (fn === 'resistance' ? 600 : 6) : null, flags: ['auto-range'], raw: (frame++).toString(16).padStart(8, '0'),
})

export type Play = {
  bench: () => Bench
  events: () => RunEvent[]
  state: () => RunState
  step: () => string | null
  at: () => number
  give: (input: BenchInput) => Conducted
  /** Holds the leads on a value, five conversions a second. */
  hold: (fn: MeterFunction, value: MeasuredValue, forSeconds: number) => void
  lift: (fn: MeterFunction) => void
  /** Leads in the air, 1.6 s on a value, and off again. */
  touch: (fn: MeterFunction, value: number) => void
  /** An air value: seen for 1.4 s, then confirmed. */
  open: (fn: MeterFunction, value?: MeasuredValue) => void
  confirm: () => Conducted
  wait: (forSeconds: number) => void
  kill: () => void
}

/** @param of a plan of its own for a run with no board, and the kit it was made with. */
export const play = (board: BoardType = smallBoard(), meter: Meter = checkedMeter, of: { plan?: Plan; kit: BenchKit; follows?: FollowsRun; walks?: KnownWalks; good?: KnownGood; beside?: true } | null = null): Play => {
  const kit = of?.kit ?? usualBenchKit
  const context: BenchContext = {
    plan: of?.plan ?? planOfBoard(board, of?.follows, (made) => preparationSteps(made, usualBenchKit, of?.beside)), meter, kit, rule: { kind: 'simple-acceptance', r: 0 },
    facts: { resistance: { conversionSeconds: seconds(0.2), counts: 6000, lowestRange: 600 }, diode: { conversionSeconds: seconds(0.2), counts: 6000, lowestRange: 6 }, 'dc-voltage': { conversionSeconds: seconds(0.2), counts: 6000, lowestRange: 6 } },
  }
  let at = 100
  const stamp = (from: number, bodies: readonly RunEventBody[]): RunEvent[] => bodies.map((body, index) =>
    ({ ...body, v: 1, run, seq: from + index, session, utc: new Date(startMs + at * 1000).toISOString(), at: seconds(at) }))
  let events = stamp(1, [{
    kind: 'started', board: { id: board.id, revision: board.revision, sha256: '0'.repeat(64) }, sequence: { id: 'input', version: 1 }, serialNumber: 'S-1', meter, kit,
    rule: context.rule, prepare: sessionStepsDue(board, usualBenchKit, meter, startMs + at * 1000), ...(of?.follows === undefined ? {} : { follows: of.follows }), ...(of?.walks === undefined ? {} : { walks: of.walks }), ...(of?.good === undefined ? {} : { good: of.good }), ...(of?.beside === undefined ? {} : { beside: of.beside }),
  }])
  let bench = openBench(context, rebuild(events), seconds(at), startMs + at * 1000)
  const give = (input: BenchInput): Conducted => {
    const done = conduct(bench, input)
    const stored = stamp(events.length + 1, done.events)
    events = [...events, ...stored]
    bench = absorb(done.bench, stored, seconds(at))
    return done
  }
  const wait = (forSeconds: number): void => {
    const end = at + forSeconds
    while (at < end - 1e-9) {
      at = Math.min(end, at + 0.1)
      give({ kind: 'tick', at: seconds(at), utcMs: startMs + at * 1000 })
    }
  }
  const hold = (fn: MeterFunction, value: MeasuredValue, forSeconds: number): void => {
    for (let k = 0; k < Math.round(forSeconds * 5); k += 1) {
      at += 0.2
      give({ kind: 'reading', reading: shown(fn, value, at) })
    }
  }
  const airOf = (fn: MeterFunction): MeasuredValue => (fn === 'dc-voltage' ? 0.001 : 'overload')
  const lift = (fn: MeterFunction): void => { hold(fn, airOf(fn), 0.8) }
  /** A press a moment after the step came up, as a person's is. */
  const confirm = (): Conducted => {
    wait(0.6)
    return give({ kind: 'press', press: 'confirm', at: seconds(at) })
  }
  return {
    bench: () => bench, events: () => events, state: () => bench.run, step: () => currentStep(bench)?.id ?? null, at: () => at, give, hold, lift, confirm, wait,
    touch: (fn, value) => { lift(fn); hold(fn, value, 1.6); lift(fn) },
    open: (fn, value = airOf(fn)) => { hold(fn, value, 1.4); confirm() },
    kill: () => {
      at += 5
      bench = openBench(context, rebuild(events), seconds(at), startMs + at * 1000)
      give({ kind: 'taken-up', at: seconds(at) })
    },
  }
}
