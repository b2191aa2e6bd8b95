/** The reasons offered to skip a step: a pedal's skip and confirm keep the one that is true of it. */
import { describe, expect, it } from 'vitest'
import { meterByEye } from '../../src-core/meter/by-eye'
import { seconds } from '../../src-core/quantity/units'
import { touchesSoFar } from '../../src-core/run/bench'
import { answerLimits, limitsRequestOf } from '../../src-core/run/limits-request'
import { liveView } from '../../src-core/run/live'
import { endReasons, noGoodBoardReason, noLimitsReason, noMeterReason, skipAskSpoken, skipReasons, tooCoarseReason } from '../../src-core/run/reasons'
import { fitsBetweenTouches } from '../../src-core/run/spoken-time'
import { answerKeys, askingFor, type Asking } from '../../src-renderer/bench/answer-keys'
import { keyFor } from '../../src-core/settings/key-bindings'
import { checkedMeter, play, smallBoard, type Play } from '../core/run/a-run'
import { lampDimmer } from '../bench-tools/walked-board'
import { beginWalk } from '../bench-tools/walking'

const skipBecause = (bench: Play): string | undefined => liveView(bench.bench(), seconds(bench.at())).skipBecause

/** A bare step whose limits could not be computed. */
const withoutLimits = (): Play => {
  const bench = play(smallBoard({ sequence: { id: 'input', version: 1, steps: [
    { kind: 'measure', id: 'r1', title: 'R1', red: 'J1.1', black: 'R1.2', function: 'resistance', parts: ['R1'] }] } }), checkedMeter)
  bench.confirm()
  bench.open('dc-voltage')
  const asked = limitsRequestOf(bench.bench())
  if (asked === null) throw new Error('nothing is asked for')
  bench.give({ kind: 'limits-computed', answer: { ...answerLimits(asked), steps: { r1: { refused: 'A junction does not conduct there.' } } }, at: seconds(bench.at()) })
  return bench
}
/** A unit measured again before any good board was walked. */
const withoutGoodBoard = (): Play => {
  const bench = beginWalk(lampDimmer(), undefined, { run: '22222222-2222-4333-8444-555555555555', purpose: 'whole', state: [], repairs: [], coolUtc: null })
  bench.confirm()
  bench.wait(400)
  bench.confirm()
  return bench
}
/** A watch with a meter read by eye. */
const withoutMeter = (): Play => {
  const watch = lampDimmer().sequence.steps.find(({ id }) => id === 'flex')
  if (watch?.kind !== 'watch') throw new Error('The board has no watch.')
  const bench = play(smallBoard({ sequence: { id: 'input', version: 1, steps: [{ ...watch, red: 'J1.1', black: 'R1.2', parts: ['R1'] }] } }), meterByEye)
  const type = (text: string): void => {
    const step = bench.step() ?? ''
    expect(bench.give({ kind: 'typed', text, step, touch: touchesSoFar(bench.state(), step).length + 1, at: seconds(bench.at()) }).refused).toBeNull()
  }
  for (const text of ['OL', '0.581', 'OL', 'OL', '0.2']) type(text)
  bench.confirm()
  for (const text of ['1.562', '0.000']) type(text)
  return bench
}

/** The pedals on the question: skip asked it, then it is answered as they are pressed. @returns what was said, and the reason taken. */
const byPedal = (because: string | undefined, ...pressed: ('skip' | 'confirm')[]): { said: (string | null)[]; taken: string | null } => {
  let asking: Asking = askingFor('skip', 'r1', because, 1000)
  let taken: string | null = null
  const said = [skipAskSpoken(asking.reasons[asking.offered] ?? null)]
  for (const action of pressed) {
    const keys = answerKeys({ asking, bound: [], answer: (text) => { taken = text }, change: (next) => { asking = next }, close: () => undefined, keep: () => undefined, tell: (words) => { said.push(words) } })
    keys.find(({ key }) => key === keyFor(action, []).usual)?.run(5000)
  }
  return { said, taken }
}

describe.each([['no limits', withoutLimits, noLimitsReason, 'r1'], ['no good board', withoutGoodBoard, noGoodBoardReason, 'walk'], ['no meter', withoutMeter, noMeterReason, 'flex']] as const)(
  'where the bench says that a step can only be skipped: %s', (_name, begin, reason, step) => {
    it('skip and confirm by pedal keep that reason, and the usual ones follow it', () => {
      const bench = begin()
      expect([bench.step(), skipBecause(bench)]).toEqual([step, reason])
      expect(byPedal(skipBecause(bench), 'confirm')).toEqual({ said: [`skip, ${reason}?`], taken: reason })
      expect(byPedal(skipBecause(bench), 'skip', 'confirm').taken).toBe(skipReasons[0])
      expect(askingFor('skip', step, reason, 0).reasons).toEqual([reason, ...skipReasons])
      bench.give({ kind: 'skip', reason: byPedal(skipBecause(bench), 'confirm').taken ?? '', step, at: seconds(bench.at()) })
      expect(bench.events().find(({ kind }) => kind === 'skipped')).toMatchObject({ step, reason })
    })
    it('fits between two touches when it is offered', () => expect(fitsBetweenTouches(skipAskSpoken(reason))).toBe(true))
  })

describe('elsewhere', () => {
  it('the usual reasons are offered, the first one first; one that the bench names is offered where it stands', () => {
    expect([askingFor('skip', 'r1', undefined, 0), askingFor('skip', 'r1', tooCoarseReason, 0)].map(({ reasons, offered }) => [reasons, reasons[offered]]))
      .toEqual([[skipReasons, skipReasons[0]], [skipReasons, tooCoarseReason]])
    expect(byPedal(undefined, 'confirm').taken).toBe('cannot reach it')
  })
  it('neither a note nor the end of a run offers why a step is skipped', () => {
    expect(askingFor('end', 'r1', noLimitsReason, 0)).toMatchObject({ reasons: endReasons, offered: 0, writing: false })
    expect(askingFor('note', 'r1', noLimitsReason, 0)).toMatchObject({ reasons: [], offered: 0, writing: true })
  })
})
