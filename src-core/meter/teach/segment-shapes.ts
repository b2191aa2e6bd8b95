/** The shapes of figures on a seven-segment display (common practice, no source): a at the top, clockwise to f, g in the middle. */

export const segmentLetters = ['a', 'b', 'c', 'd', 'e', 'f', 'g'] as const
export type SegmentLetter = (typeof segmentLetters)[number]

export type Shapes = Readonly<Record<string, string>>

const common: Shapes = { 0: 'abcdef', 1: 'bc', 2: 'abdeg', 3: 'abcdg', 4: 'bcfg', 5: 'acdfg', 8: 'abcdefg', ' ': '' }

/** 6, 7 and 9 are drawn in two ways each. */
export const shapeSets: readonly Shapes[] = ['acdefg', 'cdefg'].flatMap((six) => ['abc', 'abcf'].flatMap((seven) =>
  ['abcdfg', 'abcfg'].map((nine) => ({ ...common, 6: six, 7: seven, 9: nine }))))
