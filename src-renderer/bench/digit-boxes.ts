/** Splits a meter's figure into boxes of fixed width, so that it does not jump when digits change. */

export type DigitBox = { kind: 'digit' | 'letter' | 'point' | 'sign' | 'blank'; text: string }

const kindOf = (char: string): DigitBox['kind'] =>
  char === '.' || char === ',' ? 'point' : '+-−'.includes(char) ? 'sign' : /\p{L}/u.test(char) ? 'letter' : 'digit'

const box = (char: string): DigitBox => ({ kind: kindOf(char), text: char === '-' ? '−' : char })

/**
 * Boxes from left to right: a sign, then at least `digits` figures with their point, filled from the right.
 * The point has no box of its own width where it is missing, so a blank point keeps its place.
 */
export const digitBoxes = (figure: string, digits: number): DigitBox[] => {
  const boxes = [...figure.trim()].map(box)
  const sign: DigitBox = boxes[0]?.kind === 'sign' ? boxes[0] : { kind: 'sign', text: '' }
  const rest = boxes[0]?.kind === 'sign' ? boxes.slice(1) : boxes
  const missing = Math.max(0, digits - rest.filter((one) => one.kind === 'digit' || one.kind === 'letter').length)
  const point: DigitBox[] = rest.some((one) => one.kind === 'point') ? [] : [{ kind: 'point', text: '' }]
  return [...Array.from({ length: missing }, (): DigitBox => ({ kind: 'blank', text: '' })), sign, ...rest, ...point].slice(0, 16)
}

/** "OL" and the like: the meter's out-of-range indication, not a number. */
export const isOverload = (figure: string): boolean => /\p{L}/u.test(figure)
