import { describe, expect, it } from 'vitest'
import { checkBoard } from '../../../src-core/board/check'
import { acceptanceInterval } from '../../../src-core/metrology/interval'
import { limitsInWords } from '../../../src-core/metrology/limits-in-words'
import type { Limits } from '../../../src-core/metrology/limits'
import { limitsOf, sampleBoard, sampleJson } from '../circuit/sample'

const at = sampleBoard().sequence.steps.findIndex(({ id }) => id === 'r3')
const withLimits = (limits: unknown, measured = 'resistance') => {
  const json = sampleJson() as { sequence: { steps: Record<string, unknown>[] } }
  const step = json.sequence.steps[at]
  if (step === undefined) throw new Error('The sample board has no step r3.')
  step.limits = limits
  step.function = measured
  return checkBoard(json, 'board.json')
}
const read = (marked: string, measured?: string): Limits => {
  const checked = withLimits({ marked }, measured)
  if ('problems' in checked) throw new Error(JSON.stringify(checked.problems))
  const step = checked.board.sequence.steps[at]
  if (step?.kind !== 'measure') throw new Error('not a measure step')
  return limitsOf(step)
}

describe('limits as a part is marked', () => {
  it('are its figures, with the marking kept', () => {
    expect(read('220R 5 %')).toEqual({ nominal: 220, tolerance: 0.05, marked: '220R 5 %' })
    expect(read('01C')).toEqual({ nominal: 10_000, tolerance: 0.01, marked: '01C' })
    expect(read('22R J')).toEqual({ nominal: 22, tolerance: 0.05, marked: '22R J' })
    expect(read('104K', 'capacitance')).toEqual({ nominal: 1e-7, tolerance: 0.1, marked: '104K' })
    expect(read('10µ M', 'inductance')).toEqual({ nominal: 1e-5, tolerance: 0.2, marked: '10µ M' })
  })
  it('with an uneven tolerance are two bounds', () => {
    expect(read('10µ Z', 'capacitance')).toEqual({ between: [8e-6, 1.8e-5], marked: '10µ Z' })
  })
  it('judge and read as the figures do', () => {
    expect(acceptanceInterval(read('220R 5 %'), 'resistance')).toEqual(acceptanceInterval({ nominal: 220, tolerance: 0.05 }, 'resistance'))
    expect(limitsInWords(read('4k7 5 %'), 'Ω')).toBe('4.465 kΩ to 4.935 kΩ')
  })
  it('are read by what the step measures: 104 is 100 kΩ, or 100 nF', () => {
    expect(read('104 5 %')).toMatchObject({ nominal: 100_000 })
    expect(read('104 5 %', 'capacitance')).toMatchObject({ nominal: 1e-7 })
  })
})

describe('a marking that cannot be a limit is named by its field, and hides no other fault', () => {
  it.each<[unknown, string | undefined, RegExp]>([
    [{ marked: '100 5 %' }, undefined, /10 Ω as the code printed on a part, and 100 Ω as a plain figure/],
    [{ marked: '4k7' }, undefined, /states no tolerance; write it behind, such as "4k7 5 %"/],
    [{ marked: '000' }, undefined, /write "short"/],
    [{ marked: '4k7 250 %' }, undefined, /tolerance of 250 %/],
    [{ marked: '4k7 0 %' }, undefined, /tolerance of 0 %/],
    [{ marked: 4700 }, undefined, /must be text in quotes/],
    [{ marked: '4k7 5 %', nominal: 4700 }, undefined, /stands beside "nominal"; write the marking or the figures/],
    [{ marked: '4k7 5 %' }, 'diode', /has no meaning in diode/],
  ])('%j', (limits, measured, words) => {
    const checked = withLimits(limits, measured)
    expect('problems' in checked && checked.problems.map(({ field, message }) => `${field}: ${message}`).join('\n'))
      .toMatch(new RegExp(`^sequence\\.steps\\[${at}\\]\\.limits\\.marked: .*${words.source}`))
  })
  it('beside another fault both are told', () => {
    const json = sampleJson() as { name: unknown; sequence: { steps: Record<string, unknown>[] } }
    json.name = 7
    json.sequence.steps = json.sequence.steps.map((step, i) => (i === at ? { ...step, limits: { marked: 'about 200' } } : step))
    const checked = checkBoard(json, 'board.json')
    expect('problems' in checked && checked.problems.map(({ field }) => field)).toEqual([`sequence.steps[${at}].limits.marked`, 'name'])
  })
  it('limits that are nothing are told of the way to write a marking', () => {
    const checked = withLimits('about right')
    expect('problems' in checked && checked.problems[0]?.message).toContain('{"marked": "4k7 5 %"}')
  })
})
