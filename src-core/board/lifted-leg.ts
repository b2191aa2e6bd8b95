/** A leg that is lifted off its pad is a place for a tip, as a test point is. Its id is that of the net it is alone on: "~C8.1". */
import type { BoardType, Part } from './board-type'
import { placeOfPart } from './part-spots'
import { pinInWords } from './part-state'

/** No test point and no net of a board file can have this name. */
export const legId = (ref: string, pin: string): string => `~${ref}.${pin}`
export const isLeg = (id: string): boolean => id.startsWith('~')

/** The part that a leg of this id is of, lifted or not; null: none of this board. */
export const partOfLeg = ({ parts }: Pick<BoardType, 'parts'>, id: string): { part: Part; pin: string } | null => {
  for (const part of parts) {
    const pin = Object.keys(part.pins).find((one) => legId(part.ref, one) === id)
    if (pin !== undefined) return { part, pin }
  }
  return null
}

/**
 * Of a leg "lifted pin 1 of C8", "lifted cathode of D4"; a test point is called by its id.
 * @param board tells where the designator ends, for it may hold a dot; null, or a leg that it does not have: at the last dot.
 */
export const tipName = (board: Pick<BoardType, 'parts'> | null, id: string): string => {
  if (!isLeg(id)) return id
  const leg = board === null ? null : partOfLeg(board, id)
  const [, ref = leg?.part.ref, pin = leg?.pin] = leg !== null ? [] : /^~(.+)[.]([^.]+)$/s.exec(id) ?? []
  return ref === undefined || pin === undefined ? id : `lifted ${pinInWords(ref, pin).replace(/^the /, '')}`
}

/** The net under a tip: that of the test point, or the leg's own, lifted or not; null: this board has no such place. */
export const netOfTip = (board: Pick<BoardType, 'parts' | 'testPoints'>, id: string): string | null =>
  (isLeg(id) ? (partOfLeg(board, id) === null ? null : id) : board.testPoints.find((point) => point.id === id)?.net ?? null)

export type TipPlace = { picture: string; x: number; y: number }
type Spot = { x: number; y: number }

/** So far apart, as a share of the picture's diagonal, two places can be clicked and marked one by one. Our choice. */
const apartShare = 0.05
const directions = Array.from({ length: 8 }, (_, at) => ({ x: Math.cos((at * Math.PI) / 4), y: Math.sin((at * Math.PI) / 4) }))

/** A place too close to one of `others` is moved off, to where there is most room among `all`. Picture units. */
export const besideOthers = ({ x, y }: Spot, { width, height }: { width: number; height: number }, others: readonly Spot[], all: readonly Spot[] = others): Spot => {
  const apart = apartShare * Math.hypot(width, height)
  const room = (at: Spot, among: readonly Spot[]): number => Math.min(Infinity, ...among.map((other) => Math.hypot(other.x - at.x, other.y - at.y)))
  if (room({ x, y }, others) >= apart) return { x, y }
  const around = directions.map((way) => ({ x: Math.round(x + apart * way.x), y: Math.round(y + apart * way.y) }))
    .filter((at) => at.x >= apart / 2 && at.y >= apart / 2 && at.x <= width - apart / 2 && at.y <= height - apart / 2)
  return around.reduce((best, one) => (room(one, all) > room(best, all) ? one : best), { x, y })
}

/** Half of the way from its pad to the middle of its part, where the board file tells both; else at the one that it tells, else at a point of its part's nets. */
const aboutLeg = (board: BoardType, part: Part, pin: string): TipPlace | null => {
  const pad = board.testPoints.find(({ id }) => id === `${part.ref}.${pin}`)
  if (pad === undefined) return placeOfPart(board, part) ?? board.testPoints.find(({ net }) => Object.values(part.pins).includes(net)) ?? null
  const { picture, x, y } = pad
  const { place } = part
  return place?.picture === picture ? { picture, x: (x + place.x) / 2, y: (y + place.y) / 2 } : { picture, x, y }
}

/** Of a test point its place; of a leg one by its part, beside the test points, so that no lead is put on the pad for the leg. Null: the board file tells none. */
export const placeOfTip = (board: BoardType, id: string): TipPlace | null => {
  if (!isLeg(id)) {
    const point = board.testPoints.find((one) => one.id === id)
    return point === undefined ? null : { picture: point.picture, x: point.x, y: point.y }
  }
  const leg = partOfLeg(board, id)
  const about = leg === null ? null : aboutLeg(board, leg.part, leg.pin)
  const on = board.pictures.find((one) => one.id === about?.picture)
  return about === null || on === undefined ? null : { picture: on.id, ...besideOthers(about, on, board.testPoints.filter(({ picture }) => picture === on.id)) }
}
