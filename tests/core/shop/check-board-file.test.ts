/** A few seeded cases a day; check-board-file.long.ts has all fifty. */
import { expect, it } from 'vitest'
import { checkBoardFile } from '../../../src-core/shop/check-board-file'
import { mistakeInWords, partsOf } from '../../../src-core/shop/file-mistakes'
import { smallBoard } from './divider'
import { plantedCase, rightCase } from './planted-mistakes'

const day = Number(process.env.SEED ?? 20_260) % 50

it('points at a mistake planted in a board file, from three good boards', () => {
  const cases = [8, 21, 1 + (day + 30) % 50].map(plantedCase)
  expect(cases.slice(0, 2).map(({ pointedAt }) => pointedAt)).toEqual([true, true])
  expect(cases.filter(({ pointedAt }) => pointedAt).length).toBeGreaterThanOrEqual(2)
})

it('finds nothing in a file that is right', () => {
  expect(rightCase(14)).toMatchObject({ fits: true, suspects: [] })
})

it('says what the boards read as if, and which readings are odd', () => {
  const found = checkBoardFile(smallBoard, [
    { red: 'A', black: 'B', function: 'resistance', values: [9_950, 10_050, 10_000], U: 150 },
    { red: 'B', black: 'C', function: 'resistance', values: [2_190, 2_210, 2_200], U: 40 },
  ])
  expect(found.fits).toBe(false)
  expect(found.odd).toEqual([0])
  expect(found.suspects[0]?.says).toBe('R1: the boards read as if it were about 10 kΩ; the file says 1 kΩ.')
  expect(found.suspects[0]?.parts).toEqual(['R1'])
})

it('leaves out a placement whose points the file does not have', () => {
  expect(checkBoardFile(smallBoard, [{ red: 'X9', black: 'B', function: 'resistance', values: [1], U: null }])).toMatchObject({ fits: true, odd: [] })
})

it('has words for every mistake, and parts to look at', () => {
  const says = ([
    { kind: 'turned', ref: 'D1' }, { kind: 'model', ref: 'D1', as: 'schottky' }, { kind: 'absent', ref: 'R2' }, { kind: 'pin', ref: 'R2', pin: '2', net: 'NA' }, { kind: 'joined', nets: ['NA', 'NC'] },
  ] as const).map((mistake) => mistakeInWords(smallBoard, 'nets' in mistake ? { ...mistake, nets: [...mistake.nets] } : mistake))
  expect(says).toEqual([
    'D1: the boards read as if it were the other way round than in the file; look at its anode and cathode.',
    'D1: the boards read as if it were a schottky; the file says a diode.',
    'R2: the boards read as if it were not there, or connected elsewhere.',
    'R2: the boards read as if its pin 2 were on net NA; the file says NC.',
    'Nets NA and NC: the boards read as if they were one; the file has no connection between them.',
  ])
  expect(partsOf(smallBoard, { kind: 'joined', nets: ['NB', 'NA'] })).toEqual(['R1', 'R2', 'D1'])
})
