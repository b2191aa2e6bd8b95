import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { boardTypes, compareRevisions, nextRevision, nextRevisionWords, onlyRevision, practiceOffered, typeOffered } from '../../../src-core/board/revisions'
import { sampleBoard, shippedBoards } from '../circuit/sample'

const entries = shippedBoards.map((folder) => {
  const board = sampleBoard(folder)
  return { id: board.id, revision: board.revision, name: board.name, board }
})
const bare = (id: string, revision: string) => ({ id, revision, name: `${id} ${revision}`, board: { pictures: [] } })

describe('the order of revisions', () => {
  it('letters as in the alphabet, figures as numbers', () =>
    expect(['10', '2', '1'].sort(compareRevisions).concat(['D', 'B10', 'C', 'B2'].sort(compareRevisions))).toEqual(['1', '2', '10', 'B2', 'B10', 'C', 'D']))
  it('is an order: the same whichever way round, and never a tie between two that differ', () => {
    const text = fc.string({ unit: fc.constantFrom('A', 'b', 'C', '0', '1', '10', '.', '-'), minLength: 1, maxLength: 5 })
    fc.assert(fc.property(text, text, text, (a, b, c) => {
      expect(Math.sign(compareRevisions(a, b))).toBe(-Math.sign(compareRevisions(b, a)) + 0)
      if (a !== b) expect(compareRevisions(a, b)).not.toBe(0)
      if (compareRevisions(a, b) <= 0 && compareRevisions(b, c) <= 0) expect(compareRevisions(a, c)).toBeLessThanOrEqual(0)
    }), { seed: 1, numRuns: 500 })
  })
})

describe('board types', () => {
  it('the shipped boards are two types, the vent driver node in two revisions with a key each', () => {
    expect(boardTypes(entries).map(({ id, revisions }) => [id, revisions.map(({ key, revision }) => `${key ?? ''} ${revision}`)])).toEqual(
      [['vent-driver-node', ['1 C', '2 D']], ['soil-relay', ['1 A']]])
  })
  it('whichever way the files lie, the oldest comes first', () =>
    expect(boardTypes([bare('x', '10'), bare('y', 'A'), bare('x', '9')]).map(({ revisions }) => revisions.map(({ revision }) => revision))).toEqual([['9', '10'], ['A']]))
  it('only a type with a single revision goes without the question', () => {
    const [vent, soil] = boardTypes(entries)
    expect([vent && onlyRevision(vent), soil && onlyRevision(soil)?.revision]).toEqual([null, 'A'])
  })
  it('each revision says how it is told, at a place on its picture where the part lies', () => {
    const [vent] = boardTypes(entries)
    expect(vent?.revisions.map(({ tell }) => tell)).toEqual([
      { words: 'Beside terminal B lies R3, a flat resistor marked 220.', place: { x: 210, y: 236 } },
      { words: 'Beside terminal B lies L1, a square coil with copper turns to be seen.', place: { x: 210, y: 236 } },
    ])
  })
  it('a file that does not say so is said to be silent', () =>
    expect(boardTypes([bare('x', 'B')])[0]?.revisions[0]?.tell).toEqual({ words: 'Its file does not say how it is told from the others. Look for “B” printed on the board.', place: null }))
  it('beyond nine revisions there is no key, and the words still stand', () => {
    const many = boardTypes(Array.from({ length: 11 }, (_, at) => bare('x', String(at + 1))))[0]?.revisions ?? []
    expect([many[8]?.key, many[9]?.key, many[10]?.revision]).toEqual(['9', null, '11'])
  })
  it('offered first is the type of the latest run, else the first', () => {
    const types = boardTypes(entries)
    expect(typeOffered(types, [])?.id).toBe('vent-driver-node')
    expect(typeOffered(types, [{ board: 'soil-relay', startedUtc: '2026-02-02' }, { board: 'vent-driver-node', startedUtc: '2026-02-01' }, { board: 'gone', startedUtc: '2026-03-01' }])?.id).toBe('soil-relay')
    expect(typeOffered([], [])).toBeNull()
  })
  it('the next board is taken for the revision before until another is chosen; one key goes through them all and comes back', () => {
    const three = [bare('x', 'C'), bare('x', 'B'), bare('x', 'D'), bare('y', 'A')]
    const seen = (chosen: string | null) => { const next = nextRevision(three, { id: 'x', revision: 'C' }, chosen); return [next?.taken.revision, next?.asBefore, next?.other.revision] }
    expect([seen(null), seen('D'), seen('B')]).toEqual([['C', true, 'D'], ['D', false, 'B'], ['B', false, 'C']])
  })
  it('with a single revision, or one that is gone from the library, there is nothing to choose', () => {
    expect([nextRevision(entries, { id: 'soil-relay', revision: 'A' }, null), nextRevision(entries, { id: 'vent-driver-node', revision: 'B' }, null), nextRevision(entries, { id: 'gone', revision: 'A' }, null)]).toEqual([null, null, null])
    expect([nextRevisionWords(entries, { id: 'soil-relay', revision: 'A' }), nextRevisionWords(entries, { id: 'vent-driver-node', revision: 'D' })]).toEqual([
      null, 'Taken for revision D. Beside terminal B lies L1, a square coil with copper turns to be seen. Otherwise end this run: E.'])
  })
  it('practised on is the vent driver node C, else what there is', () => {
    expect(practiceOffered([...entries].reverse())?.board).toMatchObject({ id: 'vent-driver-node', revision: 'C' })
    expect(practiceOffered(entries.slice(2))?.board.id).toBe('soil-relay')
    expect(practiceOffered([])).toBeNull()
  })
})
