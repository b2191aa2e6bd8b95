/** The test points of the record's placements, as they are marked on the board picture. */
import type { TestRecordContent } from '../schema'
import type { Block, Mark } from './block'
import { note } from './block'

/** Longer names do not fit beside a point: then all of them are numbered, and a table says which is which. */
const longestLabel = 7

type Used = { point: string; words: string; picture: string; x: number; y: number; red: boolean; black: boolean }

/** Every test point of the sequence, in the order the leads first came to it. */
const pointsUsed = ({ steps }: TestRecordContent): Used[] => {
  const used = new Map<string, Used>()
  for (const { placement, part } of steps) {
    if (part !== 'sequence' || placement === null || 'fixture' in placement) continue
    for (const lead of ['red', 'black'] as const) {
      const at = placement[lead]
      const before = used.get(at.point) ?? { ...at, red: false, black: false }
      used.set(at.point, { ...before, [lead]: true })
    }
  }
  return [...used.values()]
}

export const boardBlocks = (record: TestRecordContent): Block[] => {
  const used = pointsUsed(record)
  const { picture } = record.board
  if (used.length === 0) return []
  const here = picture === null ? [] : used.filter((point) => point.picture === picture.id)
  const elsewhere = used.filter((point) => !here.includes(point))
  const numbered = here.some(({ point }) => point.length > longestLabel)
  const marks = here.map(({ point, x, y, red, black }, index): Mark => ({ label: numbered ? String(index + 1) : point, x, y, on: red && black ? 'both' : red ? 'red' : 'black' }))
  return [
    ...(picture === null || marks.length === 0 ? [] : [
      { kind: 'board', picture: { sha256: picture.sha256, width: picture.width, height: picture.height }, marks } as const,
      note('Where the leads were placed: ring, the red lead; disc, the black lead; disc in a ring, each of them in some step.'),
    ]),
    ...(numbered ? [{
      kind: 'table', columns: [{ title: 'Mark', share: 8 }, { title: 'Test point', share: 30 }, { title: 'Where', share: 62 }],
      rows: here.map(({ point, words }, index) => [String(index + 1), point, words]),
    } as const] : []),
    ...(elsewhere.length === 0 ? [] : [note(`Not on this picture: ${elsewhere.map(({ point }) => point).join(', ')}.`)]),
  ]
}
