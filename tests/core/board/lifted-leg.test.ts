/** A lifted leg as a place for a tip: what it is called, and where it is marked. */
import { describe, expect, it } from 'vitest'
import { placeOfTip, placesOfLegs, tipName } from '../../../src-core/board/lifted-leg'
import { smallBoard } from '../run/a-run'

const part = (ref: string, pins: Record<string, string>) => ({ ref, kind: 'resistor', value: 220, tolerance: 0.05, pins })
const testPoints = [
  { id: 'J1.1', net: 'IN', picture: 'top', x: 60, y: 60, words: 'terminal 1' }, { id: 'J1.2', net: 'GND', picture: 'top', x: 200, y: 60, words: 'terminal 2' },
  { id: 'C1.1', net: 'VCC', picture: 'top', x: 260, y: 60, words: 'plus of C1' }, { id: 'C1.2', net: 'GND', picture: 'top', x: 200, y: 160, words: 'minus of C1' },
]
const sequence = { id: 'input', version: 1, steps: [{ kind: 'look', id: 'look', title: 'Look', words: 'Anything burnt?' }] }
const boardWith = (parts: unknown[], change: Record<string, unknown> = {}) =>
  smallBoard({ pictures: [{ id: 'top', file: 'top.svg', width: 320, height: 260 }], testPoints, parts, sequence, ...change })

describe('the name of a lifted leg', () => {
  it('ends the designator where the board does, whatever dots are in it', () => {
    const board = boardWith([part('U1.A', { 3: 'IN', 4: 'GND' }), part('R1', { 1: 'IN', 'a.k': 'GND' })])
    expect(['~U1.A.3', '~R1.a.k', '~R1.1', 'J1.1'].map((id) => tipName(board, id))).toEqual(['lifted pin 3 of U1.A', 'lifted pin a.k of R1', 'lifted pin 1 of R1', 'J1.1'])
    // Without the board file, and of a part that it does not have.
    expect([tipName(null, '~U1.A.3'), tipName(board, '~R9.1')]).toEqual(['lifted pin 3 of U1.A', 'lifted pin 1 of R9'])
  })
})

describe('the place of a lifted leg', () => {
  const legs = ['~R1.1', '~R1.2', '~R2.1', '~R2.2']
  const across = boardWith([part('R1', { 1: 'IN', 2: 'GND' }), part('R2', { 1: 'IN', 2: 'GND' })])

  it('is apart from every test point and every other leg, and the same for one as for all', () => {
    const places = placesOfLegs(across, legs)
    const spots = [...testPoints, ...places.values()]
    const least = Math.min(...spots.flatMap((one, at) => spots.slice(at + 1).map((other) => Math.hypot(one.x - other.x, one.y - other.y))))
    // A twentieth of the picture's diagonal, in whole units.
    expect([places.size, least > 0.05 * Math.hypot(320, 260) - 1]).toEqual([4, true])
    expect(legs.map((id) => placeOfTip(across, id, legs))).toEqual([...places.values()])
  })

  it('is about a test point of its part on a board without a picture, and none where no test point is on it', () => {
    const bare = boardWith([part('R1', { 1: 'IN', 2: 'GND' }), part('R2', { 1: 'HIDDEN', 2: 'INNER' })], { pictures: [], nets: ['IN', 'GND', 'VCC', 'HIDDEN', 'INNER'] })
    expect([placeOfTip(bare, '~R1.1', ['~R1.1']), placeOfTip(bare, 'J1.1', []), placeOfTip(bare, '~R2.1', ['~R2.1'])]).toEqual([
      { picture: 'top', x: 60, y: 60 }, { picture: 'top', x: 60, y: 60 }, null])
  })
})
