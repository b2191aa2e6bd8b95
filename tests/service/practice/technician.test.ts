import { describe, expect, it } from 'vitest'
import type { BenchView, LiveView } from '../../../src-core/run/view'
import { type Technician, technician, type TechnicianAction, technicianAtRest } from '../../../src-main/service/practice/technician'

const place = (testPoint: string): NonNullable<NonNullable<BenchView['step']>['red']> => ({ testPoint, x: 0, y: 0, words: testPoint })
type Step = NonNullable<BenchView['step']>
const measure = (change: Partial<Step> = {}): Step => ({
  id: 'r3', number: 1, of: 3, title: 'R3', kind: 'measure', prompt: [], where: '', caution: null, function: 'resistance',
    red: place('J1.2'), black: place('R3.2'),
  fixture: null, reversed: false, limits: '', scale: null, typed: null, ...change,
})
const confirmKey: BenchView['keys'] = [{ key: 'Space', does: 'confirm', action: 'confirm' }]
const bench = (step: Step | null, change: Partial<BenchView> = {}): BenchView => ({
  run: 'run', board: { id: 'b', name: 'B', revision: 'C' }, serialNumber: '1', status: 'running', practice: true, byEye: false, record: false, picture: null, step,
    steps: [], keys: confirmKey,
  leads: '', proof: '', spoken: [], notes: [], result: null, ...change,
})
const live = (wants: LiveView['wants'], figure = 'OL'): LiveView =>
  ({ reading: { figure, unit: 'Ω', function: 'resistance', flags: [] }, perSecond: 10, mark: null, state: '', tone: 'ask', beads: null, spoken: null,
    wants })

/** Looks every 20 ms for so long; says what was done and when. */
const watch = (from: Technician, view: BenchView | null, line: LiveView, begin: number,
  lasts: number): { technician: Technician; done: (TechnicianAction & { at: number })[] } => {
  let now = from
  const done: (TechnicianAction & { at: number })[] = []
  for (let at = begin; at < begin + lasts; at += 0.02) {
    const next = technician(now, view, line, at)
    now = next.technician
    done.push(...next.actions.map((action) => ({ ...action, at })))
  }
  return { technician: now, done }
}
const on = (red: string, black: string) => ({ tips: { leads: { red, black } }, function: 'resistance' as const })
const standing = (hand: Technician['hand'], since = 0): Technician => ({ ...technicianAtRest(0), hand, since })

describe('the technician', () => {
  it('turns the dial, then places the leads, each after its moment', () => {
    const { done } = watch(technicianAtRest(0), bench(measure()), live('touch', '0.0'), 0, 1)
    expect(done.map(({ kind, ...rest }) => (kind === 'hand' && 'hand' in rest ? rest.hand : kind))).toEqual([{ tips: 'lifted',
      function: 'resistance' }, on('J1.2', 'R3.2')])
    expect(done[1]?.at).toBeGreaterThanOrEqual(0.4)
  })
  it('holds still while a value steadies', () => expect(watch(standing(on('J1.2', 'R3.2')), bench(measure()), live('hold', '221.4'), 0,
    5).done).toEqual([]))
  it('lifts when asked, and then keeps the leads off until the lift was seen', () => {
    const { done, technician: after } = watch(standing(on('J1.2', 'R3.2')),
      bench(measure({ id: 'r4', red: place('J1.1'), black: place('R4.2') })), live('lift', '221.4'), 0, 2)
    expect(done.map((one) => ('hand' in one ? one.hand.tips : one.kind))).toEqual(['lifted'])
    expect(after.hand.tips).toBe('lifted')
  })
  it('lifts before it goes to other points, never slides', () => {
    const { done } = watch(standing(on('J1.2', 'R3.2')), bench(measure({ red: place('J1.1'), black: place('R4.2') })), live('touch'), 0, 1)
    expect(done.map((one) => ('hand' in one ? one.hand.tips : one.kind))).toEqual(['lifted', { leads: { red: 'J1.1', black: 'R4.2' } }])
  })
  it('never confirms what the leads in the air show: it places them first', () => {
    const { done } = watch(standing({ tips: 'lifted', function: 'resistance' }), bench(measure()), live('confirm'), 0, 3)
    expect(done[0]).toMatchObject({ kind: 'hand', hand: on('J1.2', 'R3.2') })
    expect(done[1]?.kind).toBe('press')
    expect((done[1]?.at ?? 0) - (done[0]?.at ?? 0)).toBeGreaterThan(1)
  })
  it('confirms an open where a value was expected, after more than 1 s on the points', () => {
    const { done } = watch(standing(on('J1.2', 'R3.2')), bench(measure()), live('touch'), 0, 2)
    expect(done).toHaveLength(1)
    expect(done[0]).toMatchObject({ kind: 'press', key: 'confirm' })
    expect(done[0]?.at).toBeGreaterThan(1)
  })
  it('does not press for open while a figure shows', () => expect(watch(standing(on('J1.2', 'R3.2')), bench(measure()),
    live('touch', '221.4'), 0, 3).done).toEqual([]))
  it('presses again if it was not heard, but not in a burst', () => {
    const presses = watch(standing(on('J1.2', 'R3.2')), bench(measure()), live('confirm'), 0, 6).done
    expect(presses.length).toBeGreaterThan(1)
    presses.slice(1).forEach((press, n) => expect(press.at - (presses[n]?.at ?? 0)).toBeGreaterThan(1.4))
  })
  it('lifts and sets down anew when nothing comes of a touch', () => {
    const { done } = watch(standing(on('J1.2', 'R3.2')), bench(measure()), live('touch', '5.1'), 0, 20)
    expect(done.map((one) => ('hand' in one ? one.hand.tips : one.kind)).slice(0, 2)).toEqual(['lifted',
      { leads: { red: 'J1.2', black: 'R3.2' } }])
  })
  it('takes the leads off for a look or a do, then presses', () => {
    const { done } = watch(standing(on('J1.2', 'R3.2')), bench(measure({ kind: 'do', function: null, red: null, black: null })),
      live('press'), 0, 1)
    expect(done.map(({ kind }) => kind)).toEqual(['hand', 'press'])
  })
  it('goes to a fixture, reversed where asked', () => {
    const { done } = watch(technicianAtRest(0), bench(measure({ function: 'diode', red: null, black: null, fixture: 'known-diode',
      reversed: true })), live('touch'), 0, 1)
    expect(done.at(-1)).toMatchObject({ hand: { tips: { fixture: 'known-diode', reversed: true }, function: 'diode' } })
  })
  it('answers that the meter is the same', () => {
    const asked = bench(measure(), { keys: [{ key: 'Space', does: 'same meter', action: 'same-meter' }] })
    expect(watch(technicianAtRest(0), asked, live('press'), 0, 0.9).done).toMatchObject([{ kind: 'press', key: 'same-meter' }])
  })
  it('leaves a paused run alone', () => expect(watch(technicianAtRest(0), bench(measure(), { status: 'paused' }), live('nothing'), 0,
    3).done).toEqual([]))
  it('ends with the result: the leads come off and nothing more is done', () => {
    const over = bench(null, { status: 'ended', result: { verdict: 'pass', because: '', failed: [], next: [], truth: null } })
    const { done, technician: after } = watch(standing(on('J1.2', 'R3.2')), over, live('nothing'), 0, 5)
    expect(done).toMatchObject([{ kind: 'hand', hand: { tips: 'lifted' } }])
    expect(watch(after, null, live('nothing'), 5, 2).done).toEqual([])
  })
})
