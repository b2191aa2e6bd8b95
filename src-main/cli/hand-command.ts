/** What is typed to the practice meter: where the leads go and how the dial stands. */
import type { BoardType } from '../../src-core/board/board-type'
import { type MeterFunction, meterFunction } from '../../src-core/meter/reading'
import type { Hand, Tips } from '../../src-core/practice/hand'

export type HandCommand = { kind: 'hand'; hand: Hand } | { kind: 'next' } | { kind: 'quit' } | { kind: 'problem'; message: string }

export const handHelp = [
  'Enter                     the next placement of the sequence, preparation first',
  'FUNCTION RED BLACK        such as: resistance J1.2 R3.2',
  'FUNCTION                  turns the dial and leaves the leads',
  'joined | apart            the tips together, or apart',
  'known-diode [reversed]    a loose diode; known-source [reversed] a cell',
  'lift                      the leads off',
  'quit',
]

const isFunction = (word: string): MeterFunction | null => {
  const parsed = meterFunction.safeParse(word)
  return parsed.success ? parsed.data : null
}

const problem = (message: string): HandCommand => ({ kind: 'problem', message })

const fixtures: Record<string, { tips: (reversed: boolean) => Tips; function: MeterFunction | null }> = {
  joined: { tips: () => ({ fixture: 'leads-joined', reversed: false }), function: null },
  apart: { tips: () => ({ fixture: 'leads-apart', reversed: false }), function: null },
  lift: { tips: () => 'lifted', function: null },
  'known-diode': { tips: (reversed) => ({ fixture: 'known-diode', reversed }), function: 'diode' },
  'known-source': { tips: (reversed) => ({ fixture: 'known-source', reversed }), function: 'dc-voltage' },
}

/** Reads one line against the board it is for; `present` is how the hand stands. */
export const readHandCommand = (line: string, board: BoardType, present: Hand): HandCommand => {
  const [word = '', ...rest] = line.trim().split(/\s+/)
  if (word === '') return { kind: 'next' }
  if (word === 'quit' || word === 'exit') return { kind: 'quit' }
  const fixture = Object.hasOwn(fixtures, word) ? fixtures[word] : undefined
  if (fixture) {
    const turns = fixture.function !== null
    const [turn, ...more] = rest
    const understood = more.length === 0 && (turn === undefined || (turns && turn === 'reversed'))
    if (!understood) return problem(`"${word}" takes ${turns ? 'nothing more than "reversed"' : 'nothing more'}.`)
    return { kind: 'hand', hand: { tips: fixture.tips(turn === 'reversed'), function: fixture.function ?? present.function } }
  }
  const what = isFunction(word)
  if (what === null) {
    return problem(`"${word}" is neither a function (${meterFunction.options.join(', ')}) nor one of ${Object.keys(fixtures).join(', ')}.`)
  }
  if (rest.length === 0) return { kind: 'hand', hand: { ...present, function: what } }
  const [red, black, ...more] = rest
  if (red === undefined || black === undefined || more.length > 0) {
    const [one = 'J1.1', other = 'J1.2'] = board.testPoints.map(({ id }) => id)
    return problem(`Write two test points after the function, red then black, such as: ${word} ${one} ${other}`)
  }
  const unknown = [red, black].filter((id) => !board.testPoints.some((point) => point.id === id))
  const known = board.testPoints.map(({ id }) => id)
  if (unknown.length > 0) return problem(`${board.name} has no test point ${unknown.join(' and no ')}. It has ${known.join(', ')}.`)
  return { kind: 'hand', hand: { tips: { leads: { red, black } }, function: what } }
}
