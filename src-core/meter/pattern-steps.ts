/** Counts the steps a backtracking matcher needs for a pattern on one line, and stops counting when they are too many. */
import type { Shape } from './pattern-shape'

/** `steps` is above `most` when the walk was given up; whether the line matches is then unknown. */
export type Walk = (line: string, most: number) => { steps: number; matches: boolean }

const isWord = (character: string | undefined): boolean => character !== undefined && /\w/.test(character)

const edgeHolds = (source: string, line: string, at: number): boolean => {
  switch (source) {
    case '^': return at === 0
    case '$': return at === line.length
    default: return (isWord(line[at - 1]) !== isWord(line[at])) === (source === '\\b')
  }
}

/**
 * A matcher of its own, for counting only: the engine cannot be interrupted, and one line can hold it for hours. It tries
 * what the engine would try without shortcuts, greedy first, so its count is an upper bound for a line that does not match.
 * Lines are of one character a byte.
 */
export const walkerOf = (shape: Shape): Walk => {
  const accepted = new Map<Shape, boolean[]>()
  const accepts = (node: Extract<Shape, { kind: 'character' }>): boolean[] => {
    const known = accepted.get(node)
    if (known !== undefined) return known
    const pattern = new RegExp(`^(?:${node.source})$`)
    const made = Array.from({ length: 256 }, (_, byte) => pattern.test(String.fromCharCode(byte)))
    accepted.set(node, made)
    return made
  }

  return (line, most) => {
    let steps = 0
    const run = (node: Shape, at: number, then: (at: number) => boolean): boolean => {
      steps += 1
      if (steps > most) return true
      switch (node.kind) {
        case 'edge': return edgeHolds(node.source, line, at) && then(at)
        case 'character': return at < line.length && accepts(node)[line.charCodeAt(at)] === true && then(at + 1)
        case 'group': return run(node.body, at, then)
        case 'choice': return node.options.some((option) => run(option, at, then))
        case 'sequence': {
          const from = (index: number, place: number): boolean => {
            const item = node.items[index]
            return item === undefined ? then(place) : run(item, place, (next) => from(index + 1, next))
          }
          return from(0, at)
        }
        case 'repeat': {
          const again = (done: number, place: number): boolean =>
            (done < node.most && run(node.body, place, (next) => (next > place || done < node.least) && again(done + 1, next)))
            || (done >= node.least && then(place))
          return again(0, at)
        }
      }
    }
    const matches = run(shape, 0, (at) => at === line.length)
    return { steps, matches }
  }
}
