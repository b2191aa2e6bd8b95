/** The test points of the record's placements, as they are marked on the board's pictures. */
import { pointsUsed, type PointUsed } from '../points-used'
import type { TestRecordContent } from '../schema'
import type { Block, Mark } from './block'
import { note } from './block'

/** Longer names do not fit beside a point: then all of a picture are numbered, and a table says which is which. */
const longestLabel = 7

type Picture = NonNullable<TestRecordContent['board']['picture']>

const leadsWords = 'here the leads were placed: ring, the red lead; disc, the black lead; disc in a ring, each of them in some step.'

/** @param name of the picture; null where it is the only one. Nothing where no placement lies on it. */
const pictureBlocks = ({ sha256, width, height }: Picture, name: string | null, here: readonly PointUsed[]): Block[] => {
  if (here.length === 0) return []
  const numbered = here.some(({ point }) => point.length > longestLabel)
  const marks = here.map(({ point, x, y, red, black }, index): Mark => ({ label: numbered ? String(index + 1) : point, x, y, on: red && black ? 'both' : red ? 'red' : 'black' }))
  return [
    { kind: 'board', name, picture: { sha256, width, height }, marks },
    note(name === null ? `W${leadsWords}` : `Picture “${name}”. W${leadsWords}`),
    ...(numbered ? [{
      kind: 'table', columns: [{ title: 'Mark', share: 8 }, { title: 'Test point', share: 30 }, { title: 'Where', share: 62 }],
      rows: here.map(({ point, words }, index) => [String(index + 1), point, words]),
    } as const] : []),
  ]
}

export const boardBlocks = ({ steps, board: { picture, otherPictures = [] } }: TestRecordContent): Block[] => {
  const used = pointsUsed(steps)
  const pictures = [...(picture === null ? [] : [picture]), ...otherPictures]
  const elsewhere = used.filter((point) => pictures.every(({ id }) => id !== point.picture))
  return [
    ...pictures.flatMap((each) => pictureBlocks(each, otherPictures.length === 0 ? null : each.id, used.filter((point) => point.picture === each.id))),
    ...(elsewhere.length === 0 ? [] : [note(`Not on ${otherPictures.length === 0 ? 'this picture' : 'these pictures'}: ${elsewhere.map(({ point }) => point).join(', ')}.`)]),
  ]
}
