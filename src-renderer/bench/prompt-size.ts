/** How large the prompt may be drawn; the smallest is still read from 1.5 m. */

export type PromptSize = 'short' | 'middle' | 'long' | 'very-long'

/** By the number of characters of the whole prompt. */
export const promptSize = (characters: number): PromptSize =>
  characters <= 34 ? 'short' : characters <= 75 ? 'middle' : characters <= 130 ? 'long' : 'very-long'
