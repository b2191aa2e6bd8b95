/** Where each part is marked on the picture. */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import type { BoardType } from '../../../src-core/board/board-type'
import { checkBoard } from '../../../src-core/board/check'
import { partSpots } from '../../../src-core/board/part-spots'
import { areaOf, holds, outlineOf } from '../../bench-tools/drawn-parts'
import { mistValve } from '../../bench-tools/small-board'
import { lampDimmer } from '../../bench-tools/walked-board'
import { sampleBoard } from '../circuit/sample'
import { smallBoard } from '../run/a-run'

type Place = NonNullable<BoardType['parts'][number]['place']>

/** The board with these places and no others. */
const placing = (board: BoardType, places: Record<string, Place> = {}): BoardType =>
  ({ ...board, parts: board.parts.map(({ place: _, ...part }) => ({ ...part, ...(places[part.ref] === undefined ? {} : { place: places[part.ref] }) })) })
const spotsOf = (board: BoardType): Map<string, { x: number; y: number }> => new Map(partSpots(board).map(({ ref, x, y }) => [ref, { x, y }]))
const apart = (one: { x: number; y: number } | undefined, other: { x: number; y: number } | undefined): number =>
  (one === undefined || other === undefined ? NaN : Math.hypot(one.x - other.x, one.y - other.y))

describe('the places of parts that the board file leaves out', () => {
  const board = placing(sampleBoard())
  const spots = spotsOf(board)

  it('are between the test points of their nets, and on the points named after them', () => {
    // Places read off the picture by eye.
    const seen = { R4: [206, 88], T1: [384, 166], C8: [430, 398], D4: [295, 50], D5: [295, 275], U2: [566, 160] }
    for (const [ref, [x = 0, y = 0]] of Object.entries(seen)) expect(apart(spots.get(ref), { x, y }), ref).toBeLessThan(75)
  })

  it('lie by the point named after the part where its other net has only a point far off', () => {
    const lamp = spotsOf(placing(lampDimmer()))
    // Read off that picture by eye: each of these resistors hangs below its test point, and ground is at the left edge.
    const below = { R1: [340, 240], R2: [440, 170] }
    // Nothing but R1 lies between these two points, however far apart they are.
    expect(partSpots(mistValve).find(({ ref }) => ref === 'R1')?.x).toBeLessThan(220)
    for (const [ref, [x = 0, y = 0]] of Object.entries(below)) expect(apart(lamp.get(ref), { x, y }), ref).toBeLessThan(60)
  })

  it('never cover one another and lie on the picture', () => {
    const all = partSpots(board)
    for (const [at, one] of all.entries()) for (const other of all.slice(at + 1)) expect(apart(one, other), `${one.ref} ${other.ref}`).toBeGreaterThan(30)
    expect(all.every(({ x, y }) => x > 0 && y > 0 && x < 720 && y < 520)).toBe(true)
  })

  it('are not made up: a connector, and a board without a picture, have none', () => {
    expect(spots.has('J1')).toBe(false)
    expect(partSpots(smallBoard())).toEqual([])
  })
})

describe('the places of parts that the board file states', () => {
  const board = sampleBoard()

  it('are kept to the figure, however close, connectors too', () => {
    const places = { R4: { picture: 'top', x: 210.25, y: 96 }, R3: { picture: 'top', x: 211, y: 97.125 }, J1: { picture: 'top', x: 0, y: 520 } }
    const spots = spotsOf(placing(board, places))
    expect(spots.get('R4')).toEqual({ x: 210.25, y: 96 })
    expect(spots.get('R3')).toEqual({ x: 211, y: 97.125 })
    expect(spots.get('J1')).toEqual({ x: 0, y: 520 })
  })

  it('push a guessed one aside, even from the very same place', () => {
    const guessed = spotsOf(placing(board)).get('R4') ?? { x: NaN, y: NaN }
    const spots = spotsOf(placing(board, { D4: { picture: 'top', ...guessed } }))
    expect(spots.get('D4')).toEqual(guessed)
    expect(apart(spots.get('R4'), guessed)).toBeGreaterThan(50)
  })

  it('on another picture are marked on that one, not guessed onto the first', () => {
    const two: BoardType = { ...placing(board, { R4: { picture: 'bottom', x: 10, y: 10 } }), pictures: [...board.pictures, { id: 'bottom', file: 'bottom.svg', width: 300, height: 200 }] }
    expect(spotsOf(two).has('R4')).toBe(false)
    expect(spotsOf(two).has('R3')).toBe(true)
  })
})

const home = new URL('../../../fixtures/', import.meta.url)
const shipped = ['boards', 'more-boards', 'walked-boards'].flatMap((folder) => readdirSync(new URL(folder, home)).map((name) => `${folder}/${name}`))

describe('on the picture of every sample board', () => {
  it.each(shipped)('%s: each part has its mark within what is drawn of it', (folder) => {
    const file = fileURLToPath(new URL(`${folder}/board.json`, home))
    const checked = checkBoard(JSON.parse(readFileSync(file, 'utf8')), file)
    if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
    const { board } = checked
    const svg = readFileSync(new URL(`${folder}/${board.pictures[0]?.file ?? ''}`, home), 'utf8')
    const drawn = board.parts.flatMap(({ ref }) => { const outline = outlineOf(svg, ref); return outline === null ? [] : [{ ref, outline }] })
    expect(drawn.map(({ ref }) => ref)).toEqual(board.parts.map(({ ref }) => ref))
    // A contact is drawn within its relay: the smallest outline around a mark is whose it is.
    const under = partSpots(board).map(({ ref, ...spot }) => [ref, drawn.filter(({ outline }) => holds(outline, spot)).sort((a, b) => areaOf(a.outline) - areaOf(b.outline))[0]?.ref])
    expect(under).toEqual(board.parts.map(({ ref }) => [ref, ref]))
  })

  it('a guess would not do: without the stated places several marks of each shipped board lie elsewhere', () => {
    for (const folder of ['soil-relay', 'vent-driver-node'] as const) {
      const svg = readFileSync(new URL(`boards/${folder}/top.svg`, home), 'utf8')
      const off = partSpots(placing(sampleBoard(folder))).filter(({ ref, ...spot }) => { const outline = outlineOf(svg, ref); return outline === null || !holds(outline, spot) })
      expect(off.length, folder).toBeGreaterThan(3)
    }
  })
})
