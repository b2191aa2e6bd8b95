import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseRunEvent } from '../../../src-core/run/event'
import { rebuild } from '../../../src-core/run/state'
import { seconds } from '../../../src-core/quantity/units'
import { play } from './a-run'
import { drawnCount } from '../../bench-tools/sampled'

/** Things that happen at a bench, in any order. */
const happening = fc.oneof(
  fc.constantFrom('confirm', 'again', 'back', 'pause', 'resume', 'found', 'same-meter', 'other-meter' as const).map((press) => ({ press })),
  fc.record({ fn: fc.constantFrom('resistance', 'diode', 'dc-voltage' as const), value: fc.oneof(fc.constant('overload' as const), fc.double({ min: -2, max: 900, noNaN: true })), secs: fc.double({ min: 0.2, max: 3, noNaN: true }) }),
  fc.constantFrom('lost', 'back', 'kill', 'skip', 'note', 'wait' as const).map((event) => ({ event })),
)

const playOut = (happenings: readonly (typeof happening extends fc.Arbitrary<infer T> ? T : never)[]) => {
  const bench = play()
  for (const each of happenings) {
    const at = seconds(bench.at())
    if ('press' in each) bench.give({ kind: 'press', press: each.press as 'confirm', at })
    else if ('fn' in each) bench.hold(each.fn as 'diode', each.value, each.secs)
    else if (each.event === 'kill') bench.kill()
    else if (each.event === 'wait') bench.wait(3)
    else if (each.event === 'lost') bench.give({ kind: 'meter-lost', at })
    else if (each.event === 'back') bench.give({ kind: 'meter-back', other: false, at })
    else if (each.event === 'skip') bench.give({ kind: 'skip', reason: 'because', at })
    else bench.give({ kind: 'note', text: 'seen', at })
  }
  return bench
}

describe('the reducer', () => {
  it('rebuilds the same state from the stored text of the events, whatever happened', () => {
    fc.assert(fc.property(fc.array(happening, { maxLength: 40 }), (happenings) => {
      const bench = playOut(happenings)
      const stored = bench.events().map((event) => parseRunEvent(JSON.parse(JSON.stringify(event))))
      expect(rebuild(stored)).toEqual(bench.state())
    }), { numRuns: drawnCount(40, 150) })
  })

  it('loses no captured value: each stands, or is an earlier one of its step', () => {
    fc.assert(fc.property(fc.array(happening, { maxLength: 60 }), (happenings) => {
      const bench = playOut(happenings)
      const kept = Object.values(bench.state().steps).flatMap((step) => [...step.captured, ...step.earlier].map((touch) => touch.seq)).sort((a, b) => a - b)
      expect(kept).toEqual(bench.events().filter((event) => event.kind === 'captured').map((event) => event.seq))
    }), { numRuns: drawnCount(40, 150) })
  })

  it('refuses a run with a gap', () => {
    const bench = play()
    bench.confirm()
    const [first, ...rest] = bench.events()
    expect(() => rebuild([first!, ...rest.slice(1)])).toThrow(/not complete/)
  })
})
