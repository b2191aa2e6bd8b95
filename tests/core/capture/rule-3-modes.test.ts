/** Rule 3, modes that lie: nothing is captured in them, and a frame that never changes is called frozen. */
import { describe, expect, it } from 'vitest'
import type { MeterFlag } from '../../../src-core/meter/reading'
import { about, atBench, openStep, secondsToCapture } from './streams'

const lying: MeterFlag[] = ['hold', 'relative', 'minimum', 'maximum', 'average', 'peak', 'low-battery']

describe('rule 3: modes that lie', () => {
  it.each(lying)('rule 3: a value shown with %s is never captured, not even by a press, and the prompt says which to turn off', (flag) => {
    const hand = atBench().apart(2).hold(220, 10, { flags: ['auto-range', flag] })
    expect(hand.status()).toEqual({ kind: 'mode', flag })
    hand.press()
    expect(hand.captured()).toEqual([])
    expect(secondsToCapture(hand, 220, 3)).not.toBeNull()
  })

  it.each(lying)('rule 3: an overload shown with %s is not confirmed by a press', (flag) => {
    const hand = atBench(openStep).apart(2).hold('overload', 5, { flags: [flag] }).press()
    expect(hand.captured()).toEqual([])
  })

  it('rule 3: what was read before the mode was turned off does not count afterwards', () => {
    const hand = atBench().apart(2).hold(220, 0.4).hold(220, 0.2, { flags: ['hold'] }).hold(220, 0.5)
    expect(hand.captured()).toEqual([])
  })

  it('rule 3: auto-range and manual-range do not lie', () => {
    for (const flag of ['auto-range', 'manual-range'] as const) {
      const hand = atBench().apart(2)
      expect(secondsToCapture(hand, 220, 3, { flags: [flag] })).not.toBeNull()
    }
  })

  it('rule 3: a finite frame that has not changed over two steps is frozen, and never captured', () => {
    const hand = atBench().apart(2).hold(220, 2)
    expect(hand.captured()).toHaveLength(1)
    hand.next({ step: 'r2', limits: { nominal: 4700, tolerance: 0.05 } }).hold(220, 6)
    expect(hand.status()).toEqual({ kind: 'frozen' })
    hand.press().hold(220, 60)
    expect(hand.captured()).toHaveLength(1)
  })

  it('rule 3: a kept contact does not let a frozen frame through', () => {
    const hand = atBench().apart(2).hold(220, 2).next({ keepsContact: true }).hold(220, 30)
    expect(hand.captured()).toHaveLength(1)
    expect(hand.status()).toEqual({ kind: 'frozen' })
  })

  it('rule 3: in the second step a lead that was moved shows at once that the frame is frozen', () => {
    const hand = atBench().apart(2).hold(220, 2).next({ step: 'r2' }).hold(220, 1).press('again').hold(220, 0.2)
    expect(hand.status()).toEqual({ kind: 'frozen' })
  })

  it('rule 3: a finite frame that stands although the leads were said to have moved is not taken: they have to be seen to leave', () => {
    const hand = atBench().apart(2).hold(220, 0.4).press('again').hold(220, 6)
    expect(hand.captured()).toEqual([])
    expect(hand.status()).toEqual({ kind: 'lift', held: false })
  })

  it('rule 3: another digit, or another flag, shows that the meter is alive', () => {
    for (const change of [{ value: 220.1, flags: ['auto-range'] as MeterFlag[] }, { value: 220, flags: ['manual-range'] as MeterFlag[] }]) {
      const hand = atBench().apart(2).hold(220, 2).next({ step: 'r2', keepsContact: true }).hold(220, 6)
      expect(hand.status()).toEqual({ kind: 'frozen' })
      hand.hold(change.value, 0.2, { flags: change.flags })
      expect(hand.status().kind).not.toBe('frozen')
    }
  })

  it('rule 3: digits that change are never called frozen, however long the leads stay', () => {
    const hand = atBench().apart(2).hold(about(220, 0.1, 5), 2).next({ step: 'r2' }).hold(about(220, 0.1, 5), 30)
    expect(hand.status()).toEqual({ kind: 'lift', held: false })
  })

  it('rule 3: an overload that stands for minutes is no frozen frame', () => {
    const hand = atBench(openStep).apart(60).next().apart(60)
    expect(hand.status().kind).toBe('confirm-air')
  })
})
