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

/** A place too close to one of `others` is moved off, to where there is most room; further off where there is none so near. Picture units. */
const besideOthers = ({ x, y }: Spot, { width, height }: { width: number; height: number }, others: readonly Spot[]): Spot => {
  const apart = apartShare * Math.hypot(width, height)
  const room = (at: Spot): number => Math.min(Infinity, ...others.map((other) => Math.hypot(other.x - at.x, other.y - at.y)))
  if (room({ x, y }) >= apart) return { x, y }
  const tried = [1, 2, 3].map((times) => directions.map((way) => ({ x: Math.round(x + times * apart * way.x), y: Math.round(y + times * apart * way.y) }))
    .filter((at) => at.x >= apart / 2 && at.y >= apart / 2 && at.x <= width - apart / 2 && at.y <= height - apart / 2)
    .reduce((best, one) => (room(one) > room(best) ? one : best), { x, y }))
  // Whole units: rounding may take one from the distance.
  return tried.find((one) => room(one) >= apart - 1) ?? tried.reduce((best, one) => (room(one) > room(best) ? one : best), { x, y })
}

/** Half of the way from its pad to the middle of its part, where the board file tells both; else at the one that it tells, else at a point of its part's nets. */
const aboutLeg = (board: BoardType, part: Part, pin: string): TipPlace | null => {
  const pad = board.testPoints.find(({ id }) => id === `${part.ref}.${pin}`)
  const near = pad ?? placeOfPart(board, part) ?? board.testPoints.find(({ net }) => Object.values(part.pins).includes(net)) ?? null
  if (near === null) return null
  const { picture, x, y } = near
  const { place } = part
  return pad !== undefined && place?.picture === picture ? { picture, x: (x + place.x) / 2, y: (y + place.y) / 2 } : { picture, x, y }
}

const withPlace = (board: BoardType, before: ReadonlyMap<string, TipPlace>, id: string): Map<string, TipPlace> => {
  const leg = partOfLeg(board, id)
  const about = leg === null ? null : aboutLeg(board, leg.part, leg.pin)
  if (about === null) return new Map(before)
  const on = board.pictures.find((one) => one.id === about.picture)
  // Of a board without this picture no place is looked at: it has one as its test points have.
  const place = on === undefined ? about : { picture: on.id, ...besideOthers(about, on, [...board.testPoints, ...before.values()].filter(({ picture }) => picture === on.id)) }
  return new Map([...before, [id, place]])
}

/** Of each leg a place by its part, beside the test points and the legs before it, so that each is clicked and marked by itself. Missing: the board file tells none. */
export const placesOfLegs = (board: BoardType, legs: readonly string[]): Map<string, TipPlace> =>
  legs.reduce((before, id) => withPlace(board, before, id), new Map<string, TipPlace>())

/** Of a test point its place; of a leg the one by its part. @param legs all that are lifted, in the order they were. Null: the board file tells none. */
export const placeOfTip = (board: BoardType, id: string, legs: readonly string[]): TipPlace | null => {
  if (isLeg(id)) return placesOfLegs(board, legs.includes(id) ? legs : [...legs, id]).get(id) ?? null
  const point = board.testPoints.find((one) => one.id === id)
  return point === undefined ? null : { picture: point.picture, x: point.x, y: point.y }
}
