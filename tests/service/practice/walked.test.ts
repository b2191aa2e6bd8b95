/** The practice bench on the board with a walk and a watch: learned on a good board, then others held to it, byte by byte. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { failedSteps } from '../../../src-core/circuit/failed-steps'
import { faultText } from '../../../src-core/circuit/faults'
import { seededRandom } from '../../../src-core/circuit/seeded-random'
import { hiddenFaults } from '../../../src-core/practice/hidden-faults'
import { openStoreFile } from '../../../src-main/service/store/open-store'
import { openRunStore } from '../../../src-main/service/store/run-store'
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

describe('what is hidden in a board with a walk', () => {
  const random = (seed: number) => seededRandom(seed)
  const walks = known(play([], 1))
  it('is nothing until its walk is learned, then always a fault that its walk or its watch shows', () => {
    expect(Array.from({ length: 30 }, (_, seed) => hiddenFaults(board, undefined, random(seed)))).toEqual(Array.from({ length: 30 }, () => []))
    const drawn = Array.from({ length: 30 }, (_, seed) => hiddenFaults(board, walks, random(seed)))
    expect(drawn.map((faults) => faults.length)).toEqual(Array.from({ length: 30 }, () => 1))
    expect(new Set(drawn.flat().map(({ ref }) => ref)).size).toBeGreaterThan(2)
  })
  it.each([1, 2, 3, 4])('fails on the bench as drawn, seed %i', (seed) => {
    const run = play(hiddenFaults(board, walks, random(seed)).map(faultText), seed, walks)
    expect(run.bench.run.ended?.verdict).toBe('fail')
  })
  it('a step that reads as on a good board does not fail by it', () => expect(failedSteps(board, [])).toEqual([]))
})

it('only a practice board with nothing hidden in it teaches its walk', () => {
  const folder = mkdtempSync(join(tmpdir(), 'probewright-taught-'))
  const database = openStoreFile(folder)
  try {
    const runs = openRunStore(database)
    const kept = ({ bench }: Practised, run: string): void => {
      expect([bench.run.ended?.verdict, bench.run.events.some(({ kind }) => kind === 'learned')]).toEqual(['pass', true])
      runs.append(bench.run.events.map((event) => ({ ...event, run })))
    }
    kept(play(['R2:drifted=1.5'], 7), '00000000-0000-4000-8000-00000000000a')
    expect(runs.practised(board.id, board.revision)).toBeNull()
    kept(play([], 8), '00000000-0000-4000-8000-00000000000b')
    kept(play(['R2:drifted=1.5'], 9), '00000000-0000-4000-8000-00000000000c')
    expect(runs.practised(board.id, board.revision)).toBe('00000000-0000-4000-8000-00000000000b')
  } finally {
    database.close()
    rmSync(folder, { recursive: true, force: true })
  }
})
