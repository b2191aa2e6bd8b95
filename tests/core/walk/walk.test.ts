import { describe, expect, it } from 'vitest'
import { lampDimmer, unlisted } from '../../bench-tools/walked-board'
import { beginWalk, goodPoints, knownAfter, toOwnStep, walkAll, watchIt } from '../../bench-tools/walking'
import type { Play } from '../run/a-run'
import { currentStep } from '../../../src-core/run/bench'
import { hasLimits } from '../../../src-core/run/plan'
import { takePoint } from '../../../src-core/run/take-point'
import type { BoardType } from '../../../src-core/board/board-type'
import { placeInFile, titleInFile } from '../../../src-core/run/walk'
import { benchView } from '../../../src-core/run/show'
import { liveView } from '../../../src-core/run/live'
import { seconds } from '../../../src-core/quantity/units'

const learned = (play: Play) => (play.state().steps['walk']?.learned ?? []).map(({ id, value }) => [id, typeof value === 'number' ? Math.round(value) : value])
const prompt = (play: Play): string => benchView(play.bench(), null, null).step?.prompt.map(({ text }) => text).join(' ') ?? ''
const state = (play: Play): string => liveView(play.bench(), seconds(play.at())).state
describe('a walk on a board that works', () => {
  it('says that it learns, asks for black once and then for red alone, and keeps one value a touch', () => {
    const play = beginWalk()
    expect(prompt(play)).toBe('Black clipped to the 0 volt terminal, red on right end of the fuse')
    play.touch('resistance', 10000)
    expect([learned(play), prompt(play), play.step()]).toEqual([[['walk/F1.2', 10000]], 'Red on right end of R1, black stays', 'walk'])
    expect(benchView(play.bench(), null, null).step).toMatchObject({ walk: { learned: 1, of: 4 }, limits: '' })
  })
  it('takes no second value while red has not left the point (rule 11)', () => {
    const play = beginWalk()
    play.touch('resistance', 10000)
    play.hold('resistance', 4700, 2)
    play.hold('resistance', 1000, 2)
    expect([learned(play), state(play)]).toEqual([[['walk/F1.2', 10000], ['walk/R1.2', 4700]], 'lift and touch again'])
  })
  it('never takes an open point by itself, only by a press (rule 7)', () => {
    const play = beginWalk()
    play.lift('resistance')
    play.hold('resistance', 'overload', 6)
    expect(learned(play)).toEqual([])
    play.confirm()
    expect(play.state().steps['walk']?.learned.map(({ value, evidence }) => [value, evidence])).toEqual([['overload', 'confirmed']])
  })
  it('takes no value that does not stand still (rule 8)', () => {
    const play = beginWalk()
    play.lift('resistance')
    for (let k = 0; k < 12; k += 1) play.hold('resistance', 1000 + 40 * k, 0.2)
    expect(learned(play)).toEqual([])
  })
  it('takes back the last point, and the one before it at the next press', () => {
    const play = beginWalk()
    walkAll(play, [10000, 4700])
    play.give({ kind: 'press', press: 'back', at: seconds(play.at()) })
    expect(learned(play)).toEqual([['walk/F1.2', 10000]])
    play.give({ kind: 'press', press: 'back', at: seconds(play.at()) })
    expect([learned(play), prompt(play)]).toEqual([[], 'Black clipped to the 0 volt terminal, red on right end of the fuse'])
    play.touch('resistance', 9990)
    expect(learned(play)).toEqual([['walk/F1.2', 9990]])
  })
  it('takes back its last point of all with the end of the walk, and never has one more than its list', () => {
    const play = walkAll(beginWalk(), goodPoints)
    expect(play.step()).toBe('flex')
    play.give({ kind: 'press', press: 'back', at: seconds(play.at()) })
    expect([play.step(), learned(play).length, prompt(play)]).toEqual(['walk', 3, 'Red on the lamp terminal, black stays'])
    walkAll(play, [331])
    expect([play.step(), learned(play).map(([id]) => id), learned(play).at(-1)]).toEqual(['flex', ['walk/F1.2', 'walk/R1.2', 'walk/R2.2', 'walk/J2.1'], ['walk/J2.1', 331]])
  })
  it('refuses a point behind the last one of its list', () => {
    const play = beginWalk()
    const step = currentStep(play.bench())
    if (step?.kind !== 'measure' || !hasLimits(step) || step.purpose?.kind !== 'walk') throw new Error('no walk')
    const done = takePoint(play.bench(), step, { ...step.purpose, number: 5 }, { function: 'resistance', unit: 'Ω', range: null, resolution: 1, value: 100, shown: 100, median: 100, sd: 0, conversions: 5, seconds: seconds(1), band: null, raw: [], evidence: 'steady', at: seconds(play.at()) })
    expect([done.refused, done.events]).toEqual([expect.stringMatching(/^All 4 points of this walk are learned/), []])
  })
  it('without a list the press that ended it is taken back alone, and its points stay', () => {
    const play = walkAll(beginWalk(lampDimmer(unlisted)), [10000, 4700])
    play.wait(1)
    play.give({ kind: 'press', press: 'finish', at: seconds(play.at()) })
    play.give({ kind: 'press', press: 'back', at: seconds(play.at()) })
    expect([play.step(), learned(play).length]).toEqual(['walk', 2])
  })
  it('learns no value that still moves, confirmed or not (rule 8)', () => {
    const play = beginWalk()
    play.lift('resistance')
    // A capacitor that charges: 1 % a conversion, for longer than a moving value is offered after.
    for (let k = 0; k < 200; k += 1) play.hold('resistance', 500 * 1.01 ** k, 0.2)
    expect(state(play)).toBe('still moving, hold still')
    expect(play.confirm().refused).toMatch(/still moves, and other boards would be held to it/)
    expect(learned(play)).toEqual([])
  })
  it('is taken up at the next point after the app was killed, with the proof made again', () => {
    const play = beginWalk()
    walkAll(play, [10000, 4700])
    play.kill()
    expect(play.step()).toBe('prepare/disconnect')
    toOwnStep(play)
    expect([play.step(), learned(play), prompt(play)]).toEqual(['walk', [['walk/F1.2', 10000], ['walk/R1.2', 4700]], 'Red on right end of R2, black stays'])
  })
  it('ends by itself behind the last point of its list, judged nothing, and the verdict of the run says so', () => {
    const play = watchIt(walkAll(beginWalk(), goodPoints))
    expect(play.state().ended).toMatchObject({ verdict: 'pass', because: expect.stringMatching(/Learned here and not judged: Legs to 0 V\./) })
    expect(play.events().some((event) => event.kind === 'captured' && event.step.startsWith('walk'))).toBe(false)
  })
  it('without a list is ended by its key, which does nothing before the first point', () => {
    const play = beginWalk(lampDimmer(unlisted))
    play.wait(1)
    expect(play.give({ kind: 'press', press: 'finish', at: seconds(play.at()) }).refused).toMatch(/No point has been learned/)
    walkAll(play, [10000, 4700, 330])
    expect(benchView(play.bench(), null, null).keys.map(({ action }) => action)).toContain('finish')
    play.wait(1)
    play.give({ kind: 'press', press: 'finish', at: seconds(play.at()) })
    expect([learned(play).map(([id]) => id), play.step()]).toEqual([['walk/#1', 'walk/#2', 'walk/#3'], 'flex'])
  })
  it('with a list is not ended before its last point: it can only be skipped, and then nothing of it is learned', () => {
    const board = lampDimmer()
    const play = beginWalk(board)
    walkAll(play, [10000])
    play.wait(1)
    expect(play.give({ kind: 'press', press: 'finish', at: seconds(play.at()) }).refused).toMatch(/4 points from the board file: 3 to go/)
    play.give({ kind: 'skip', reason: 'no time', at: seconds(play.at()) })
    watchIt(play)
    expect([play.state().ended?.verdict, knownAfter(board, play)]).toEqual(['incomplete', undefined])
  })
})

describe('a place that is no test point', () => {
  // A test point may be named "1", as the place before it is numbered.
  const mixed = lampDimmer({ walk: { points: [{ words: 'pin 2', picture: 'top', x: 80, y: 90 }, '1'] } })
  const board: BoardType = { ...mixed, testPoints: mixed.testPoints.map((point) => (point.id === 'R1.2' ? { ...point, id: '1' } : point)) }
  it('is never taken for a test point of the same name: the walk comes to its end, learned and judged', () => {
    const first = watchIt(walkAll(beginWalk(board), [10000, 4700]))
    const walks = knownAfter(board, first)
    expect(walks?.['walk']?.map(({ id }) => id)).toEqual(['walk/#1', 'walk/1'])
    const next = watchIt(walkAll(beginWalk(board, walks), [10000, 4700]))
    expect([first.state().ended?.verdict, next.state().ended?.verdict]).toEqual(['pass', 'pass'])
    expect(['walk/#1', 'walk/1', 'walk/9'].map((id) => [titleInFile(board, id), placeInFile(board, id)?.toFixed(3)])).toEqual([
      ['Legs to 0 V, pin 2', expect.stringMatching(/^0\.0/)], ['Legs to 0 V, 1', expect.stringMatching(/^0\.0/)], ['Legs to 0 V, 9', '0.000'],
    ])
  })
})

describe('the boards after it', () => {
  const board = lampDimmer()
  const first = watchIt(walkAll(beginWalk(board), goodPoints))
  const walks = knownAfter(board, first)
  it('are judged at each point by 15 % either way of what one good board read', () => {
    expect(walks?.['walk']?.map(({ id, limits }) => [id, limits])).toEqual([
      ['walk/F1.2', { between: [8500, 11500] }], ['walk/R1.2', { between: [3990, 5410] }], ['walk/R2.2', { between: [850, 1150] }], ['walk/J2.1', { between: [280, 380] }],
    ])
  })
  it('pass where they read so, each point a step with a verdict of its own', () => {
    const play = watchIt(walkAll(beginWalk(board, walks), [10100, 4650, 1010, 333]))
    expect(play.state().ended?.verdict).toBe('pass')
    expect(play.events().flatMap((event) => (event.kind === 'decided' && event.step.startsWith('walk') ? [[event.step, event.verdict]] : []))).toEqual(
      [['walk/F1.2', 'pass'], ['walk/R1.2', 'pass'], ['walk/R2.2', 'pass'], ['walk/J2.1', 'pass']])
  })
  it('fail at the point that reads otherwise, on two touches', () => {
    const play = beginWalk(board, walks)
    walkAll(play, [10000, 12000])
    expect(play.step()).toBe('walk/R1.2')
    walkAll(play, [12010, 1000, 330])
    watchIt(play)
    expect([play.state().ended?.verdict, play.state().ended?.because]).toEqual(['fail', expect.stringMatching(/Outside limits: Legs to 0 V, R1\.2\./)])
  })
  it('say what they are judged by: how many good boards', () => expect(benchView(beginWalk(board, walks).bench(), null, null).step).toMatchObject({
    limits: '8.50 kΩ to 11.5 kΩ', where: expect.stringMatching(/15 % either way of 10 kΩ on one good board/),
  }))
  it('learn nothing from a board whose run did not pass', () => {
    const failed = walkAll(beginWalk(board), goodPoints)
    failed.lift('resistance')
    failed.hold('resistance', 50, 5)
    expect([failed.state().ended?.verdict, knownAfter(board, failed)]).toEqual(['fail', undefined])
  })
})
