/** The reading does not jump: digits change, boxes stay. */
import { describe, expect, it } from 'vitest'
import { digitBoxes, isOverload } from '../../src-renderer/bench/digit-boxes'

const kinds = (figure: string): string =>
  digitBoxes(figure, 5)
    .map(({ kind }) => kind[0])
    .join('')
const text = (figure: string): string =>
  digitBoxes(figure, 5)
    .map((one) => one.text)
    .join('')

describe('the figure of the meter', () => {
  it('keeps every digit in its place while the value moves', () => {
    expect(kinds('221.4')).toBe(kinds('198.7'))
    expect(kinds('-0.002')).toBe(kinds('0.002'))
  })

  it('shows what the meter showed, with a true minus', () => {
    expect(text('221.4')).toBe('221.4')
    expect(text('-0.002')).toBe('−0.002')
    expect(text('OL')).toBe('OL')
  })

  it('fills from the right, so that the last digit and the unit never move', () => {
    for (const figure of ['7', '07', '1234', '49999']) expect(kinds(figure)).toMatch(/^b*sd+p$/)
    for (const figure of ['0.4', '1.234', '4.9999'])
      expect(digitBoxes(figure, 5).filter(({ kind }) => kind !== 'point' && kind !== 'sign')).toHaveLength(5)
  })

  it('knows an overload from a number', () => {
    expect(isOverload('OL')).toBe(true)
    expect(isOverload('−OL')).toBe(true)
    expect(isOverload('−1.20')).toBe(false)
  })
})
