/** The practice bench on the board with a walk and a watch: learned on a good board, then others held to it, byte by byte. */
import { describe, expect, it } from 'vitest'
import { learnedValuesOf } from '../../../src-core/shop/run-digest'
import { refusalToPractise } from '../../../src-core/practice/refusal'
import { walksKnown, type KnownWalks } from '../../../src-core/run/walk'
import { lampDimmer, unlisted, untilPressed } from '../../bench-tools/walked-board'
import { practise, type Practised } from './practise'

const board = lampDimmer()
const play = (faults: string[], seed: number, walks?: KnownWalks): Practised => practise(faults, seed, undefined, undefined, board, walks)
const known = ({ bench }: Practised): KnownWalks | undefined => {
  const values = learnedValuesOf(bench.run)
  return walksKnown(board, (id) => values.filter(({ step }) => step === id).map(({ function: fn, value, U }) => ({ function: fn, value: value ?? 'overload', U })))
}
const failed = ({ bench }: Practised): string[] => bench.run.events.flatMap((event) => (event.kind === 'decided' && event.verdict === 'fail' && !event.step.startsWith('prepare/') ? [event.step] : []))

describe('the technician walks and watches', () => {
  const good = play([], 1)
  it('a good board: every point of the list is learned once, within what its parts and the meter may read, and the watch holds', () => {
    expect([good.bench.run.ended?.verdict, good.refusals]).toEqual(['pass', []])
    const points = learnedValuesOf(good.bench.run).map(({ step, value }) => [step, value ?? NaN] as const)
    expect(points.map(([step]) => step)).toEqual(['walk/F1.2', 'walk/R1.2', 'walk/R2.2', 'walk/J2.1'])
    // The parts are 1 % resistors to 0 V; the lead adds 0.12 Ω and the display its counts.
    const nominal = [10000, 4700, 1000, 330]
    expect(points.every(([, value], index) => Math.abs(value / (nominal[index] ?? 1) - 1) < 0.012)).toBe(true)
    const watched = good.bench.run.events.find(({ kind }) => kind === 'watched')
    expect(watched).toMatchObject({ ended: 'time', dropouts: [], verdict: 'pass' })
  })
  it('another good board passes at every point', () => {
    const run = play([], 2, known(good))
    expect([run.bench.run.ended?.verdict, failed(run), run.refusals]).toEqual(['pass', [], []])
  })
  it.each<[string, string[]]>([['R2:drifted=1.5', ['walk/R2.2']], ['R1:open', ['walk/R1.2']], ['R4:short', ['walk/J2.1']], ['F1:open', ['flex']]])('%s fails at %j and nowhere else', (fault, steps) => {
    const run = play([fault], 7, known(good))
    expect([run.bench.run.ended?.verdict, failed(run)]).toEqual(['fail', steps])
  })
})

it('a watch without a time is ended by a press, once it has followed for a while', () => {
  const run = practise([], 3, undefined, undefined, lampDimmer(untilPressed))
  expect([run.bench.run.ended?.verdict, run.refusals]).toEqual(['pass', []])
  expect(run.bench.run.events.find(({ kind }) => kind === 'watched')).toMatchObject({ ended: 'press', dropouts: [] })
})

it('a walk whose points only the board file’s reader knows is practised by hand alone', () => {
  expect(refusalToPractise(lampDimmer(unlisted), ['resistance', 'diode', 'dc-voltage'], 'itself')).toMatch(/Practise it by hand/)
  expect(refusalToPractise(lampDimmer(unlisted), ['resistance', 'diode', 'dc-voltage'], 'hand')).toBeNull()
})
