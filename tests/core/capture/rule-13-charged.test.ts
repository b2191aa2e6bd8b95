/** Rule 13, in part: a charged board shows itself as a negative resistance, and a store that is waited for is not read before its time. */
import { describe, expect, it } from 'vitest'
import { seconds } from '../../../src-core/quantity/units'
import { atBench, secondsToCapture, zeroVolts, type Look } from './streams'

const ohmic: [Look['function'], number][] = [['resistance', 0.1], ['continuity', 0.1], ['diode', 0.001]]

describe('rule 13: a charged board', () => {
  it.each(ohmic)('rule 13: %s below −3 counts says that the board is charged, once, and is never captured', (fn, resolution) => {
    const hand = atBench({ function: fn, limits: { atMost: 1 } }, { function: fn, resolution, range: 6000 * resolution })
    hand.apart(2).hold(-4 * resolution, 20)
    expect(hand.captured()).toEqual([])
    expect(hand.outputs().filter((output) => output.kind === 'charged')).toHaveLength(1)
    expect(hand.status()).toMatchObject({ kind: 'charged' })
  })

  it('rule 13: three counts below zero are not yet a charge', () => {
    const hand = atBench({ limits: { atMost: 1 } }).apart(2).hold(-0.3, 5)
    expect(hand.outputs().map((output) => output.kind)).not.toContain('charged')
  })

  it('rule 13: out of range below zero is a charge as well', () => {
    const hand = atBench().apart(2).hold('negative-overload', 0.4)
    expect(hand.outputs().map((output) => output.kind)).toContain('charged')
    expect(hand.hold('negative-overload', 5).press().captured()).toEqual([])
  })

  it('rule 13: with the board charged nothing is captured, whatever shows next', () => {
    const hand = atBench().apart(2).hold(-5, 0.4).apart(2).hold(220, 5)
    expect(hand.captured()).toEqual([])
    expect(hand.apart(3).press().captured()).toEqual([])
    expect(hand.status()).toMatchObject({ kind: 'charged' })
  })

  it('rule 13: a negative voltage in volts is a value like any other', () => {
    const hand = atBench({ ...zeroVolts, limits: { between: [-6, 6] } }).apart(2)
    expect(secondsToCapture(hand, -2.5, 3)).not.toBeNull()
    expect(hand.value().value).toBe(-2.5)
  })
})

describe('rule 13: the wait for a store', () => {
  it('rule 13: nothing is captured before its time, neither a value nor a confirmed zero', () => {
    const store = { ...zeroVolts, notBefore: seconds(40) }
    const finite = atBench(store).apart(2).hold(0.03, 27.5)
    expect(finite.status()).toEqual({ kind: 'wait', until: 40 })
    expect(finite.captured()).toEqual([])
    expect(atBench(store).apart(29).press().captured()).toEqual([])
    expect(atBench(store).apart(31).press().captured()).toHaveLength(1)
  })

  it('rule 13: after its time a value that stands is captured', () => {
    const hand = atBench({ ...zeroVolts, notBefore: seconds(14) }).apart(2)
    expect(secondsToCapture(hand, 0.03, 10)).toBeGreaterThanOrEqual(2)
  })
})
