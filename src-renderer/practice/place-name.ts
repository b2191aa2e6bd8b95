/** A place of the hand by name: a test point's id, a lifted leg in words, the end of a fixture. */
import { isLeg, tipName } from '../../src-core/board/lifted-leg'

export const placeName = (id: string): string => tipName(null, id).replace('@', '')

/** Name and words; those of a leg say both. */
export const placeInWords = ({ id, words }: { id: string; words: string }): string => (isLeg(id) ? words : `${placeName(id)}: ${words}`)
