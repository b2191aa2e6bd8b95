/** What a printed record consists of, in reading order: blocks of words, without a place or a size. A page is made of them elsewhere. */

export type Cell = string | { text: string; weight: 'strong' | 'faint' }
export type Side = 'left' | 'right'
/** `share` of the width, next to the other columns' shares. */
export type Column = { title: string; share: number; side?: Side }

/** A test point on the board picture. `label` stands beside it; `on`: which lead was there. */
export type Mark = { label: string; x: number; y: number; on: 'red' | 'black' | 'both' }

export type Block =
  | { kind: 'title'; text: string; under: string }
  | { kind: 'heading'; text: string }
  | { kind: 'text'; text: string; tone: 'plain' | 'note' | 'strong' }
  | { kind: 'outcome'; verdict: 'pass' | 'fail' | 'beyond-repair' | 'incomplete'; text: string; because: string }
  /** Label and words, row after row; `columns` pairs beside each other. */
  | { kind: 'facts'; columns: 1 | 2; rows: readonly (readonly [label: string, words: string])[] }
  | { kind: 'table'; columns: readonly Column[]; rows: readonly (readonly Cell[])[] }
  /** `name`: of the picture, where there are several. */
  | { kind: 'board'; name: string | null; picture: { sha256: string | null; width: number; height: number } | null; marks: readonly Mark[] }
  /** `code`: what the QR code says. */
  | { kind: 'seal'; code: string; rows: readonly (readonly [label: string, words: string])[] }

/** Pages with a numbering of their own. */
export type Section = { head: string; issuer: string; blocks: Block[] }

export const heading = (text: string): Block => ({ kind: 'heading', text })
export const plain = (text: string): Block => ({ kind: 'text', text, tone: 'plain' })
export const note = (text: string): Block => ({ kind: 'text', text, tone: 'note' })
export const strong = (text: string): Cell => ({ text, weight: 'strong' })
export const faint = (text: string): Cell => ({ text, weight: 'faint' })

/** A heading with what stands under it; nothing at all where nothing does. */
export const under = (title: string, blocks: readonly Block[]): Block[] => (blocks.length === 0 ? [] : [heading(title), ...blocks])
