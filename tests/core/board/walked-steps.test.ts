import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { checkBoard } from '../../../src-core/board/check'
import { root } from '../../bench-tools/running-app'

type Json = { sequence: { steps: Record<string, unknown>[] }; pictures: unknown[] }
const lamp = (): Json => JSON.parse(readFileSync(join(root, 'fixtures/walked-boards/lamp-dimmer/board.json'), 'utf8')) as Json
/** The complaints about the lamp dimmer with other keys in its walk (0) or its watch (1). */
const complaints = (step: 0 | 1, change: Record<string, unknown>, ofBoard: Record<string, unknown> = {}): string[] => {
  const json = { ...lamp(), ...ofBoard }
  json.sequence.steps[step] = JSON.parse(JSON.stringify({ ...json.sequence.steps[step], ...change })) as Record<string, unknown>
  const checked = checkBoard(json, 'board.json')
  return 'board' in checked ? [] : checked.problems.map(({ field, message }) => `${field} ${message}`)
}

describe('walk and watch steps in a board file', () => {
  it('are sound as the sample has them, and with points that need no net', () => {
    expect(complaints(0, {})).toEqual([])
    expect(complaints(0, { points: undefined })).toEqual([])
    expect(complaints(0, { points: ['F1.2', { words: 'leg 7', picture: 'top', x: 80, y: 90 }] })).toEqual([])
    expect(complaints(1, { limits: undefined, seconds: undefined })).toEqual([])
  })
  it.each<[string, 0 | 1, Record<string, unknown>, RegExp]>([
    ['a black point that is not there', 0, { black: 'J9.1' }, /^sequence\.steps\[0\]\.black "J9\.1" is not a test point/],
    ['a point that is not there', 0, { points: ['F1.2', 'U9.1'] }, /^sequence\.steps\[0\]\.points\[1\] "U9\.1" is not a test point/],
    ['a point walked twice', 0, { points: ['F1.2', 'F1.2'] }, /points\[1\] "F1\.2" is walked twice/],
    ['red where black stays', 0, { points: ['J1.2'] }, /points\[0\] is where the black lead stays/],
    ['a place off the picture', 0, { points: [{ words: 'leg 7', picture: 'top', x: 900, y: 90 }] }, /points\[0\]\.x 900 lies outside the picture/],
    ['an id of the app’s own', 0, { id: 'prepare' }, /\.id "prepare" is taken/],
    ['volts on a dead board', 0, { function: 'dc-voltage' }, /powered dc-voltage means something only on a supplied board/],
    ['a tolerance of nothing', 0, { tolerance: 0 }, /tolerance must be above 0/],
    ['both leads on one point', 1, { red: 'F1.2' }, /^sequence\.steps\[1\]\.black is the same test point as red/],
    ['limits that leave nothing to follow', 1, { limits: 'open' }, /limits "open" has nothing to follow/],
    ['longer than its frames are kept', 1, { seconds: 301 }, /seconds must be at most 300/],
    ['resistance under power', 1, { powered: true }, /powered resistance is never measured on a supplied board/],
    ['a branch on a value it does not have', 1, { then: [{ when: { below: 1 }, stop: 'fail', because: 'x' }] }, /a watch step has no value to compare/],
  ])('%s is named with its place', (_name, step, change, message) => {
    expect(complaints(step, change).some((one) => message.test(one)), complaints(step, change).join('; ')).toBe(true)
  })
  it.each<[string, 0 | 1]>([['walk', 0], ['watch', 1]])('a live %s of a board that injures needs a caution of its own, a dead one or one of a harmless board does not', (kind, step) => {
    const missing = (change: Record<string, unknown>, hazard = 'hazardous'): string[] => complaints(step, { limits: step === 1 ? { between: [10, 14] } : undefined, ...change }, { hazard }).filter((one) => one.includes('.caution '))
    const live = { function: 'dc-voltage', powered: true }
    expect(missing({ ...live, caution: undefined })).toEqual([expect.stringMatching(new RegExp(`^sequence\\.steps\\[${step}\\]\\.caution is missing, and this ${kind} is made on a supplied board`))])
    expect([missing({ ...live, caution: 'Clip both leads on before power.' }), missing({ caution: undefined }), missing({ ...live, caution: undefined }, 'extra-low')]).toEqual([[], [], []])
  })
  it('a walk among the steps that prove a board is refused: it would judge nothing before power is put on', () => {
    const { sequence, ...rest } = lamp()
    const [walk] = sequence.steps
    const resistance = { kind: 'measure', id: 'supply', title: 'Supply', red: 'J1.1', black: 'J1.2', function: 'resistance', limits: { atLeast: 100 } }
    const of = (prove: unknown): string[] => { const checked = checkBoard({ ...rest, sequence, prove }, 'board.json'); return 'board' in checked ? [] : checked.problems.map(({ field, message }) => `${field} ${message}`) }
    expect(of({ unpowered: [resistance] })).toEqual([])
    expect(of({ unpowered: [resistance, { ...walk, id: 'legs' }] })).toEqual([expect.stringMatching(/^prove\.unpowered\[1\]\.kind is "walk", which judges nothing/)])
    const powerUp = { volts: 12, limitAmperes: 0.1, connect: 'Plus to J1.1.', disconnect: [], cautions: [], checks: [{ id: 'lamp', title: 'Lamp', words: 'Is it lit?' }] }
    expect(of({ unpowered: [resistance], powerUp: { ...powerUp, steps: [{ ...walk, id: 'legs', function: 'dc-voltage', powered: true }] } })).toContainEqual(expect.stringMatching(/^prove\.powerUp\.steps\[0\]\.kind is "walk"/))
  })
})
